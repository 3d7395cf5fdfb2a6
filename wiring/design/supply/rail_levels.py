"""The voltage of every rail and of what drives feed, between conductors and to earth."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from wiring.circuit.axes import Axis
from wiring.circuit.model import Node
from wiring.circuit.roles import Rail, Role
from wiring.design.nets import Nets
from wiring.parts.drives import Drive
from wiring.parts.elements import Function
from wiring.plan.site import Mains
from wiring.solver.lowering import line_to_neutral_v


class Level(Struct, frozen=True):
    """A voltage with its kind and the source that gives it; `volts` between conductors, `earth_v` to earth."""

    volts: float
    earth_v: float
    kind: str
    source: str


def rail_levels(nets: Nets, mains: Mains | None) -> Mapping[Rail, Level]:
    """The voltage of every rail, the mains by the plan's own figure."""
    found = {}
    for pole in nets.poles:
        if pole.sign[0] in "LN":
            line = line_to_neutral_v(mains) if mains else 0.0
            highest = mains.voltage.volts if mains else 0.0
            role = Role.NEUTRAL if pole.sign == "N" else Role.LIVE
            to_earth = highest if mains and mains.earthing == "IT" else line
            found[Rail(role, pole.sign)] = Level(highest if role is Role.LIVE else line, to_earth, "AC", pole.source)
        else:
            role = {"+": Role.PLUS, "-": Role.ZERO}.get(pole.sign, Role.AC)
            found[Rail(role, pole.source)] = Level(pole.volts, pole.volts, pole.kind, pole.source)
    return found


def motor_levels(axes: Iterable[Axis], nets: Nets) -> Mapping[Node, Level]:
    """The voltage that each drive puts on the nets of its motor conductors and of its braking resistor: insulation is
    rated by the voltage of the supply, of which the bus is the peak."""
    found = {}
    for axis in axes:
        data = axis.drive.data
        if not isinstance(data, Drive):
            continue
        kind = data.supply.kind or "AC"
        three = getattr(data, "phases", "1") == "3" and kind == "AC"
        level = Level(data.supply.high, data.supply.high / (3.0**0.5 if three else 1.0), kind, axis.drive.name)
        for terminal in axis.drive.terminals.values():
            if terminal.function in (Function.MOTOR, Function.LOAD):
                found[nets.of[axis.drive.name, terminal.name]] = level
    return found
