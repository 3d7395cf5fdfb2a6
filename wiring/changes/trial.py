"""Trial loads: a plan with one more load at every tap, each taking what is asked of it, judged by what a load can move.

A rule that reads nothing of a design but what no load changes says the same at any load: it is asked once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import field

from wiring.changes.compare import rating_of, values
from wiring.changes.outcome import Outcome, is_new, judged
from wiring.changes.taps import Tap
from wiring.circuit.model import named
from wiring.design.design import Design
from wiring.design.device.flow import device_loads
from wiring.design.motor.demands import Demands, Moment
from wiring.design.operation import Operation
from wiring.findings import Finding
from wiring.parts.elements import Draw, Feed
from wiring.plan.edits import AddEntry, AddItem, Edit
from wiring.rules import OF_LOADS
from wiring.solver.assembly import Demand, ElementKey
from wiring.solver.operating import OperatingPoint

#: How the names of the trial loads begin; a plan does not use it.
TRIAL = "TRIAL-LOAD"
#: The subjects of a design that a load changes; all others are taken over from the plan whose trial loads take nothing.
_MOVED = frozenset({"operation", "cabinet", "power", "loading", "transients", "earthing", "stopping"})
#: What of them follows from the machine alone.
_STILL = {
    "operation": frozenset({"machine", "state_entries"}),
    "transients": frozenset({"machine", "inrushes", "capacitor_inrushes"}),
    "earthing": frozenset({"machine", "inlets", "conductors", "reached", "switched"}),
}


class _LoadedOperation(Operation, frozen=True):
    """Operation whose trial loads take what is asked; its operating points are sought from those of `near`."""

    trial: Mapping[ElementKey, Demand] = field(default_factory=dict)
    near: Mapping[str, OperatingPoint] = field(default_factory=dict)

    def demands(self, state: str, moment: Moment) -> Demands:
        asked = super().demands(state, moment)
        return Demands({**asked.demand, **self.trial}, asked.off, asked.assumed)

    def first_guess(self, state: str, before: OperatingPoint | None) -> OperatingPoint | None:
        return self.near.get(state, before)


class _Watched(Design, frozen=True):
    """A design that notes which facts are asked that a load may change."""

    asked: set[str] = field(default_factory=set)

    def __getattribute__(self, name: str) -> object:
        found = object.__getattribute__(self, name)
        if name in _STILL:
            return _Peek(found, _STILL[name], object.__getattribute__(self, "asked"))
        if name in _MOVED:
            object.__getattribute__(self, "asked").add(name)
        return found


class _Peek:
    """A subject of a watched design, which notes what is asked of it beside what follows from the machine alone."""

    def __init__(self, subject: object, still: frozenset[str], asked: set[str]) -> None:
        self._subject, self._still, self._asked = subject, still, asked

    def __getattr__(self, name: str) -> object:
        if name not in self._still:
            self._asked.add(name)
        return getattr(self._subject, name)


class Trials:
    """The plan with a trial load at every tap; `fault` tells what is new when one of them takes something.

    Raises Refusal or Unreadable where the plan takes no loads.
    """

    def __init__(self, base: Outcome, taps: Sequence[Tap]) -> None:
        self.base = base
        self.design = base.changed(_loads(base, taps)).design
        self.keys = [_key(self.design, n) for n in range(len(taps))]
        design = self.design
        self.unladen = _Watched.of(
            design.machine, operation=self._loaded({}, {}), devices=design.devices, faults=design.faults
        )
        self.known, self.moving = self._sorted_rules()
        self.values = values(self.unladen)

    def _loaded(self, watts: Mapping[int, float], near: Mapping[str, OperatingPoint]) -> Operation:
        trial = {key: Demand(watts.get(n, 0.0)) for n, key in enumerate(self.keys)}
        return _LoadedOperation(self.design.machine, None, trial, near)

    def _sorted_rules(self) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
        """What is found with loads that take nothing, and the rules of which a load may change the answer."""
        known: list[Finding] = []
        moving = []
        for slug in OF_LOADS:
            self.unladen.asked.clear()
            known += judged(self.unladen, (slug,)).findings
            if self.unladen.asked:
                moving.append(slug)
        return tuple(known), tuple(moving)

    def laden(self, tap: int, watts: float) -> Design:
        """The design in which the load at one tap takes so many watts."""
        kept, operation = self.unladen, self._loaded({tap: watts}, self.unladen.states)
        return Design.of(kept.machine, operation=operation, devices=kept.devices, faults=kept.faults)

    def fault(self, design: Design) -> str:
        """What is new in a laden design, "" where nothing is."""
        for finding in judged(design, self.moving).findings:
            if is_new(finding, self.known) and not _about_trial(finding):
                return f"{finding.rule}: {finding.summary}"
        return _overrated(design, self.base.design)


def _loads(base: Outcome, taps: Sequence[Tap]) -> list[Edit]:
    anchor = list(base.design.parts)[-1]
    edits: list[Edit] = []
    for n, tap in enumerate(taps):
        name = f"{TRIAL}-{n}"
        load = f"{{kind: load, rated: {tap.volts:g} V {tap.kind} 1 W, at: machine, metal: false}}"
        edits.append(AddEntry(("parts",), name, load, anchor))
        for node, end in ((tap.plus, "1"), (tap.minus, "2")):
            wire = f'{{wire: {name}.{end}, from: "{named(node)}", to: "{name}:{end}", length: 0.1 m}}'
            edits.append(AddItem(("wires",), wire))
    return edits


def _key(design: Design, tap: int) -> ElementKey:
    name = f"{TRIAL}-{tap}"
    return name, next(n for n, e in enumerate(design.parts[name].elements) if isinstance(e, Draw))


def _about_trial(finding: Finding) -> bool:
    return all(subject.startswith(TRIAL) for subject in finding.subjects)


def _overrated(design: Design, before: Design) -> str:
    """A device, or that of the building, that carries more than its rating and did not before."""
    loads, first = device_loads(design.machine, design.operation), device_loads(before.machine, before.operation)
    for name, load_a in loads.items():
        rating_a = rating_of(design, name)
        if rating_a is not None and load_a > rating_a >= first.get(name, 0.0):
            return f"{name} carries {load_a:.3g} A and is rated {rating_a:.3g} A"
    upstream = design.plan.mains.upstream if design.plan.mains else None
    if upstream is None:
        return ""
    now, then = _mains_a(design), _mains_a(before)
    if now > upstream.rating >= then:
        return f"the {upstream.kind} of the building carries {now:.3g} A and is rated {upstream.rating:.3g} A"
    return ""


def _mains_a(design: Design) -> float:
    """The largest current of a line of the inlet [A]."""
    ends = [(part.name, e.terminal) for part, e in design.circuit.elements(Feed)]
    wires = [wire.id for end in ends for wire in design.circuit.conductors_at(end)]
    return max((design.conductors[wire].current_a for wire in wires if wire in design.conductors), default=0.0)
