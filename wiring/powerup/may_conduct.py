"""Which terminals anything may join: conductors, and whatever is inside of a part, whether it conducts now or not."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from wiring.circuit.model import Circuit, Node
from wiring.circuit.roles import is_earth_point
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Function, Input, Output, Rectifying, Resistance
from wiring.parts.incoming import Inlet
from wiring.parts.passive import Connector, EarthBar, Metalwork, Terminals
from wiring.parts.sources import Rectifier

#: Parts that hold nothing but metal.
_ONLY_METAL = (Terminals, Connector, Metalwork, EarthBar, Inlet)
_SIGNALS = (Function.INPUT, Function.OUTPUT, Function.COMMON, Function.SHIELD)


def may_join(circuit: Circuit) -> Iterator[tuple[Node, Node]]:
    """Every two terminals that may conduct to each other."""
    for edge in circuit.edges:
        yield edge.a, edge.b
    for part in circuit.parts.values():
        yield from (((part.name, a), (part.name, b)) for a, b in _conducting(part))
        yield from _of_unknown_inside(circuit, part)


def is_made_inside(circuit: Circuit, part: Part, name: str) -> bool:
    """Whether a drive makes the voltage of a terminal from its bus: motor phases, braking resistor, the bus."""
    return isinstance(part.data, Drive) and not _is_signal(part, name) and name in _untold(circuit, part)


def sides_of(part: Part) -> Iterator[tuple[str, str, str]]:
    """An AC terminal of a rectifier with both of its DC terminals."""
    for fed in part.elements:
        for made in part.elements:
            if isinstance(fed, Input) and isinstance(made, Output):
                yield fed.a, made.plus, made.minus


def _of_unknown_inside(circuit: Circuit, part: Part) -> Iterator[tuple[Node, Node]]:
    """Terminals of a part of which no element tells where they lead: to all its others of their sort."""
    names = [name for name in part.terminals if not is_earth_point(circuit, (part.name, name))]
    if not isinstance(part.data, _ONLY_METAL):
        for name in _untold(circuit, part):
            others = [other for other in names if _is_signal(part, other) == _is_signal(part, name)]
            if not is_made_inside(circuit, part, name):
                yield from (((part.name, name), (part.name, other)) for other in others if other != name)
    if getattr(part.data, "isolated", True) is False:
        yield from (((part.name, a), (part.name, b)) for a, b in pairwise(names))


def _untold(circuit: Circuit, part: Part) -> list[str]:
    told = {end for pair in _conducting(part) for end in pair}
    told |= {end for path in circuit.inner if path.part == part.name for end in (path.a[1], path.b[1])}
    return [name for name in part.terminals if name not in told and not is_earth_point(circuit, (part.name, name))]


def _is_signal(part: Part, name: str) -> bool:
    return part.terminals[name].function in _SIGNALS


def _conducting(part: Part) -> Iterator[tuple[str, str]]:
    """Pairs of terminals that something in a part may join."""
    for element in part.elements:
        if isinstance(element, Resistance | Coil | Draw | Input | Rectifying):
            yield element.a, element.b
        elif isinstance(element, Output):
            yield element.plus, element.minus
    if isinstance(part.data, Rectifier):
        yield from ((a, end) for a, plus, minus in sides_of(part) for end in (plus, minus))
