"""The search for the smallest step of everything that has steps: first on sketches, then solved and judged again.

The search on sketches only says where to begin. What comes out has been solved with every step in it, and with each one
a step smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import cached_property

from wiring.changes.compare import device_loads, rating_of
from wiring.changes.edits import Edit
from wiring.changes.outcome import Outcome, Unreadable, is_about_stops, is_new, judged
from wiring.changes.sketch import sketch
from wiring.changes.steps import Item, Stage, items
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.rules import SLUGS

#: Rules of size that read no current and no voltage, so that a sketch answers them for good.
OF_FORM = (
    "conductor-below-minimum-size",
    "protective-conductor-too-small",
    "duct-overfilled",
    "motor-conductor-margin-small",
    "terminal-size-wrong",
)
#: Rules that a size can bring to silence; what else speaks of a part is no matter of its size.
OF_SIZE = frozenset(
    {
        *OF_FORM,
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
        "load-undervoltage",
    }
)
#: A size changes no contact, so what stops do is judged once, when all is done.
_SOLVED = tuple(slug for slug in SLUGS if slug in OF_SIZE and slug not in OF_FORM)
#: Those of them that the size of a conductor moves while the currents stay.
_OF_CONDUCTORS = (
    "conductor-overloaded",
    "protection-above-conductor",
    "conductor-burns-before-device-opens",
    "short-not-cleared",
    "earth-fault-not-cleared",
)
_THEN = tuple(slug for slug in SLUGS if slug not in OF_SIZE and not is_about_stops(slug))
#: Sweeps over all items; each but the last makes something smaller, so that few are needed.
_SWEEPS = 20
Progress = Callable[[str], None]


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
                found[name] = _carries(name, load_a, rating_a)
        return found

    @cached_property
    def of_form(self) -> tuple[Finding, ...]:
        return judged(self.design, OF_FORM).findings

    @cached_property
    def of_size(self) -> tuple[Finding, ...]:
        return judged(self.design, self.slugs).findings

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """All that stands, stops left out."""
        return (*self.of_form, *self.of_size, *judged(self.design, _THEN).findings)

    def fault_of(self, item: Item, known: Collection[Finding], short: Collection[str]) -> str:
        """Why the item does not pass at this step, "" where it does.

        `known` are findings that stand anyhow, `short` the supplies and devices that are short anyhow.
        """
        return self.fault_of_size(item, known, short) or _fault(self.findings, item, known)

    def fault_of_size(self, item: Item, known: Collection[Finding], short: Collection[str]) -> str:
        """The same as far as the rules of size say."""
        form = _fault(self.of_form, item, known)
        if form:
            return form
        less = [words for name, words in self.short.items() if name == item.name or name not in short]
        return less[0] if less else _fault(self.of_size, item, known)


def _carries(name: str, load_a: float, rating_a: float) -> str:
    return f"{name} carries {load_a:.3g} A, {100 * load_a / rating_a:.1f} % of its rating"


def _fault(findings: Iterable[Finding], item: Item, known: Collection[Finding]) -> str:
    for finding in findings:
        about = finding.rule in OF_SIZE and not set(finding.subjects).isdisjoint(item.subjects)
        if about or is_new(finding, known):
            return f"{finding.rule}: {finding.summary}"
    return ""


def key_of(item: Item) -> str:
    """What an item is found by in another design of the same plan."""
    return f"{item.sort} {item.name}"


class _Search:
    """Brings items to their smallest passing step, one after the other, until none moves."""

    def __init__(self, now: Tried, known: Iterable[Finding], progress: Progress) -> None:
        self.now, self.known, self.progress = now, list(known), progress
        self.headroom = now.headroom
        self.below: dict[str, tuple[str, str]] = {}
        self.stuck: dict[str, str] = {}

    def run(self) -> None:
        keys = list(self.now.items)
        still = 0
        for key in keys * _SWEEPS:
            still = 1 if self._settle(key) else still + 1
            if still >= len(keys):
                break

    def attempt(self, item: Item, stage: Stage) -> Tried | str:
        """The plan at that step where it passes, else why not."""
        raise NotImplementedError

    def take(self, item: Item, stage: Stage, tried: Tried) -> None:
        self.now = tried

    def fault(self, item: Item) -> str:
        """Why an item does not pass at its present step."""
        raise NotImplementedError

    def _settle(self, key: str) -> bool:
        """Brings one item to its smallest passing step; whether that moved it."""
        item = self.now.items.get(key)
        if item is None:
            return False
        self.progress(item.name)
        fault = self.fault(item)
        return self._mend(item, fault) if fault else self.down(item)

    def _mend(self, item: Item, fault: str) -> bool:
        """An item that does not pass goes up to the first step that does, else down: a fuse may be too large."""
        key = key_of(item)
        self.below[key] = (item.stages[item.now].words, fault)
        for stage in (*item.stages[item.now + 1 :], *reversed(item.stages[: item.now])):
            tried = self.light(item, stage) or self.attempt(item, stage)
            if isinstance(tried, Tried):
                self.take(item, stage, tried)
                self.stuck.pop(key, None)
                return True
            self.below[key] = (stage.words, tried)
        self.stuck[key] = fault
        return False

    def down(self, item: Item) -> bool:
        """Halves the steps below until one passes and the next smaller one does not."""
        self.stuck.pop(key_of(item), None)
        self.below[key_of(item)] = ("", "")
        best: Tried | None = None
        failing, passing = -1, item.now
        while passing - failing > 1:
            middle = (passing + failing) // 2 if best is not None or passing < item.now else passing - 1
            stage = item.stages[middle]
            tried = self.light(item, stage) or self.attempt(item, stage)
            if isinstance(tried, Tried):
                best, passing = tried, middle
            else:
                failing = middle
                self.below[key_of(item)] = (stage.words, tried)
        if best is not None:
            self.take(item, item.stages[passing], best)
        return best is not None

    def light(self, item: Item, stage: Stage) -> str:
        """Why a device at that step is too small for what it carries, "" where it is not; no rating changes that."""
        load_a = self.now.loads.get(item.name, 0.0) if item.sort == "device" else 0.0
        if load_a > (1.0 - self.headroom) * stage.value:
            return _carries(item.name, load_a, stage.value)
        return ""


class _Sketching(_Search):
    """The search on sketches; `edits` bring the plan to where it ends."""

    def __init__(self, now: Tried, known: Iterable[Finding], progress: Progress) -> None:
        super().__init__(now, known, progress)
        self.edits: dict[str, tuple[Edit, ...]] = {}

    def attempt(self, item: Item, stage: Stage) -> Tried | str:
        design = sketch(self.now.design, item, stage)
        assert design is not None, "only the present step is not sketched"
        tried = Tried(design, self.headroom, _OF_CONDUCTORS if item.sort == "conductor" else _SOLVED)
        return tried.fault_of_size(item, self.known, self.now.short) or tried

    def fault(self, item: Item) -> str:
        return self.now.fault_of_size(item, self.known, self.now.short)

    def down(self, item: Item) -> bool:
        """The smallest step that passes, from below: most of those that fail do so by their form alone."""
        for stage in item.stages[: item.now]:
            tried = self.light(item, stage) or self.attempt(item, stage)
            if isinstance(tried, Tried):
                self.take(item, stage, tried)
                return True
        return False

    def take(self, item: Item, stage: Stage, tried: Tried) -> None:
        super().take(item, stage, tried)
        self.edits[key_of(item)] = stage.edits


class Solved(Tried):
    """A plan that was solved at its steps."""

    def __init__(self, outcome: Outcome, headroom: float) -> None:
        super().__init__(outcome.design, headroom)
        self.outcome = outcome


class Sizing(_Search):
    """The search on plans that are solved; `outcome` is where it stands."""

    def __init__(self, now: Solved, known: Iterable[Finding], progress: Progress) -> None:
        super().__init__(now, known, progress)
        self.outcome = now.outcome

    def attempt(self, item: Item, stage: Stage) -> Tried | str:
        drawn = sketch(self.now.design, item, stage)
        form = _fault(judged(drawn, OF_FORM).findings, item, self.known) if drawn else ""
        if form:
            return form
        try:
            outcome = self.outcome.changed(stage.edits)
        except Unreadable as error:
            return str(error.faults[0])
        tried = Solved(outcome, self.headroom)
        return tried.fault_of(item, self.known, self.now.short) or tried

    def fault(self, item: Item) -> str:
        return self.now.fault_of(item, self.known, self.now.short)

    def take(self, item: Item, stage: Stage, tried: Tried) -> None:
        super().take(item, stage, tried)
        assert isinstance(tried, Solved)
        self.outcome = tried.outcome
        self.known = _still(self.known, tried)


def _still(known: Iterable[Finding], tried: Tried) -> list[Finding]:
    return [finding for finding in known if not is_new(finding, tried.findings)]


def smallest(base: Outcome, headroom: float, progress: Progress = lambda _: None) -> Sizing:
    """The end of the search from a plan: every item at its smallest passing step, solved, and the next ones tried."""
    start = Solved(base, headroom)
    found = _sketched(start, progress) or Sizing(start, start.findings, progress)
    found.run()
    return found


def _sketched(start: Solved, progress: Progress) -> Sizing | None:
    """The search where the one on sketches ends; None where a step there does not pass that did at the start."""
    drawn = _Sketching(start, start.findings, progress)
    drawn.run()
    try:
        there = Solved(
            start.outcome.changed([edit for edits in drawn.edits.values() for edit in edits]), start.headroom
        )
    except Unreadable:
        return None
    found = Sizing(there, _still(start.findings, there), progress)
    passed = [key for key, item in start.items.items() if not start.fault_of(item, start.findings, start.short)]
    if any(key in passed and found.fault(item) for key, item in there.items.items()):
        return None
    return found
