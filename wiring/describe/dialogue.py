"""A question to a person, and answers that are kept from one try to the next."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from wiring.plan.fault import nearest
from wiring.quantities import QuantityError, parse

#: What a person says who does not know it: the question then stands at the head of the plan.
UNKNOWN = ""


class Question(Struct, frozen=True):
    """One question, why it is asked, the usual answer, and what may be answered.

    `usual` is None where no answer is safe to propose; then it may be left open, unless it is `needed`. `choices` are
    words, `dimension` that of a quantity.
    """

    words: str
    reason: str
    usual: str | None = None
    choices: tuple[str, ...] = ()
    dimension: str = ""
    wrong: Callable[[str], str] | None = None
    needed: bool = False

    @property
    def may_be_open(self) -> bool:
        """Whether nobody need know it yet."""
        return self.usual is None and not self.needed

    def fault(self, answer: str) -> str:
        """What is wrong with an answer, "" where nothing is."""
        if answer == UNKNOWN:
            return "" if self.may_be_open else "an answer is needed"
        if self.choices and answer not in self.choices:
            near = nearest(answer, self.choices)
            return f"{answer[:60]!r} is none of {', '.join(self.choices)}" + (f"; nearest: {near[0]}" if near else "")
        if self.dimension:
            try:
                parse(answer, self.dimension)
            except QuantityError as error:
                return f"{error.problem}; expected: {error.expected}"
        return self.wrong(answer) if self.wrong else ""


Ask = Callable[[Question], str]


class Answers:
    """Answers as they are given, question by question; those of an earlier try stand as long as they are asked alike.

    `text` keeps them: a line each, the question and its answer with a tab between.
    """

    def __init__(self, ask: Ask, earlier: str = "") -> None:
        self._ask = ask
        self._earlier = [line.split("\t", 1) for line in earlier.splitlines()]
        self._given: list[tuple[str, str]] = []

    @property
    def text(self) -> str:
        """All answers so far."""
        return "".join(f"{words}\t{answer}\n" for words, answer in self._given)

    def __call__(self, question: Question) -> str:
        words, answer = ([*self._earlier.pop(0), "", ""] if self._earlier else ["", ""])[:2]
        if words != question.words or question.fault(answer):
            self._earlier = []
            answer = self._ask(question)
        self._given.append((question.words, answer))
        return answer
