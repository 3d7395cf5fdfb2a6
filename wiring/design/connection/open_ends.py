"""What an open terminal misses, led to it from where the rest of its part is fed."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count

from wiring.circuit.model import Conductor, Node, named
from wiring.design.design import Design
from wiring.design.edits import led_to
from wiring.design.rewiring import led_from, return_pole
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Function, Resistance
from wiring.parts.signals import IoCard
from wiring.plan.edits import Edit, SetValue


def wired_again(design: Design, part: Part, bare: Mapping[str, str]) -> tuple[Edit, ...]:
    """The return of a load or coil from the source that feeds its other end; a winding from its drive."""
    if len(bare) != 1:
        return ()
    (name, other), end = next(iter(bare.items())), (part.name, next(iter(bare)))
    if part.terminals[name].function is Function.MOTOR and part.data.is_motor:
        return _led_from_drive(design, part, end)
    feeds = {r.pole.source for r in design.nets.reach((part.name, other)).sources if r.pole.main} if other else set()
    loads = part.of(Coil, Draw, Resistance)
    ends = [{e.a, e.b} for e in loads if not isinstance(part.data, IoCard)]
    pole = return_pole(design, min(feeds)) if len(feeds) == 1 else None
    fed = pole is not None and design.nets.of[pole.node] != design.nets.of[part.name, other]
    return led_from(design, pole.node, end) if pole is not None and fed and {name, other} in ends else ()


def _led_from_drive(design: Design, motor: Part, end: Node) -> tuple[Edit, ...]:
    """The core that lacks between a motor and its drive, in the cable of the others."""
    axis = design.axes.get(motor.name) or next((a for a in design.axes.values() if motor in a.motors), None)
    far = (axis.drive.name, end[1]) if axis is not None else None
    if far is None or end[1] not in design.parts[far[0]].terminals or design.circuit.conductors_at(far):
        return ()
    cables = {one.cable for name in motor.terminals for one in design.circuit.conductors_at((motor.name, name))}
    for cable in design.plan.cables:
        if cable.cable in cables and cable.cores is not None and len(cable.join) < cable.cores:
            core = next(label for n in count(1) if (label := str(n)) not in cable.join)
            ends = f'["{named(far)}", "{named(end)}"]'
            return (SetValue(("cables", cable.cable, "join", core), ends),)
    return ()


def fed_through(design: Design, part: Part, bare: Mapping[str, str]) -> tuple[Edit, ...]:
    """The feed of a device at its open terminal: what comes from the source at the wired one."""
    hot = design.short_circuits.paths.hot
    found: list[Edit] = []
    for name, other in bare.items():
        step = hot.get((part.name, other)) if other else None
        feed = step.back if step is not None else None
        moved = led_to(design, feed, (part.name, other), (part.name, name)) if isinstance(feed, Conductor) else ()
        if not moved:
            return ()
        found += moved
    return tuple(found)
