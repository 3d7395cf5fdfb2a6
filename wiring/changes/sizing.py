"""The search for the smallest step of everything that has steps: first on sketches, then solved and judged again.

The search on sketches only says where to begin. What comes out has been solved with every step in it, and with each one
a step smaller.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from wiring.changes.edits import Edit
from wiring.changes.outcome import Outcome, Unreadable, is_new, judged
from wiring.changes.sketch import sketch
from wiring.changes.steps import Item, Stage
from wiring.changes.tried import OF_FORM, Solved, Tried, carried_words, fault_about, key_of, rules_for
from wiring.findings import Finding

#: Sweeps over all items; each but the last makes something smaller, so that few are needed.
_SWEEPS = 20
Progress = Callable[[str], None]


class _Search:
    """Brings items to their smallest passing step, one after the other, until none moves."""

    sweeps = _SWEEPS

    def __init__(self, now: Tried, known: Iterable[Finding], progress: Progress) -> None:
        self.now, self.known, self.progress = now, list(known), progress
        self.headroom = now.headroom
        self.below: dict[str, tuple[str, str]] = {}
        self.stuck: dict[str, str] = {}

    def run(self) -> None:
        """What does not pass grows first, as what is around it still bears that; then everything is made smaller."""
        self._sweep(self._grow)
        self._sweep(self._settle)

    def _sweep(self, settle: Callable[[str], bool]) -> None:
        keys = list(self.now.items)
        still = 0
        for key in keys * self.sweeps:
            still = 1 if settle(key) else still + 1
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

    def _grow(self, key: str) -> bool:
        """Brings an item that does not pass to a step that does; whether that moved it."""
        item = self.now.items.get(key)
        fault = self.fault(item) if item else ""
        return self._mend(item, fault) if item and fault else False

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
            return carried_words(item.name, load_a, stage.value)
        return ""


class _Sketching(_Search):
    """The search on sketches; `edits` bring the plan to where it ends."""

    #: What a second sweep would find is found by the search on solved plans.
    sweeps = 1

    def __init__(self, now: Tried, known: Iterable[Finding], progress: Progress) -> None:
        super().__init__(now, known, progress)
        self.edits: dict[str, tuple[Edit, ...]] = {}

    def attempt(self, item: Item, stage: Stage) -> Tried | str:
        design = sketch(self.now.design, item, stage)
        assert design is not None, "only the present step is not sketched"
        tried = Tried(design, self.headroom, rules_for(item))
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


class Sizing(_Search):
    """The search on plans that are solved; `outcome` is where it stands."""

    def __init__(self, now: Solved, known: Iterable[Finding], progress: Progress) -> None:
        super().__init__(now, known, progress)
        self.outcome = now.outcome

    def attempt(self, item: Item, stage: Stage) -> Tried | str:
        drawn = sketch(self.now.design, item, stage)
        form = fault_about(judged(drawn, OF_FORM).findings, item, self.known) if drawn else ""
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
