"""A plan at some step of its sizes, and what the rules say of it that a size can touch."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cached_property

from wiring.changes.compare import device_loads, rating_of
from wiring.changes.outcome import Outcome, is_about_stops, is_new, judged
from wiring.changes.steps import Item, items
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.rules import SLUGS

#: Rules of size that hang on no solved current, so that a sketch answers them for good. The least size is not told of
#: conductors that are overloaded besides, and those fail for that.
OF_FORM = (
    "conductor-below-minimum-size",
    "protective-conductor-too-small",
    "duct-overfilled",
    "terminal-size-wrong",
)
#: Rules that a size can bring to silence; what else speaks of a part is no matter of its size.
OF_SIZE = frozenset(
    {
        *OF_FORM,
        "motor-conductor-margin-small",
        "supply-overloaded",
        "supply-headroom-small",
        "supply-peak-exceeded",
        "conductor-overloaded",
        "protection-above-conductor",
        "short-not-cleared",
        "not-selective",
        "conductor-burns-before-device-opens",
        "transformer-unprotected",
        "earth-fault-not-cleared",
        "voltage-drop-too-high",
        "cabinet-too-hot",
        "inrush-trips-breaker",
        "start-opens-fuse",
        "protection-below-load",
        "load-undervoltage",
    }
)
#: A size changes no contact, so what stops do is judged once, when all is done.
_SOLVED = tuple(slug for slug in SLUGS if slug in OF_SIZE and slug not in OF_FORM)
#: Those of them that the size of a conductor moves while the currents stay.
OF_CONDUCTORS = (
    "conductor-overloaded",
    "motor-conductor-margin-small",
    "protection-above-conductor",
    "conductor-burns-before-device-opens",
    "short-not-cleared",
    "earth-fault-not-cleared",
)
_THEN = tuple(slug for slug in SLUGS if slug not in OF_SIZE and not is_about_stops(slug))


def rules_for(item: Item) -> tuple[str, ...]:
    """The rules of size, those of form left out, that another step of an item can move while the currents stay."""
    return OF_CONDUCTORS if item.sort == "conductor" else _SOLVED


class Tried:
    """A design, judged by what a size can touch. `headroom` is the share that supplies and devices keep free.

    `slugs` are the rules of size that are asked besides those of form.
    """

    def __init__(self, design: Design, headroom: float, slugs: Sequence[str] = _SOLVED) -> None:
        self.design, self.headroom, self.slugs = design, headroom, slugs

    @cached_property
    def items(self) -> Mapping[str, Item]:
        """Everything that has steps, by its key."""
        return {key_of(item): item for item in items(self.design)}

    @cached_property
    def loads(self) -> Mapping[str, float]:
        """What every protective device carries [A]."""
        return device_loads(self.design)

    @cached_property
    def short(self) -> Mapping[str, str]:
        """The supplies and devices with less to spare than is wanted, each with its words."""
        design, found = self.design, {}
        for name, rows in design.supplies.items():
            state, worst = min(rows.items(), key=lambda row: (row[1].headroom, row[0]))
            if not worst.carried or worst.headroom < self.headroom:
                found[name] = f"{name} has {100 * max(worst.headroom, -9.99):.1f} % headroom in state {state}"
        for name, load_a in self.loads.items():
            rating_a = rating_of(design, name)
            if rating_a is not None and load_a > (1.0 - self.headroom) * rating_a:
                found[name] = carried_words(name, load_a, rating_a)
        return found

    @cached_property
    def of_form(self) -> tuple[Finding, ...]:
        return judged(self.design, OF_FORM, starts=True).findings

    @cached_property
    def of_size(self) -> tuple[Finding, ...]:
        return judged(self.design, self.slugs, starts=True).findings

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """All that stands, stops left out."""
        return (*self.of_form, *self.of_size, *judged(self.design, _THEN, starts=True).findings)

    def fault_of(self, item: Item, known: Collection[Finding], short: Collection[str]) -> str:
        """Why the item does not pass at this step, "" where it does.

        `known` are findings that stand anyhow, `short` the supplies and devices that are short anyhow.
        """
        return self.fault_of_size(item, known, short) or fault_about(self.findings, item, known)

    def fault_of_size(self, item: Item, known: Collection[Finding], short: Collection[str]) -> str:
        """The same as far as the rules of size say."""
        form = fault_about(self.of_form, item, known)
        if form:
            return form
        less = [words for name, words in self.short.items() if name == item.name or name not in short]
        return less[0] if less else fault_about(self.of_size, item, known)


def carried_words(name: str, load_a: float, rating_a: float) -> str:
    """What a device carries, for people."""
    return f"{name} carries {load_a:.3g} A, {100 * load_a / rating_a:.1f} % of its rating"


def fault_about(findings: Iterable[Finding], item: Item, known: Collection[Finding]) -> str:
    """The first finding that speaks of the item by its size or that is new, for people; "" where there is none."""
    for finding in findings:
        about = finding.rule in OF_SIZE and not set(finding.subjects).isdisjoint(item.subjects)
        if about or is_new(finding, known):
            return f"{finding.rule}: {finding.summary}"
    return ""


def key_of(item: Item) -> str:
    """What an item is found by in another design of the same plan."""
    return f"{item.sort} {item.name}"


class Solved(Tried):
    """A plan that was solved at its steps."""

    def __init__(self, outcome: Outcome, headroom: float) -> None:
        super().__init__(outcome.design, headroom)
        self.outcome = outcome
