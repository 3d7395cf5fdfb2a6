"""Voltages of rails: between conductors, to earth, and the worst that each element of a part sees in any state."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Rail, Role
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Function, Input, Resistance
from wiring.solver.lowering import line_to_neutral_v

if TYPE_CHECKING:
    from wiring.design.design import Design


@dataclass(frozen=True, slots=True)
class Level:
    """A voltage with its kind and the source that gives it; `volts` between conductors, `earth_v` to earth."""

    volts: float
    earth_v: float
    kind: str
    source: str


def rail_levels(design: Design) -> Mapping[Rail, Level]:
    """The voltage of every rail, the mains by the plan's own figure."""
    found = {}
    mains = design.plan.mains
    for pole in design.nets.poles:
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


def highest_at(design: Design, node: Node) -> Level | None:
    """The highest voltage of the rails that reach a node, through contacts too; a single line counts to neutral."""
    levels = design.levels
    rails = design.roles.rails.get(node, ())
    found = [levels[rail] for rail in rails if rail in levels]
    return max(found, key=lambda level: (level.volts, level.source), default=None)


def motor_levels(design: Design) -> Mapping[Node, Level]:
    """The voltage that each drive puts on the nets of its motor conductors."""
    found = {}
    for axis in design.axes.values():
        data = axis.drive.data
        if not isinstance(data, Drive):
            continue
        kind = data.supply.kind or "AC"
        three = getattr(data, "phases", "1") == "3" and kind == "AC"
        level = Level(data.supply.high, data.supply.high / (3.0**0.5 if three else 1.0), kind, axis.drive.name)
        for terminal in axis.drive.terminals.values():
            if terminal.function is Function.MOTOR:
                found[design.nets.of[axis.drive.name, terminal.name]] = level
    return found


def conductor_level(design: Design, conductor: Conductor, motors: Mapping[Node, Level]) -> Level | None:
    """The voltage that the insulation of a conductor sees, `motors` from `motor_levels`; None where there is none."""
    found = [level for end in conductor.ends if (level := highest_at(design, end)) is not None]
    found += [motors[net] for end in conductor.ends if (net := design.nets.of[end]) in motors]
    return max(found, key=lambda level: (level.earth_v, level.source), default=None)


Loaded = Draw | Coil | Input | Resistance


def worst_volts(design: Design, part: Part, element: Loaded, kind: str) -> tuple[float, str]:
    """The largest voltage of one kind across an element in any state [V], and that state."""
    ends = (part.name, element.a), (part.name, element.b)
    found = [(abs(point.between(*ends, kind)), state) for state, point in design.states.items()]
    return max(found, key=lambda entry: entry[0], default=(0.0, ""))
