"""What each stop device removes when it is worked on the running machine, with every program output stuck on."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.circuit.axes import Axes
from wiring.circuit.model import Circuit, Edge, Inner
from wiring.control.layers import solved_from
from wiring.design.stop.hazards import fed_at, hazards, is_live
from wiring.effort import keep
from wiring.parts.base import Part
from wiring.parts.elements import Draw, Feed, Input, Output, Pole, Resistance, Switch
from wiring.plan.models import Stop
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate_on
from wiring.walks import way_to


class StopEffect(Struct, frozen=True):
    """One stop device of one stop. `left` are hazards that stay fed; `idle` those that no state feeds.

    `paths` names for each hazard left the contacts and devices through which it is still fed. `point` is what becomes
    of the machine that was `running`; `state` names one other than the first: `left` is what it adds.
    """

    stop: str
    device: str
    removed: tuple[str, ...]
    left: tuple[str, ...]
    idle: tuple[str, ...]
    paths: Mapping[str, tuple[str, ...]]
    point: OperatingPoint
    running: OperatingPoint
    state: str = ""

    @property
    def while_(self) -> str:
        """The end of a sentence that names the state, where that decides."""
        return f" while `{self.state}` runs" if self.state else ""


def targets(circuit: Circuit, stop: Stop) -> list[Part]:
    """The parts that a stop must remove."""
    if stop.removes == "hazards":
        return hazards(circuit)
    return [circuit.parts[name] for name in stop.removes if name in circuit.parts]


def _feeding_path(part: Part, axes: Axes, point: OperatingPoint) -> tuple[str, ...]:
    """The closed contacts and poles between a live load and the source that feeds it, nearest the load first."""
    circuit = point.lowered.circuit
    fed = fed_at(part, axes)
    starts = [
        (owner.name, element.a)
        for owner in fed
        for element in owner.elements
        if isinstance(element, Draw | Input) or (isinstance(element, Resistance) and element.load)
    ]
    sources = {(p.name, e.terminal) for p, e in circuit.elements(Feed) if e.conductor not in ("N", "PE")}
    sources |= {(p.name, e.plus) for p, e in circuit.elements(Output)}
    closed = {e.id for e in point.lowered.edges if is_closed(e, point.position.moved, point.position.opened)}

    def named(edge: Edge) -> bool:
        return isinstance(edge, Inner) and isinstance(edge.element, Switch | Pole)

    came = circuit.walk(starts, lambda edge, _: edge.id in closed or not named(edge), sources)
    return tuple(edge.id for edge in way_to(came, sources) if named(edge))


def stop_effects(
    circuit: Circuit,
    axes: Axes,
    states: Mapping[str, OperatingPoint],
    unlike: Mapping[str, OperatingPoint],
) -> tuple[StopEffect, ...]:
    """The effect of every stop device, from the one of all `states` that feeds the most hazards, and from every other
    of those that are `unlike` it where that removes or leaves more."""
    effects = []
    stopped: dict[tuple[str, str], OperatingPoint] = {}
    for name, stop in circuit.plan.stops.items():
        wanted = targets(circuit, stop)
        live_in = {state: [p.name for p in wanted if is_live(p, axes, point)] for state, point in states.items()}
        first = max(live_in, key=lambda key: (len(live_in[key]), key))
        fed = {part for parts in live_in.values() for part in parts}
        idle = tuple(part.name for part in wanted if part.name not in fed)
        for device in stop.devices:
            known: set[str] = set()
            for state in dict.fromkeys((first, *(state for state in unlike if live_in[state]))):
                if (state, device) not in stopped:
                    stopped[state, device] = _stopped(circuit, states[state], device)
                point = stopped[state, device]
                alive = [part for part in wanted if is_live(part, axes, point)]
                left = tuple(part.name for part in alive if part.name not in known)
                if state == first or left:
                    removed = tuple(part.name for part in wanted if part.name in fed and part not in alive)
                    paths = {part.name: _feeding_path(part, axes, point) for part in alive}
                    named = "" if state == first else state
                    effects.append(StopEffect(name, device, removed, left, idle, paths, point, states[state], named))
                known |= set(left)
    return tuple(effects)


def _stopped(circuit: Circuit, running: OperatingPoint, device: str) -> OperatingPoint:
    """The running machine once a device calls for the stop."""
    keep(running.lowered.count)
    moved = (device, "operator")
    worked = () if device in circuit.hold_to_run else (moved,)
    return operate_on(running, *worked, let_go=moved, known=solved_from(running).pieces)
