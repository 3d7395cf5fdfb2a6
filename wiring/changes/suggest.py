"""The smallest standard sizes that pass: each step down is tried by solving, and the one below what is kept fails."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from wiring.changes.compare import device_loads, rating_of
from wiring.changes.outcome import Outcome, Unreadable, is_about_stops, judged
from wiring.changes.steps import Item, Stage, items
from wiring.findings import Finding
from wiring.rules import SLUGS

#: Rules that a size can bring to silence; what else speaks of a part is no matter of its size.
OF_SIZE = frozenset(
    {
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
        "conductor-below-minimum-size",
        "protective-conductor-too-small",
        "cabinet-too-hot",
        "duct-overfilled",
        "inrush-trips-breaker",
        "load-undervoltage",
        "motor-conductor-margin-small",
        "terminal-size-wrong",
    }
)
#: A size changes no contact, so what stops do is judged once, when all is done.
_FIRST = tuple(slug for slug in SLUGS if slug in OF_SIZE)
_THEN = tuple(slug for slug in SLUGS if slug not in OF_SIZE and not is_about_stops(slug))
#: Sweeps over all items; each but the last makes something smaller, so that few are needed.
_SWEEPS = 20
Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One item: its present step, the smallest that passes, and the next smaller one with the reason why it fails.

    `after` is "" where no step passes, `why` then the reason; `below` is "" where there is no smaller step.
    """

    sort: str
    name: str
    before: str
    after: str
    below: str
    why: str

    @property
    def changed(self) -> bool:
        """Whether another step than the present one is suggested."""
        return self.after not in ("", self.before)


@dataclass(frozen=True)
class Suggestions:
    """All items, and the plan with every suggestion in it, solved and judged by all rules."""

    base: Outcome
    result: Outcome
    rows: tuple[Suggestion, ...]
    headroom: float

    @property
    def clear(self) -> bool:
        """Whether nothing at or above CAUTION stands in the resulting plan."""
        return not self.result.standing


class _Tried:
    """A plan at a step, judged by what a size can touch."""

    def __init__(self, outcome: Outcome, headroom: float) -> None:
        self.outcome, self.headroom = outcome, headroom

    @cached_property
    def loads(self) -> Mapping[str, float]:
        return device_loads(self.outcome.design)

    @cached_property
    def short(self) -> Mapping[str, str]:
        """The supplies and devices with less to spare than is wanted, each with its words."""
        design, found = self.outcome.design, {}
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
    def of_size(self) -> tuple[Finding, ...]:
        return judged(self.outcome.design, _FIRST).findings

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        return (*self.of_size, *judged(self.outcome.design, _THEN).findings)

    def fault_of(self, item: Item, known: Collection[Finding], short: Collection[str]) -> str:
        """Why the item does not pass at this step, "" where it does.

        `known` are findings that stand anyhow, `short` the supplies and devices that are short anyhow.
        """
        less = [words for name, words in self.short.items() if name == item.name or name not in short]
        if less:
            return less[0]
        return _fault(self.of_size, item, known) or _fault(self.findings, item, known)


def _carries(name: str, load_a: float, rating_a: float) -> str:
    return f"{name} carries {load_a:.3g} A, {100 * load_a / rating_a:.1f} % of its rating"


def _fault(findings: Iterable[Finding], item: Item, known: Collection[Finding]) -> str:
    for finding in findings:
        about = finding.rule in OF_SIZE and not set(finding.subjects).isdisjoint(item.subjects)
        if about or is_new(finding, known):
            return f"{finding.rule}: {finding.summary}"
    return ""


def is_new(finding: Finding, known: Iterable[Finding]) -> bool:
    """Whether no known finding of the same rule covers all that this one speaks of."""
    return not any(other.rule == finding.rule and set(finding.subjects) <= set(other.subjects) for other in known)


