"""What disturbs and what listens in each route, how far routes lie apart, and the voltages brought into each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct, field

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor.drive_cables import drive_nets
from wiring.design.design import Design
from wiring.design.supply.levels import conductor_level
from wiring.design.supply.rail_levels import Level
from wiring.parts.base import Part
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Drive
from wiring.parts.elements import Function
from wiring.parts.signals import Encoder, IoCard, Isolator, Sensor
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.separation import separation


def levels_by_route(design: Design) -> dict[str, list[tuple[Conductor, Level | None]]]:
    """Conductors with the voltage that they bring, by their route; a wire or a cable without one for itself."""
    places: dict[str, list[tuple[Conductor, Level | None]]] = {}
    for conductor in design.circuit.conductors:
        if conductor.kind != "shield" and design.roles.of_conductor(conductor) is not Role.PE:
            level = conductor_level(design.machine, conductor)
            places.setdefault(conductor.route or f" {conductor.cable or conductor.id}", []).append((conductor, level))
    return places


def several_lines(design: Design, members: Sequence[tuple[Conductor, Level | None]]) -> dict[str, Level]:
    """The cables that hold several lines of the mains or phases of a motor, with the voltage between them."""
    lines: dict[str, dict[object, Level]] = {}
    for conductor, level in members:
        if conductor.cable is not None and level is not None and level.volts > level.earth_v * (1 + 1e-6):
            rails = {rail for end in conductor.ends for rail in design.roles.rails[end] if rail.role is Role.LIVE}
            line = min(rails, default=None) or design.nets.of[conductor.a]
            lines.setdefault(conductor.cable, {})[line] = level
    return {
        cable: max(found.values(), key=lambda level: (level.volts, level.source))
        for cable, found in lines.items()
        if len(found) > 1
    }


_LISTENERS = IoCard | Sensor | Encoder | Drive | Isolator


class Lane(Struct):
    """What lies in a route: conductors that disturb and those that listen, both by their class."""

    loud: dict[str, list[Conductor]] = field(default_factory=dict)
    quiet: dict[str, list[Conductor]] = field(default_factory=dict)


def lanes_of(design: Design) -> dict[str, Lane]:
    """What disturbs and what listens, by route."""
    screened = {cable.cable for cable in design.plan.cables if cable.shield is not None and cable.shield.ends}
    drives = drive_nets(design.machine)
    steppers = {axis.drive.name for axis in design.axes.values()}
    lanes: dict[str, Lane] = {}
    for conductor in design.circuit.conductors:
        if conductor.route is None or conductor.kind == "shield":
            continue
        screen = "screened" if conductor.cable in screened else "unscreened"
        role = design.roles.of_conductor(conductor)
        lane = lanes.setdefault(conductor.route, Lane())
        if design.nets.of[conductor.a] in drives or (role is Role.MOTOR and {e[0] for e in conductor.ends} & steppers):
            lane.loud.setdefault(f"{screen} motor", []).append(conductor)
        elif role in (Role.LIVE, Role.NEUTRAL) and screen == "unscreened":
            lane.loud.setdefault("unscreened power", []).append(conductor)
        elif role is Role.SIGNAL and (readers := _readers(design, conductor)):
            slow = all(_is_filtered(part, terminal) for part, terminal in readers)
            sort = "screened signal" if screen == "screened" else "filtered input" if slow else "signal"
            lane.quiet.setdefault(sort, []).append(conductor)
    return lanes


def floating_screens(design: Design, conductors: Iterable[Conductor]) -> list[str]:
    """The cables of some conductors whose screen is bonded nowhere, and so screens nothing."""
    cables = dict.fromkeys(c.cable for c in conductors if c.cable is not None)
    shields = {name: design.origins.cables[name].shield for name in cables}
    return [name for name, shield in shields.items() if shield is not None and not shield.ends]


def _readers(design: Design, conductor: Conductor) -> list[tuple[Part, str]]:
    """The electronics that read a signal; the channels of a safety relay and what an output drives bear noise."""
    members = [node for node in design.nets.members[design.nets.of[conductor.a]] if node[0] in design.parts]
    return [(design.parts[name], end) for name, end in members if _listens(design.parts[name], end)]


#: Inputs for this voltage and above are those of IEC 61131-2, with a filter of milliseconds and a least current [V].
_FILTERED_V = 24.0
_QUICK = ("analog", "encoder", "step", "direction", "probe")


def _is_filtered(part: Part, terminal: str) -> bool:
    """Whether a terminal reads contacts and proximity sensors and nothing faster, or takes the torque off."""
    data = part.data
    if isinstance(data, Drive):
        return any(terminal in split_pair(pair) for pair in data.sto)
    if isinstance(data, Sensor):
        return data.output != "analog" and data.purpose != "probe"
    volts = data.input_voltage if isinstance(data, IoCard) else None
    word = data.functions.get(terminal, "") if isinstance(data, IoCard) else ""
    return volts is not None and volts.volts >= _FILTERED_V and not word.startswith(_QUICK)


def _listens(part: Part, terminal: str) -> bool:
    return isinstance(part.data, _LISTENERS) and part.terminals[terminal].function is not Function.OUTPUT


def _common_run_m(first: list[Conductor], second: list[Conductor]) -> float:
    """The longest way that two groups can run along each other [m]; unknown lengths count as long."""
    longest = [max(float("inf") if c.length_m is None else c.length_m for c in group) for group in (first, second)]
    return min(longest)


def widest_separation(quiet: Lane, loud: Lane, short: float) -> tuple[str, str, Limit] | None:
    """The class of what disturbs most, that of what it disturbs, and the distance that they ask for [mm]; None where
    runs are short."""
    found = []
    for sort, conductors in loud.loud.items():
        for listening, signals in quiet.quiet.items():
            limit = separation(sort, listening)
            if not isinstance(limit, NotTabled) and _common_run_m(signals, conductors) > short:
                found.append((sort, listening, limit))
    return max(found, key=lambda entry: (entry[2].value, entry[0], entry[1]), default=None)


def distance_m(design: Design, first: str, second: str) -> float | None:
    """How far two routes lie apart [m]; None where the plan does not say."""
    if first == second:
        return 0.0
    routes = design.plan.routes
    given = [routes[a].apart.get(b) for a, b in ((first, second), (second, first)) if a in routes]
    return min((value for value in given if value is not None), default=None)
