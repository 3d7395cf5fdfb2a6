"""What every conductor carries and may carry: current, ampacity, drop, temperature."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from math import ceil, hypot

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor.place import insulation_c, is_outside
from wiring.design.conductor.use import braking_circuit, use_of
from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.design.device.protective_devices import ProtectiveDevices
from wiring.design.enclosure.cabinet import Cabinet
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.conductors import loaded_temperature_c
from wiring.rulebooks.laying import Laying
from wiring.rulebooks.limits import tabled

#: A conductor loaded below this share of its grouped ampacity heats no neighbour; in the North American book this holds
#: for control circuits, while power conductors all count there.
LIGHTLY_LOADED = {
    "iec": tabled("iec", "group_load_ignored_below").value / 100.0,
    "na": tabled("na", "control_load_ignored_below").value / 100.0,
}
#: Single conductors in a wireway are not adjusted up to this number.
WIREWAY_FREE = int(tabled("na", "wireway_count_free").value)
#: Conductors that lie together over no more than this length do not heat each other [m].
BUNDLED_ABOVE_M = tabled("na", "bundle_length_free").value
_CARRYING = (Role.LIVE, Role.NEUTRAL, Role.PLUS, Role.ZERO, Role.AC, Role.MOTOR, Role.SIGNAL)


class ConductorFigure(Struct, frozen=True):
    """One conductor in its worst state. `ampacity` is a limit, or the reason why there is none.

    `drop_v` is along this conductor alone. `temperature_c` is None where the ampacity is not known. `at_most` is then
    the ampacity of the thinnest tabled size, for a conductor that is thinner still.
    """

    current_a: float
    state: str
    ampacity: Limit | NotTabled
    drop_v: float
    temperature_c: float | None
    insulation_c: float
    laying: Laying
    at_most: Limit | None = None

    @property
    def bound(self) -> Limit | None:
        """What it may carry, or what it may carry at the very most; None where neither is known."""
        return self.at_most if isinstance(self.ampacity, NotTabled) else self.ampacity

    @property
    def share(self) -> float:
        """What it carries of what it may."""
        return self.current_a / self.bound.value if self.bound else 0.0

    @property
    def ambient_c(self) -> float:
        """Air temperature around it [°C]."""
        return self.laying.ambient_c


class Loading(Struct, frozen=True, dict=True):
    """What the conductors of a machine carry at work."""

    machine: Machine
    operation: Operation
    cabinet: Cabinet
    devices: ProtectiveDevices

    @cached_property
    def figures(self) -> Mapping[str, ConductorFigure]:
        """The figures of every conductor that is meant to carry load current."""
        currents = _currents(self)
        heating = _heating(self, currents)
        return {one.id: _figure(self, one, currents, heating) for one in self.carrying.values()}

    @cached_property
    def carrying(self) -> Mapping[str, Conductor]:
        """The conductors that are meant to carry load current, by their id."""
        role = self.machine.roles.of_conductor
        found = [one for one in self.machine.circuit.conductors if one.kind != "shield"]
        return {one.id: one for one in found if role(one) in _CARRYING or one.id in self.braking}

    @cached_property
    def braking(self) -> Mapping[str, tuple[float, str]]:
        """What the conductors of braking resistors carry lastingly at most [A], and the resistor, by their id."""
        rows = ((one.id, braking_circuit(self.machine, one)) for one in self.machine.circuit.conductors)
        return {name: row for name, row in rows if row is not None}

    @cached_property
    def alone(self) -> Mapping[str, Laying]:
        """How each of them is laid, those beside it left out."""
        return {name: _base_laying(self, one) for name, one in self.carrying.items()}


def ambient_c(loading: Loading, conductor: Conductor) -> float:
    """Air temperature around a conductor [°C]: its route's own, the site's outside, the computed one in the cabinet."""
    route = loading.machine.plan.routes.get(conductor.route or "")
    if route and route.ambient is not None:
        return route.ambient
    outside_c = loading.machine.ambient_c
    return outside_c if is_outside(loading.machine, conductor) else max(loading.cabinet.inside.inside_c, outside_c)


def _currents(loading: Loading) -> dict[str, tuple[float, str]]:
    """The largest current of every conductor over the states, DC and AC taken together, and its state."""
    worst: dict[str, tuple[float, str]] = {}
    for state, point in loading.operation.loaded.items():
        dc, ac = point.path_current("DC"), point.path_current("AC")
        for conductor in loading.machine.circuit.conductors:
            amps = hypot(abs(dc.get(conductor.id, 0.0)), abs(ac.get(conductor.id, 0.0)))
            if amps > worst.get(conductor.id, (-1.0, ""))[0]:
                worst[conductor.id] = (amps, state)
    worst.update(_motor_currents(loading))
    worst.update({name: (amps, "as the resistor bears it") for name, (amps, _) in loading.braking.items()})
    return worst


def _motor_currents(loading: Loading) -> dict[str, tuple[float, str]]:
    """Motor conductors carry the phase current that their drive is set to, whatever the bus takes.

    Of several for one phase each carries its share; all of the current where the shares are not known.
    """
    found: dict[str, tuple[float, str]] = {}
    for conductor in loading.machine.circuit.conductors:
        protection = loading.devices.protections.get(conductor.id)
        if protection is not None and protection.family == "drive":
            mates = loading.machine.parallel.get(conductor.id)
            share = mates.shares.get(conductor.id, 1.0) if mates else 1.0
            found[conductor.id] = (protection.rating_a * share, "as the drive is set")
    return found


def _base_laying(loading: Loading, conductor: Conductor) -> Laying:
    route = loading.machine.plan.routes.get(conductor.route or "")
    kind = route.kind if route else "open"
    location = "machine" if is_outside(loading.machine, conductor) else "enclosure"
    cores = _loaded_cores(loading, conductor) if conductor.cable else 0
    terminals = _terminal_c(loading.machine, conductor)
    return Laying(kind, ambient_c(loading, conductor), location, cores, 1, min(max(cores, 2), 3), terminals)


def _terminal_c(machine: Machine, conductor: Conductor) -> float | None:
    """Temperature that the terminals at both ends are marked for [°C], None where one end has no marking."""
    marked = [machine.parts[name].data.terminal_temperature for name, _ in conductor.ends if name in machine.parts]
    known = [temperature for temperature in marked if temperature is not None]
    return min(known) if len(known) == len(conductor.ends) else None


def _bundles(machine: Machine, conductor: Conductor) -> bool:
    """Whether a conductor is long enough for the heat of others beside it to count."""
    short = conductor.length_m is not None and conductor.length_m <= BUNDLED_ABOVE_M * (1 + 1e-9)
    return machine.plan.rulebook != "na" or not short


def _loaded_cores(loading: Loading, conductor: Conductor) -> int:
    mates = [
        core for core in loading.machine.circuit.cables.get(conductor.cable or "", ()) if core.id in loading.carrying
    ]
    return max(len(mates), 1)


def _heating(loading: Loading, currents: Mapping[str, tuple[float, str]]) -> dict[str, _Heating]:
    """For every route the conductors in it that are loaded enough to heat the others."""
    routed: dict[str, list[Conductor]] = {}
    for conductor in loading.carrying.values():
        if conductor.route is not None and conductor.size is not None:
            routed.setdefault(conductor.route, []).append(conductor)
    return {
        route: _bundled(
            loading, [one for one in mates if _heats(loading, one, currents.get(one.id, (0.0, ""))[0], len(mates))]
        )
        for route, mates in routed.items()
    }


def _heats(loading: Loading, conductor: Conductor, amps: float, together: int) -> bool:
    """Whether a conductor counts among the loaded ones, held against its ampacity with all of its route counted."""
    assert conductor.size is not None
    power = loading.machine.plan.rulebook == "na" and use_of(loading.machine, conductor) == "power"
    if power:
        return amps > 0.0
    laying = replace(loading.alone[conductor.id], loaded_circuits=ceil(together / 2), loaded_conductors=together)
    grouped = loading.machine.book.ampacity(conductor.size, insulation_c(loading.machine, conductor), laying)
    return isinstance(grouped, Limit) and amps > LIGHTLY_LOADED[loading.machine.plan.rulebook] * grouped.value


def _circuit(loading: Loading, conductor: Conductor) -> str:
    """What makes conductors one circuit: their cable, their braking resistor, or the device that protects them all."""
    if conductor.id in loading.braking:
        return conductor.cable or loading.braking[conductor.id][1]
    protection = loading.devices.protections.get(conductor.id)
    return conductor.cable or ((protection.feeder or protection.part) if protection else conductor.number)


class _Heating(Struct, frozen=True):
    """The loaded conductors of a route, bundled: their circuits, their numbers, and those numbers that one cable alone
    has, by cable."""

    circuits: frozenset[str] = frozenset()
    numbers: frozenset[str] = frozenset()
    only_in: Mapping[str, frozenset[str]] = {}


def _bundled(loading: Loading, heating: Sequence[Conductor]) -> _Heating:
    mates = [mate for mate in heating if _bundles(loading.machine, mate)]
    cables: dict[str, set[str | None]] = {}
    for mate in mates:
        cables.setdefault(mate.number, set()).add(mate.cable)
    only_in: dict[str, set[str]] = {}
    for number, some in cables.items():
        [first, *more] = some
        if first is not None and not more:
            only_in.setdefault(first, set()).add(number)
    alone = {cable: frozenset(numbers) for cable, numbers in only_in.items()}
    return _Heating(frozenset(_circuit(loading, mate) for mate in mates), frozenset(cables), alone)


def _together(loading: Loading, conductor: Conductor, cores: int, heating: Mapping[str, _Heating]) -> tuple[int, int]:
    """Loaded circuits and current-carrying conductors in the same route, this one's own included.

    Conductors behind one device are one circuit, whatever lies between them; pieces of a chain count as one conductor.
    """
    mates = heating.get(conductor.route or "") if _bundles(loading.machine, conductor) else None
    mates = mates or _Heating()
    own = mates.only_in.get(conductor.cable or "", frozenset())
    own = own | {conductor.number} if conductor.number in mates.numbers else own
    circuit = _circuit(loading, conductor)
    return len(mates.circuits) + (circuit not in mates.circuits), len(mates.numbers) - len(own) + max(cores, 1)


def _heated_cores(loading: Loading, conductor: Conductor, currents: Mapping[str, tuple[float, str]]) -> int:
    """A core and those beside it in its cable that are loaded enough to heat it."""
    mates = [one for one in loading.machine.circuit.cables[conductor.cable or ""] if one.id in loading.carrying]
    others = [one for one in mates if one.id != conductor.id and one.size is not None]
    return 1 + sum(_is_hot(loading, one, currents, len(mates)) for one in others)


def _is_hot(loading: Loading, core: Conductor, currents: Mapping[str, tuple[float, str]], together: int) -> bool:
    """Whether a core counts as loaded; that of a motor does where its current is not known."""
    amps = currents.get(core.id, (0.0, ""))[0]
    unknown = amps == 0.0 and loading.machine.roles.of_conductor(core) is Role.MOTOR
    return unknown or _heats(loading, core, amps, together)


def _laying(
    loading: Loading,
    conductor: Conductor,
    currents: Mapping[str, tuple[float, str]],
    heating: Mapping[str, _Heating],
) -> Laying:
    base = loading.alone[conductor.id]
    if conductor.cable:
        base = replace(base, cores=_heated_cores(loading, conductor, currents))
    circuits, count = _together(loading, conductor, base.cores, heating)
    if loading.machine.plan.rulebook == "na" and base.kind == "duct" and not base.cores and count <= WIREWAY_FREE:
        count = 1
    return replace(base, loaded_circuits=circuits, loaded_conductors=max(count, base.loaded_conductors))


def _figure(
    loading: Loading,
    conductor: Conductor,
    currents: Mapping[str, tuple[float, str]],
    heating: Mapping[str, _Heating],
) -> ConductorFigure:
    amps, state = currents.get(conductor.id, (0.0, ""))
    rated_c = insulation_c(loading.machine, conductor)
    laying = _laying(loading, conductor, currents, heating)
    limit: Limit | NotTabled = NotTabled(f"the size of {conductor.id}")
    if conductor.size is not None:
        limit = loading.machine.book.ampacity(conductor.size, rated_c, laying)
    hot = None
    if isinstance(limit, Limit) and limit.value > 0:
        hot = loaded_temperature_c(amps, limit.value, laying.ambient_c, rated_c)
    ohm = conductor_ohm(loading.machine.book, conductor, loading.machine.ambient_c)
    at_most = _at_most(loading, conductor, rated_c, laying) if isinstance(limit, NotTabled) else None
    return ConductorFigure(amps, state, limit, amps * ohm, hot, rated_c, laying, at_most)


def _at_most(loading: Loading, conductor: Conductor, rated_c: float, laying: Laying) -> Limit | None:
    """The ampacity of the thinnest tabled size where a conductor is thinner: below the smallest row that row bounds."""
    if conductor.size is None:
        return None
    book = loading.machine.book
    tabled = ((size, book.ampacity(size, rated_c, laying)) for size in book.standard_sizes())
    size, limit = next(((size, one) for size, one in tabled if isinstance(one, Limit)), (None, None))
    if size is None or limit is None or conductor.size.area_mm2 >= size.area_mm2 * (1 - 1e-9):
        return None
    return replace(limit, note=f"that of {size.text}, the thinnest size of the table, which {conductor.id} is below")
