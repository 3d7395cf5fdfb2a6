"""The conductors of one AC circuit lie in different pipes.

What flows out in one conductor comes back in the others, and side by side their fields cancel. Where a line lies in a
conduit without its return, the field heats a pipe of steel, and a fault sees a loop as wide as the two are apart: the
device opens later. So all conductors of a circuit, the protective one among them, lie in one conduit or cable.

Fires on mixer at W
    routes.pipe={kind: conduit, at: machine}
    routes.tube={kind: conduit, at: machine}
    C2.route=pipe
    C2.cores=3
    C2.join={1: [F3:2, M2:U], 2: [F3:4, M2:V], GNYE: [XPE:5, M2:PE]}
    wires+={wire: W, from: F3:6, to: M2:W, type: line, route: tube}
Quiet
    W.route=pipe
Not judged
    Conductors without a route, those in the cabinet, and what lies in ducts, trays and looms.
Known limits
    Whether a conduit is of steel is not known to a plan. A load is looked at where its own conductors end; a circuit
    that parts at terminals on the way is not.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.findings import Cause
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_70
from wiring.wording import listed, natural

RULE = Rule(
    slug="circuit-conductors-apart",
    title="Conductors of one AC circuit lie in different conduits",
    signal=Signal.CAUTION,
    harm="A pipe of steel grows hot around a line that lies in it alone, and an earth fault is cleared later.",
    sources=(("iec", iec_60204("13.1.4")), ("na", nfpa_70("300.3(B)"))),
)


def check(design: Design) -> Judgements:
    """Every part that takes AC power, at the conductors that end at it."""
    for part in design.parts.values():
        fed = _feeding(design, part)
        routes = {one.route: design.plan.routes.get(one.route or "") for one in fed}
        outside = all(route is not None and route.at in ("machine", "outside") for route in routes.values())
        pipes = sorted(name for name, route in routes.items() if name and route and route.kind == "conduit")
        if len(routes) > 1 and outside and pipes:
            yield _finding(design, part, fed, pipes)


def _feeding(design: Design, part: Part) -> list[Conductor]:
    """The conductors that end where a part takes AC power."""
    ends = {
        end
        for element in part.elements
        if isinstance(element, Draw | Input | Coil | Resistance) and element.kind == "AC"
        for end in (element.a, element.b)
    }
    found = {c.id: c for end in ends for c in design.circuit.conductors_at((part.name, end)) if c.kind != "shield"}
    return [found[name] for name in sorted(found, key=natural)]


def _finding(design: Design, part: Part, fed: list[Conductor], pipes: list[str]) -> Judgement:
    ways = {route: [one.id for one in fed if one.route == route] for route in dict.fromkeys(one.route for one in fed)}
    words = "; ".join(f"{listed(names)} in {route}" for route, names in ways.items())
    few = min(ways.values(), key=lambda names: (len(names), names))
    alone = next(one for one in fed if one.id in few)
    return RULE.finding(
        (alone.id, part.name, *(name for names in ways.values() for name in names), *pipes),
        f"The conductors of {part.name} lie apart: {words}",
        alone.place,
        because=[Cause(one.place, "belongs to the same circuit") for one in fed if one.id != alone.id][:3],
        mend=(f"Lead {listed(few)} in one conduit or cable with the others of {part.name}.",),
    )
