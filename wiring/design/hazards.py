"""Whether a part that can hurt is fed: asked of an operating point, from the part's own inputs."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.axes import Axis
from wiring.circuit.model import Circuit
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.motors import Shaft
from wiring.solver.operating import OperatingPoint

#: Below this share of its rated voltage a load is taken as dead (own choice: motors and heaters do nothing there).
DEAD_SHARE = 0.1


def hazards(circuit: Circuit) -> list[Part]:
    """The parts whose power a stop must remove, in the order of their names."""
    return [part for part in circuit.parts.values() if part.data.is_hazard()]


def drives_of(part: Part, axes: Mapping[str, Axis]) -> list[Part]:
    """The drives that move a motor; empty for a part that is fed without a drive."""
    return [axis.drive for axis in axes.values() if part.name in {motor.name for motor in axis.motors}]


def _drive_is_live(drive: Part, point: OperatingPoint) -> bool:
    buses = [e for e in drive.of(Draw) if isinstance(e, Draw) and e.name == "bus"]
    fed = any(
        abs(point.between((drive.name, bus.a), (drive.name, bus.b), bus.kind)) >= max(0.5 * bus.lockout_v, 1.0)
        for bus in buses
    )
    data = drive.data
    if not fed or not isinstance(data, Drive) or not data.sto:
        return fed
    wanted = {
        (drive.name, coil.moves) for coil in drive.of(Coil) if isinstance(coil, Coil) and coil.moves.startswith("sto")
    }
    return wanted <= point.attracted


def _load_is_live(part: Part, point: OperatingPoint) -> bool:
    for element in part.elements:
        match element:
            case Draw() | Input() | Coil():
                kind, rated = element.kind or "DC", _rated_volts(part, element)
            case Resistance() if element.load:
                kind, rated = element.kind, _rated_volts(part, element)
            case _:
                continue
        for frequency in (kind,) if kind else ("DC", "AC"):
            volts = abs(point.between((part.name, element.a), (part.name, element.b), frequency))
            if volts > max(DEAD_SHARE * rated, 0.5):
                return True
    return False


def _rated_volts(part: Part, element: Draw | Input | Coil | Resistance) -> float:
    if isinstance(element, Input):
        return element.low_v
    if isinstance(element, Coil):
        return element.pick_up_v
    rated = getattr(part.data, "rated", None) or getattr(part.data, "voltage", None)
    voltage = getattr(rated, "voltage", rated)
    return float(getattr(voltage, "volts", 0.0))


def is_live(part: Part, axes: Mapping[str, Axis], point: OperatingPoint) -> bool:
    """Whether a hazard is fed at an operating point: a motor through its drive, anything else at its own terminals."""
    drives = drives_of(part, axes) if isinstance(part.data, Shaft) else []
    if drives:
        return any(_drive_is_live(drive, point) for drive in drives)
    return _load_is_live(part, point)
