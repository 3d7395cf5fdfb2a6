"""What is wrong with a plan as it is written: one record per fault, and all of them at once."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from wiring.plan.source import Place


class Fault(Struct, frozen=True):
    """One thing in a plan file that cannot be read.

    `summary` says what is wrong, `expected` what may stand there, `mend` how to put it right. `near` are the nearest
    known words, `other` further places that take part.
    """

    place: Place | None
    summary: str
    expected: str = ""
    mend: str = ""
    near: tuple[str, ...] = ()
    other: tuple[Place, ...] = ()

    def __str__(self) -> str:
        parts = [self.summary, self.expected, self.mend]
        if self.near:
            parts.append(f"nearest known: {', '.join(self.near)}")
        where = f"{self.place}: " if self.place else ""
        return where + ". ".join(part for part in parts if part)


class Refusal(ValueError):  # noqa: N818 - a value is refused, nothing has failed
    """Raised while a value is read: what is wrong with it, what was expected, how to mend it.

    `complete` says that the problem names what it speaks of, so that no key is put in front.
    """

    def __init__(
        self,
        problem: str,
        expected: str = "",
        mend: str = "",
        near: tuple[str, ...] = (),
        *,
        complete: bool = False,
    ) -> None:
        super().__init__(problem)
        self.problem = problem
        self.expected = expected
        self.mend = mend
        self.near = near
        self.complete = complete


def in_order(faults: Iterable[Fault]) -> list[Fault]:
    """The faults by place, each once and as it was said last; those without a place come first."""
    unique = {(fault.place, fault.summary): fault for fault in faults}
    return sorted(
        unique.values(), key=lambda fault: (fault.place is not None, fault.place or Place("", 0, 0), fault.summary)
    )


class PlanFaults(Exception):  # noqa: N818 - the name callers read
    """All faults of a plan, in the order in which they stand in it."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(in_order(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))


def nearest(word: str, known: Iterable[str]) -> tuple[str, ...]:
    """Up to three known words that look like this one, the nearest first; case does not count.

    Short words, such as ids of parts, must share their first letter.
    """
    from difflib import get_close_matches

    by_folded: dict[str, str] = {}
    for name in known:
        by_folded.setdefault(name.casefold(), name)
    folded = word.casefold()[:100]
    if len(folded) <= 3:
        candidates, likeness = [name for name in by_folded if name[:1] == folded[:1]], 0.5
    else:
        candidates, likeness = list(by_folded), 0.6
    matches = get_close_matches(folded, candidates, 3, likeness) or _of_like_words(folded, candidates)
    return tuple(by_folded[match] for match in matches)


def _of_like_words(word: str, known: Iterable[str]) -> list[str]:
    """Those that share most of the words and numbers of this one, two at the least."""
    import re

    words = set(re.findall(r"[a-z]+|[0-9.]+", word))
    shared = {name: len(words & set(re.findall(r"[a-z]+|[0-9.]+", name))) for name in known}
    best = sorted((name for name, count in shared.items() if count > 1), key=lambda name: -shared[name])
    return best[:3]


def listed(words: Iterable[str]) -> str:
    """Words as a sentence has them: "a, b or c"."""
    *head, last = words
    return f"{', '.join(head)} or {last}" if head else last