class _Search:
    def __init__(self, base: Outcome, headroom: float, progress: Progress) -> None:
        self.headroom, self.progress = headroom, progress
        self.now = _Tried(base, headroom)
        self.known: list[Finding] = list(self.now.findings)
        self.below: dict[str, tuple[str, str]] = {}
        self.stuck: dict[str, str] = {}

    def item(self, key: str) -> Item | None:
        return next((item for item in items(self.now.outcome.design) if _key(item) == key), None)

    def try_stage(self, item: Item, stage: Stage) -> _Tried | str:
        """The plan at that step where it passes, else why not."""
        try:
            tried = _Tried(self.now.outcome.changed(stage.edits), self.headroom)
        except Unreadable as error:
            return str(error.faults[0])
        return tried.fault_of(item, self.known, self.now.short) or tried

    def settle(self, key: str) -> bool:
        """Brings one item to its smallest passing step; whether that moved it."""
        item = self.item(key)
        if item is None:
            return False
        self.progress(item.name)
        fault = self.now.fault_of(item, self.known, self.now.short)
        return self._mend(item, fault) if fault else self._down(item)

    def _mend(self, item: Item, fault: str) -> bool:
        """An item that does not pass goes up to the first step that does, else down: a fuse may be too large."""
        self.below[_key(item)] = (item.stages[item.now].words, fault)
        for stage in (*item.stages[item.now + 1 :], *reversed(item.stages[: item.now])):
            tried = self._light(item, stage) or self.try_stage(item, stage)
            if isinstance(tried, _Tried):
                self._take(tried)
                self.stuck.pop(_key(item), None)
                return True
            self.below[_key(item)] = (stage.words, tried)
        self.stuck[_key(item)] = fault
        return False

    def _down(self, item: Item) -> bool:
        """Halves the steps below until one passes and the next smaller one does not."""
        self.stuck.pop(_key(item), None)
        self.below[_key(item)] = ("", "")
        best: _Tried | None = None
        failing, passing = -1, item.now
        while passing - failing > 1:
            middle = (passing + failing) // 2 if best is not None or passing < item.now else passing - 1
            tried = self._light(item, item.stages[middle]) or self.try_stage(item, item.stages[middle])
            if isinstance(tried, _Tried):
                best, passing = tried, middle
            else:
                failing = middle
                self.below[_key(item)] = (item.stages[middle].words, tried)
        if best is not None:
            self._take(best)
        return best is not None

    def _light(self, item: Item, stage: Stage) -> str:
        """Why a device at that step is too small for what it carries, "" where it is not; no rating changes that."""
        load_a = self.now.loads.get(item.name, 0.0) if item.sort == "device" else 0.0
        if load_a > (1.0 - self.headroom) * stage.value:
            return _carries(item.name, load_a, stage.value)
        return ""

    def _take(self, tried: _Tried) -> None:
        self.now = tried
        self.known = [finding for finding in self.known if not is_new(finding, tried.findings)]


def _key(item: Item) -> str:
    return f"{item.sort} {item.name}"


def suggest(base: Outcome, headroom: float, progress: Progress = lambda _: None) -> Suggestions:
    """The smallest standard steps of everything that has steps, each verified by solving the plan again.

    `headroom` is the share of a supply, transformer, fuse or breaker that stays free, 0 to below 1. No step passes that
    brings a finding which the plan did not have.
    """
    search = _Search(base, headroom, progress)
    start = items(base.design)
    still = 0
    for item in [*start] * _SWEEPS:
        still = 1 if search.settle(_key(item)) else still + 1
        if still >= len(start):
            break
    result = search.now.outcome
    final = {_key(item): item for item in items(result.design)}
    rows = tuple(_row(item, final.get(_key(item)), search) for item in start)
    return Suggestions(base, result, rows, headroom)


def _row(item: Item, after: Item | None, search: _Search) -> Suggestion:
    before = item.stages[item.now].words
    if _key(item) in search.stuck:
        return Suggestion(item.sort, item.name, before, "", "", search.stuck[_key(item)])
    words = after.stages[after.now].words if after else before
    below, why = search.below.get(_key(item), ("", ""))
    return Suggestion(item.sort, item.name, before, words, below, why)
