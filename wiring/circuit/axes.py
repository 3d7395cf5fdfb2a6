"""Which drive moves which motor, found by following the motor conductors."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Circuit, Edge, Inner, Node
from wiring.circuit.roles import function_of
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Feed, Function, Link, Output
from wiring.parts.motors import Brake, Shaft


class Axis(Struct, frozen=True):
    """A drive with the motors that its output reaches, and the brakes that the plan says hold them.

    `bypassed` are those of the motors that contacts lead to a source past the drive.
    """

    drive: Part
    motors: tuple[Part, ...]
    brakes: tuple[Part, ...]
    bypassed: tuple[Part, ...] = ()


class Axes(dict[str, Axis]):
    """The axes by the name of their drive, never changed once made."""

    @cached_property
    def drives(self) -> Mapping[str, tuple[Part, ...]]:
        """The drives that move a motor, by its name."""
        found: dict[str, tuple[Part, ...]] = {}
        for axis in self.values():
            for motor in axis.motors:
                found[motor.name] = (*found.get(motor.name, ()), axis.drive)
        return found

    @cached_property
    def driven_alone(self) -> frozenset[str]:
        """The names of the motors that nothing but a drive feeds."""
        return frozenset(motor.name for axis in self.values() for motor in axis.motors if motor not in axis.bypassed)


def _reached(circuit: Circuit, starts: list[Node], ends: Collection[Node] | None = ()) -> set[Node]:
    """What conductors and paths inside parts lead to: through contacts and fuses but from `ends`, from none if None."""

    def leads(edge: Edge, far: Node) -> bool:
        parts = isinstance(edge, Inner) and not isinstance(edge.element, Link)
        near = edge.a if far == edge.b else edge.b
        passes = not parts or (ends is not None and near not in ends)
        return function_of(circuit, far) is not Function.PE and passes

    return set(circuit.walk(starts, leads))


def _behind(circuit: Circuit, outputs: list[Node], sources: set[Node]) -> tuple[set[Node], bool]:
    """What the outputs of a drive reach, and whether contacts lead its motors to a source as well.

    Contacts between a motor and that source bypass the drive and lead to nothing of its own. Where the source stands
    ahead of every motor, what lies past contacts and fuses hangs on it alone.
    """
    found = _reached(circuit, outputs)
    if not found & sources:
        return found, False
    shafts = [
        (p.name, t.name) for p in circuit.parts.values() if isinstance(p.data, Shaft) for t in p.terminals.values()
    ]
    behind = _reached(circuit, outputs, _reached(circuit, shafts, None))
    return (_reached(circuit, outputs, None), False) if behind & sources else (behind, True)


def find_axes(circuit: Circuit) -> Axes:
    """The axes by the name of their drive. A drive without a motor has none."""
    axes = Axes()
    brakes_of_all = [part for part in circuit.parts.values() if isinstance(part.data, Brake)]
    sources = {(part.name, feed.terminal) for part, feed in circuit.elements(Feed)}
    sources |= {(part.name, end) for part, out in circuit.elements(Output) for end in (out.plus, out.minus)}
    for part in circuit.parts.values():
        if not isinstance(part.data, Drive):
            continue
        outputs = [(part.name, t.name) for t in part.terminals.values() if t.function is Function.MOTOR]
        behind, bypassed = _behind(circuit, outputs, sources)
        names = sorted({node[0] for node in behind if node[0] != part.name})
        motors = tuple(
            circuit.parts[n] for n in names if n in circuit.parts and isinstance(circuit.parts[n].data, Shaft)
        )
        brakes = tuple(
            other
            for other in brakes_of_all
            if isinstance(other.data, Brake) and other.data.holds in {motor.name for motor in motors}
        )
        axes[part.name] = Axis(part, motors, brakes, motors if bypassed else ())
    return axes
