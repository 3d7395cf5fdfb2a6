"""The condition between a device and the conductor behind it, and the size that a device asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor, Node
from wiring.design.conductor.overload_protection import (
    LEAST_IN_PARALLEL_MM2,
    allowed_rating,
    allowed_rating_alone,
    overload_setting_behind,
)
from wiring.design.conductor.parallel import Parallel
from wiring.design.conductor.tapped_conductors import Tap, tap
from wiring.design.conductor.use import use_of
from wiring.design.design import Design
from wiring.design.device.devices import conventional_source
from wiring.design.device.nearest_devices import nearest_above
from wiring.design.device.overcurrent_protection import Protection, protection_of
from wiring.design.edits import led_to
from wiring.parts.elements import Pole
from wiring.plan.edits import Edit
from wiring.quantities import WireSize
from wiring.requirement import Quantity, Requirement
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source
from wiring.rulebooks.overcurrent import LASTING_FACTOR, Verdict, protects_conductor


def _broken_condition(design: Design, protection: Protection, limit: Limit) -> Verdict | None:
    """The condition between a device and a conductor that does not hold; None where both do."""
    first, second = protects_conductor(
        design.plan.rulebook, protection.rating_a, protection.conventional_operating_a, limit
    )
    if not first.holds:
        return replace(first, limit=limit)
    return None if second.holds else second


def conventional_current_source(design: Design, protection: Protection) -> Source | None:
    """Where the current that a device lets pass for ever stands; None for what the plan or another part limits."""
    known = design.devices.by_name.get(protection.part)
    if known is None or known.device is None:
        return None
    own_a = protection_of(protection.part, known.device).conventional_operating_a
    return conventional_source(known.device, dc=False) if protection.conventional_operating_a == own_a else None


def _has_overload_device_behind(design: Design, name: str) -> bool:
    """Whether an overload device behind a conductor guards it."""
    conductor = design.circuit.conductor[name]
    figure = design.conductors.get(name)
    known = figure is not None and isinstance(figure.ampacity, Limit)
    return known and overload_setting_behind(design.machine, design.short_circuits.paths, conductor) is not None


def smallest_size_behind(design: Design, name: str, protection: Protection) -> WireSize | None:
    """The smallest size that the device may stand in front of: by its ampacity, and by the limit for small conductors.

    Behind it an overload device, or those of several motors, may guard the conductor in its place.
    """
    machine, conductor, figure = design.machine, design.circuit.conductor[name], design.conductors[name]
    use = "control" if use_of(machine, conductor) in ("control", "signal") else "power"
    guarded_from_a = _guarded_from(design, conductor, protection)
    amps = max(protection.rating_a, protection.conventional_operating_a / LASTING_FACTOR)
    mates = machine.parallel.get(name)
    share = mates.shares.get(name, 1.0) if mates else 1.0
    end = tap_of(design, name)
    for size in machine.book.standard_sizes():
        ampacity = machine.book.ampacity(size, figure.insulation_c, figure.laying)
        if not isinstance(ampacity, Limit):
            continue
        tapped = end is not None and end.allows(machine.plan.rulebook, protection.rating_a, ampacity)
        if tapped or guarded_from_a <= ampacity.value * (1 + 1e-9):
            return size
        alone = machine.plan.rulebook == "na" and size.area_mm2 < LEAST_IN_PARALLEL_MM2
        small = machine.book.largest_device(size, use) if machine.plan.rulebook == "na" else None
        held = isinstance(small, Limit) and small.value < protection.rating_a
        if ampacity.value * (1 + 1e-9) >= amps * (1.0 if alone else share) and not held:
            return size
    return None


def _guarded_from(design: Design, conductor: Conductor, protection: Protection) -> float:
    """The ampacity from which devices behind a conductor guard it against overload [A]; infinite without any."""
    setting = overload_setting_behind(design.machine, design.short_circuits.paths, conductor)
    feeder = design.faults.motor_feeders.get(conductor.id)
    fed = feeder is not None and protection.rating_a <= feeder.device.value * (1 + 1e-9)
    return min(inf if setting is None else setting, feeder.needed_a if feeder is not None and fed else inf)


def parallel_current_a(design: Design, mates: Parallel) -> float:
    """What conductors in parallel carry together [A]."""
    return sum(design.conductors[name].current_a for name in mates.names)


def each_suffices(design: Design, mates: Parallel) -> bool:
    """Whether every one of them could carry the load, and whatever the device in front lets pass, alone."""
    total = parallel_current_a(design, mates)
    for name in mates.names:
        alone, ampacity, protection = (
            allowed_rating_alone(design.loading, design.faults, name),
            design.conductors[name].ampacity,
            design.protections.get(name),
        )
        if alone is None or isinstance(ampacity, NotTabled) or total > ampacity.value:
            return False
        if protection is not None and protection.rating_a != inf and protection.rating_a > alone.value * (1 + 1e-9):
            return False
    return True


class TooThin(Struct, frozen=True):
    """A conductor that is too thin for the device ahead of it, with the condition that this breaks.

    `tap` is what it is part of where it may be as thin because a device at its far end guards it; `own` is the last
    device of the machine ahead of it that is too large for it, where another one limits what flows.
    """

    name: str
    protection: Protection
    broken: Verdict
    tap: Tap | None = None
    own: str = ""

    @property
    def share(self) -> float:
        """What the conductor allows of what the device lets pass."""
        return self.broken.limit.value / self.broken.value

    @property
    def most_a(self) -> float:
        """The largest rating that the conductor allows a device of that family [A]."""
        return self.protection.rating_a * self.share


def too_thin(design: Design) -> Iterator[TooThin]:
    """Every conductor that is too thin for the device ahead of it, by device; one that may carry nothing is none."""
    for name, protection in sorted(design.protections.items(), key=lambda row: row[1].part):
        limit = allowed_rating(design.loading, design.faults, name)
        known = limit is not None and limit.value > 0.0 and protection.rating_a != inf
        broken = _broken_condition(design, protection, limit) if known and limit is not None else None
        if broken is not None and limit is not None:
            thin = TooThin(name, protection, broken, _allowed_tap(design, name, protection, limit))
            ends = design.circuit.conductor[name].ends
            yield replace(thin, own=nearest_above(design, ends, thin.most_a) or protection.part)


def tap_of(design: Design, name: str) -> Tap | None:
    """The tap that a conductor is part of, whether it may be one or not; None for any other conductor."""
    ratings = {one: known.device.rating_a for one, known in design.devices.by_name.items() if known.device}
    return tap(design.machine, design.short_circuits.paths, ratings, design.circuit.conductor[name])


def _allowed_tap(design: Design, name: str, protection: Protection, limit: Limit) -> Tap | None:
    end = tap_of(design, name)
    return end if end is not None and end.allows(design.plan.rulebook, protection.rating_a, limit) else None


def _open_poles(design: Design, name: str) -> list[tuple[Node, Node]]:
    """Where a conductor begins on the metal in front of a pole that feeds nothing, and the other side of that pole."""
    conductor, found = design.circuit.conductor[name], list[tuple[Node, Node]]()
    hot = design.short_circuits.paths.hot
    starts = [hot[end].before for end in conductor.ends if end in hot and hot[end].back is conductor]
    for device in design.devices.by_name:
        for pole in design.parts[device].of(Pole) if device in design.parts else ():
            pair = (device, pole.a), (device, pole.b)
            for near, far in (pair, pair[::-1]):
                if not design.circuit.conductors_at(far):
                    found += [(end, far) for end in starts if end and design.nets.of[end] == design.nets.of[near]]
    return found


def led_behind(design: Design, names: Sequence[str]) -> Iterator[tuple[str, Node, tuple[Edit, ...]]]:
    """Conductors that begin on the metal in front of the one pole that feeds nothing, each led to its other side."""
    for name in names:
        found = _open_poles(design, name)
        edits = led_to(design, design.circuit.conductor[name], *found[0]) if len(found) == 1 else ()
        if edits:
            yield name, found[0][1], edits


def largest_behind(design: Design, name: str, protection: Protection) -> float | None:
    """The largest rating that a conductor allows the device ahead of it [A]; None where it allows the one there is."""
    limit = allowed_rating(design.loading, design.faults, name)
    broken = _broken_condition(design, protection, limit) if limit is not None else None
    if broken is None or limit is None or _allowed_tap(design, name, protection, limit) is not None:
        return None
    return TooThin(name, protection, broken).most_a


def size_required(design: Design, rule: str, name: str, protection: Protection) -> Requirement:
    """The size of a conductor behind a device, or the rating of the device where the conductor cannot be as thick."""
    size, most = smallest_size_behind(design, name, protection), largest_behind(design, name, protection)
    why = f"{protection.part} of {protection.rating_a:.3g} A in front of it"
    smaller: tuple[Requirement, ...] = ()
    if most is not None and protection.part in design.parts:
        smaller = (Requirement(rule, protection.part, Quantity.RATING, most=most, why=f"{name} behind it"),)
    return Requirement(rule, name, Quantity.AREA, size.area_mm2 if size else inf, why=why, instead=smaller)


def held_to_size(design: Design) -> Iterator[tuple[str, Protection]]:
    """Conductors that are held against the device ahead, by their ampacity or by an overload device behind them."""
    for name, protection in design.protections.items():
        limited = allowed_rating(design.loading, design.faults, name) is not None
        if protection.rating_a != inf and (limited or _has_overload_device_behind(design, name)):
            yield name, protection


def size_and_length(conductor: Conductor) -> str:
    """The size of a conductor, with its length where the plan has it."""
    assert conductor.size is not None
    long = f", {conductor.length_m:.3g} m" if conductor.length_m is not None else ""
    return f"{conductor.size.text}{long}"
