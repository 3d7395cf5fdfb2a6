"""What sizing is asked for beside the rules: what a rule cannot see in the states, and what hands can work with."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from msgspec.structs import replace

from wiring.describe.trade import BOOKS, WIDE_LEAST, is_thick
from wiring.design.design import Design
from wiring.design.enclosure.cabinet_cooling import needed_cooling
from wiring.design.motor.drive_feeds import bus_feed
from wiring.design.motor.protection import asked_ampacities, branch_limits, full_loads
from wiring.design.supply.supplies import needed_rating
from wiring.parts.base import Part
from wiring.parts.drives import Inverter
from wiring.parts.machinery import inverter_input_current
from wiring.parts.motors import Motor
from wiring.quantities import parse_wire_size
from wiring.requirement import CABINET, Quantity, Requirement
from wiring.rulebooks.enclosure import highest_inside
from wiring.rules.supply_peak_exceeded import needed

HANDLING, RATED_INPUT, ROOM, MOTORS, COOLED = "handling", "rated-input", "room", "motors", "cooled"
#: What a cabinet that is kept cool may be warmer than the air around it: a filter fan does not do better [K].
COOL_K = 8.0
#: The least conductor behind one device of several motors for which its largest rating is tabled (NFPA 79, 7.2.10.4).
_GROUP_LEAST = "14 AWG"
#: Share of supplies, fuses and breakers that stays free.
FREE = 0.2
#: Power factor of a rectifier without choke, by its phases, where the inverter gives none.
_POWER_FACTOR = {"1": 0.6, "3": 0.75}


def floors(design: Design, room: int = 0, *, cool: bool = False) -> Iterator[Requirement]:
    """Conductors that can be handled, devices that bear an inverter at rated power, supplies with room for axes."""
    if room:
        yield from _room(design, room)
    if cool:
        yield from _cooled(design)
    least = BOOKS[design.plan.rulebook].least
    for conductor in design.circuit.conductors:
        if conductor.size is not None and conductor.kind != "shield":
            why = "thinner ones break when they are handled"
            area = parse_wire_size(least).area_mm2
            yield Requirement(HANDLING, conductor.id, Quantity.AREA, area, why=why)
    yield from _behind_group(design)
    yield from _beside_thick(design)
    for axis in design.axes.values():
        for motor in axis.motors:
            if isinstance(axis.drive.data, Inverter) and isinstance(motor.data, Motor):
                yield from _rated_input(design, axis.drive, axis.drive.data, motor.data)


def _cooled(design: Design) -> Iterator[Requirement]:
    """Air that keeps the cabinet little warmer than the air around it."""
    inside = design.inside
    if inside.heat_w > 0.0 and inside.rise_k is not None:
        limit = replace(highest_inside("electronic"), value=design.ambient_c + COOL_K)
        why = f"{inside.heat_w:.3g} W; warmer than {limit.value:.0f} °C, conductors are too thick for their terminals"
        yield Requirement(COOLED, CABINET, Quantity.AIRFLOW, needed_cooling(design, limit)[0], why=why)


def _beside_thick(design: Design) -> Iterator[Requirement]:
    """Neutrals at a row of which one terminal takes a thick feed: such a row takes no thin ones."""
    if is_thick(design.plan.rulebook, design.plan.mains):
        least = parse_wire_size(WIDE_LEAST).area_mm2
        for one in design.circuit.conductors:
            if one.size is not None and any(name == "XN" for name, _ in one.ends):
                yield Requirement(
                    HANDLING, one.id, Quantity.AREA, least, why="its row of terminals takes no thinner one"
                )


def _behind_group(design: Design) -> Iterator[Requirement]:
    """What feeds several motors behind one device, where the book tables the device by its conductors."""
    grouped = {name for _, motors, _ in branch_limits(design) if len(motors) > 1 for name in motors}
    least = parse_wire_size(_GROUP_LEAST).area_mm2
    for conductor, motors, _ in asked_ampacities(design, full_loads(design), FREE):
        if grouped & set(motors):
            why = "one device for several motors is tabled for no thinner one"
            yield Requirement(MOTORS, conductor, Quantity.AREA, least, why=why)


def _room(design: Design, room: int) -> Iterator[Requirement]:
    """A supply with drives bears `room` more of them, each taking what the present ones take in the mean."""
    for name, rows in design.power.budgeted.items():
        drives = [axis.drive for axis in design.axes.values() if supply_of(design, axis.drive) == name]
        if not drives:
            continue
        more, part = 1.0 + room / len(drives), design.parts[name]
        current_a = more * max(row.current_a for row in rows.values())
        peak = needed(part, more * max(row.peak_a for row in rows.values()))
        least = max(needed_rating(part, current_a, design.inside.device_c, FREE), peak)
        yield Requirement(ROOM, name, Quantity.RATING, least, why=f"{current_a:.3g} A with room for {room} more")


def supply_of(design: Design, drive: Part) -> str:
    """The supply on whose rail a drive hangs, "" for none."""
    feed = bus_feed(design, drive)
    return feed.origin.part if feed is not None else ""


def _rated_input(design: Design, part: Part, inverter: Inverter, motor: Motor) -> Iterator[Requirement]:
    """The last device in front of an inverter bears its input at the power that inverter and motor can give."""
    paths = design.short_circuits.paths
    fed = paths.hot.get((part.name, inverter.supply_terminals()[0]))
    mains = design.plan.mains
    if fed is None or not fed.devices or mains is None:
        return
    star = mains.system == "three-phase" and inverter.phases == "1" and design.plan.rulebook == "iec"
    amps = inverter_input_current(
        shaft_w=min(inverter.rated, motor.rated_power),
        motor_efficiency=motor.loaded_efficiency,
        inverter_efficiency=inverter.efficiency,
        volts=mains.voltage.volts / (sqrt(3.0) if star else 1.0),
        power_factor=inverter.power_factor or _POWER_FACTOR[inverter.phases],
        phases=int(inverter.phases),
    )
    why = f"{amps:.3g} A at the rated power of {part.name}"
    yield Requirement(RATED_INPUT, fed.devices[-1], Quantity.RATING, amps, why=why)
