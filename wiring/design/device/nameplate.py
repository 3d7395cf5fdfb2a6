"""What a nameplate says that must be computed: full-load current, largest motor or load, short-circuit rating."""

from __future__ import annotations

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.device.building_feed import line_currents
from wiring.design.device.devices import breaking_capacity
from wiring.design.fault.paths import MAINS
from wiring.design.fault.terminal_faults import opens_elsewhere, residual_devices
from wiring.design.motor.circuits import direct_motors, full_load, short_of_full_load
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.motors import Motor, ServoMotor, StepperMotor
from wiring.parts.passive import Terminals
from wiring.parts.protection import Disconnector, Fuse, MotorProtector
from wiring.parts.switching import Contactor
from wiring.plan.ratings import Rated
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.overcurrent import short_circuit_ratings
from wiring.wording import natural

#: Kinds of the table of default ratings, UL 508A supplement SB.
_COMPONENTS = (
    (Disconnector, "switch_unit"),
    (Contactor, "motor_controller_0_to_50_hp"),
    (Drive, "motor_controller_0_to_50_hp"),
    (MotorProtector, "overload_relay_auxiliary_device"),
    (Terminals, "terminal_block_or_power_distribution_block"),
    (Fuse, "fuseholder"),
)


def on_mains(design: Design) -> set[str]:
    """The names of the parts that a line of the mains reaches before a source of its own."""
    paths = design.short_circuits.paths
    reached = {node[0] for node, one in paths.hot.items() if paths.origins[one.origin].part == MAINS}
    return reached & set(design.parts)


def rated_components(design: Design) -> dict[str, str]:
    """The parts of the power circuit by name, each with its kind in the table of default ratings."""
    found = {}
    for name in sorted(on_mains(design)):
        data = design.parts[name].data
        kind = next((word for model, word in _COMPONENTS if isinstance(data, model)), None)
        breaks = isinstance(data, MotorProtector) and data.magnetic  # and is judged by what it breaks
        if kind is not None and not breaks:
            found[name] = kind
    return found


class FullLoad(Struct, frozen=True):
    """The largest current of a line [A] and its state; `motors` lack a full-load current, so the sum may be larger."""

    amps: float
    state: str
    motors: tuple[str, ...]


class LargestLoad(Struct, frozen=True):
    """The part of the highest rated power [W] and its rated current [A], None where that is not known."""

    part: str
    power_w: float
    amps: float | None


class ShortCircuitRating(Struct, frozen=True):
    """The least of the known ratings [A], None where none is, the part that has it, and the parts of unknown rating."""

    amps: float | None
    part: str
    unknown: tuple[str, ...]


def full_load_current(design: Design) -> FullLoad | None:
    """Of the state with the largest sum, motors without a drive at their full load. None where no mains enter.

    Source: NFPA 70, 670.3(A): not less than the sum of what works at the same time; here by the states of the plan.
    """
    found = {part.name: full_load(part) for part in direct_motors(design.machine)}
    loads = {name: one.value for name, one in found.items() if isinstance(one, Limit)}
    points = design.operation.loaded
    sums = {
        state: amps + short_of_full_load(design.machine, points[state], loads)
        for state, amps in line_currents(design.machine, design.operation).items()
    }
    if not sums:
        return None
    state = max(sums, key=lambda name: sums[name])
    return FullLoad(sums[state], state, tuple(sorted(set(found) - set(loads), key=natural)))


def largest_load(design: Design) -> LargestLoad | None:
    """The motor or load of the highest rated power; stepper motors have none and are not compared."""
    rows = [row for part in design.parts.values() if (row := _rated_load(part))]
    return max(rows, key=lambda row: (row.power_w, natural(row.part)), default=None)


def _rated_load(part: Part) -> LargestLoad | None:
    data = part.data
    if isinstance(data, Motor):
        current = full_load(part)
        return LargestLoad(part.name, data.rated_power, current.value if isinstance(current, Limit) else None)
    if isinstance(data, ServoMotor):
        return LargestLoad(part.name, data.rated_power, data.rated_current.rms_a if data.rated_current else None)
    rated = getattr(data, "rated", None)
    if isinstance(rated, Rated) and data.in_power and not isinstance(data, Drive):
        return LargestLoad(part.name, rated.power_w, rated.current_a)
    return None


def not_compared(design: Design) -> tuple[str, ...]:
    """The stepper motors, which have no rated power."""
    names = (part.name for part in design.parts.values() if isinstance(part.data, StepperMotor))
    return tuple(sorted(names, key=natural))


def short_circuit_rating(design: Design) -> ShortCircuitRating:
    """The least of what the parts on the mains are marked to stand, and of what the devices there break.

    Under the North American rulebook a part without a marking has the default of its kind (UL 508A supplement SB);
    under IEC 60204-1 it is unknown.
    """
    components = rated_components(design)
    marked = {name: rating for name in components if (rating := design.parts[name].data.short_circuit_rating)}
    if design.plan.rulebook == "na":
        stands = short_circuit_ratings(components, marked)
        known = {name: one.value for name, one in stands.items() if isinstance(one, Limit)}
    else:
        known = marked
    unknown = set(components) - set(known)
    for name, amps in _broken(design).items():
        if amps is None:
            unknown.add(name)
        else:
            known[name] = min(amps, known.get(name, amps))
    least = min(known, key=lambda name: (known[name], natural(name)), default="")
    return ShortCircuitRating(known.get(least), least, tuple(sorted(unknown, key=natural)))


def _broken(design: Design) -> dict[str, float | None]:
    """What each protective device on the mains breaks [A], None where it is not known."""
    there = on_mains(design)
    found: dict[str, float | None] = {}
    for row in design.short_circuits.devices.values():
        if row.part in there and not opens_elsewhere(design, row):
            capacity = breaking_capacity(design.parts[row.part], row.device)
            found[row.part] = capacity.value if isinstance(capacity, Limit) else None
    for one in residual_devices(design):
        if one.part in there:
            found[one.part] = one.stands.value if one.marked else None
    return found
