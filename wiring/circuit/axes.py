"""Which drive moves which motor, found by following the motor conductors."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.circuit.model import Circuit, Edge, Inner, Node
from wiring.circuit.roles import function_of
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Feed, Function, Link, Output
from wiring.parts.motors import Brake, Shaft


class Axis(Struct, frozen=True):
    """A drive with the motors that its output reaches, and the brakes that the plan says hold them."""

    drive: Part
    motors: tuple[Part, ...]
    brakes: tuple[Part, ...]


def _reached(circuit: Circuit, starts: list[Node], *, through: bool = True) -> set[Node]:
    """What conductors and paths inside parts lead to; through no contacts and fuses where `through` is False."""

    def leads(edge: Edge, far: Node) -> bool:
        parts = isinstance(edge, Inner) and not isinstance(edge.element, Link)
        return function_of(circuit, far) is not Function.PE and (through or not parts)

    return set(circuit.walk(starts, leads))


def _behind(circuit: Circuit, outputs: list[Node], sources: set[Node]) -> set[Node]:
    """What the outputs of a drive reach. Where a source stands there as well, what lies past contacts and fuses hangs
    on that source and is none of the drive's."""
    found = _reached(circuit, outputs)
    return _reached(circuit, outputs, through=False) if found & sources else found


def find_axes(circuit: Circuit) -> Mapping[str, Axis]:
    """The axes by the name of their drive. A drive without a motor has none."""
    axes: dict[str, Axis] = {}
    brakes_of_all = [part for part in circuit.parts.values() if isinstance(part.data, Brake)]
    sources = {(part.name, feed.terminal) for part, feed in circuit.elements(Feed)}
    sources |= {(part.name, end) for part, out in circuit.elements(Output) for end in (out.plus, out.minus)}
    for part in circuit.parts.values():
        if not isinstance(part.data, Drive):
            continue
        outputs = [(part.name, t.name) for t in part.terminals.values() if t.function is Function.MOTOR]
        names = sorted({node[0] for node in _behind(circuit, outputs, sources) if node[0] != part.name})
        motors = tuple(
            circuit.parts[n] for n in names if n in circuit.parts and isinstance(circuit.parts[n].data, Shaft)
        )
        brakes = tuple(
            other
            for other in brakes_of_all
            if isinstance(other.data, Brake) and other.data.holds in {motor.name for motor in motors}
        )
        axes[part.name] = Axis(part, motors, brakes)
    return axes
