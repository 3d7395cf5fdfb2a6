"""Drives for the motors of the axes, and the voltage of the rails that feed them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.describe.axes import RAILS_V, Motion
from wiring.describe.build import Build, Refused, least, library_of, own_model, part_words
from wiring.describe.description import Description, PartWords
from wiring.describe.mains import TOLERANCE
from wiring.parts.drives import MainsDrive, ServoDrive, StepperDrive
from wiring.parts.motion import highest_useful_bus_voltage
from wiring.parts.motors import ServoMotor, StepperMotor
from wiring.plan.ratings import VoltageRange
from wiring.plan.site import BuildingRcd

Prices = Mapping[str, str]
_NONE: Prices = {}
#: A rail lies this far inside the window of a drive, where the window is wide (the rule of the window).
_INSIDE = 0.10
#: A drive may be set this far below its motor: it costs torque and nothing else.
_SHORT = 0.88
_SERVO_RAIL_V = 48.0
#: Taken where a drive does not say what it leaks: above the 10 mA from which on no more is asked of its protective
#: conductors (IEC 60204-1:2016, 8.2.6), whatever it is.
UNSEEN_LEAKAGE = "12 mA"


def stands_at(supply: VoltageRange, volts: float) -> bool:
    """Whether what is made for that supply stands at a voltage [V]: a tenth beside a single, nominal one fits."""
    room = TOLERANCE if supply.low == supply.high else 0.001
    return (1.0 - room) * supply.low <= volts <= (1.0 + room) * supply.high


def leaks_unseen(description: Description, words: PartWords | None) -> bool:
    """Whether a drive does not say what it leaks, and no residual current device is there that would open on it."""
    mains, model = description.mains, own_model(words) if words is not None else None
    own = mains.earthing == "TT" and description.rulebook == "iec"
    watched = own or isinstance(mains.rcd, BuildingRcd) or (mains.rcd is None and description.rulebook == "iec")
    return isinstance(model, MainsDrive) and model.supply.kind == "AC" and model.leakage is None and not watched


def with_leakage(build: Build, words: PartWords) -> PartWords:
    """A drive as it is given; one that does not say what it leaks is taken to leak much, where that is safe."""
    unseen = leaks_unseen(build.description, words)
    return part_words(words, leakage=UNSEEN_LEAKAGE) if unseen else words


def setting(motor: StepperMotor, most_a: float) -> float:
    """Peak current that a drive is set to [A], in steps of 0.1 A below what the motor and the drive bear."""
    return int(10.0 * min(motor.phase_current.peak_a, most_a) + 1e-6) / 10.0


def _window(drive: StepperDrive | ServoDrive, volts: float) -> bool:
    low, high = drive.supply.low, drive.supply.high
    wide = low < 0.8 * high
    return (low / (1 - _INSIDE) <= volts <= high * (1 - _INSIDE)) if wide else low <= volts <= high


def stepper_drive(motion: Motion, volts: float, prices: Prices = _NONE) -> tuple[str, StepperDrive] | None:
    """The least or cheapest stepper drive of the library for a motor on a rail, None where none fits."""
    assert isinstance(motion.motor, StepperMotor)
    closed = bool(motion.axis.closed_loop)
    found = [
        (drive.phase_current.peak_a, key, drive)
        for key, drive in library_of(StepperDrive).items()
        if drive.closed_loop == closed
        and _window(drive, volts)
        and drive.phase_current.peak_a >= _SHORT * motion.motor.phase_current.peak_a
    ]
    return least(found, prices)


def servo_drive(motion: Motion, volts: float, kind: str, prices: Prices) -> tuple[str, ServoDrive] | None:
    """The least or cheapest servo drive of the library for a motor, fed with that voltage."""
    assert isinstance(motion.motor, ServoMotor)
    asked = motion.motor.rated_current.rms_a if motion.motor.rated_current else motion.motor.rated_power / volts * 1.5
    found = [
        (drive.rated_current.rms_a, key, drive)
        for key, drive in library_of(ServoDrive).items()
        if drive.supply.kind == kind
        and drive.rated_current
        and drive.rated_current.rms_a >= asked * 0.999
        and (_window(drive, volts) if kind == "DC" else drive.supply.low * 0.95 <= volts <= drive.supply.high)
    ]
    return least(found, prices)


def _has_drive(motion: Motion, volts: float) -> bool:
    """Whether the drive that is given, or one of the library, takes that rail."""
    if motion.axis.drive is None:
        return stepper_drive(motion, volts) is not None
    given = own_model(motion.axis.drive)
    return not isinstance(given, StepperDrive) or _window(given, volts)


def rail_volts(steppers: Sequence[Motion], given: Sequence[float] = ()) -> tuple[float, str]:
    """The voltage of the one rail for all stepper drives, and why: that of a supply which is bought, where it may be.

    The rail that suits the winding in the middle; a lower one where a drive takes no more. Raises Refused where no
    rail has a drive for each motor.
    """

    def useful(motion: Motion) -> float:
        assert isinstance(motion.motor, StepperMotor)
        return highest_useful_bus_voltage(motion.motor.phase_inductance or 3e-3)

    for volts in given:
        if all(_has_drive(motion, volts) for motion in steppers):
            return volts, f"{volts:g} V: what the supply gives that is bought"
    middle = sorted(steppers, key=lambda one: (useful(one), one.name))[len(steppers) // 2]
    most = useful(middle)
    rails = [volts for volts in reversed(RAILS_V) if volts <= most] or [RAILS_V[0]]
    for volts in rails:
        if all(_has_drive(motion, volts) for motion in steppers):
            return (
                volts,
                f"{volts:g} V: the next rail below 32 V times the root of {most**2 / 1024:.2g} mH (common practice)",
            )
    lacking = next(motion for motion in steppers if not _has_drive(motion, rails[0]))
    assert isinstance(lacking.motor, StepperMotor)
    peak = lacking.motor.phase_current.peak_a
    largest = max(drive.phase_current.peak_a for drive in library_of(StepperDrive).values())
    raise Refused(
        f"axis {lacking.name} needs a drive of {peak:.3g} A peak for a rail of {rails[0]:g} V",
        f"the library has none (up to {largest:g} A peak on other rails)",
        "Give the drive with its data: `drive: {kind: stepper-drive, ...}`.",
        ("axes", lacking.name),
    )


def rails_of(motions: Sequence[Motion], given: Sequence[float] = ()) -> dict[float, tuple[str, list[Motion]]]:
    """The rails by their voltage, each with why and the axes on it: one for all steppers, 48 V for servos."""
    steppers = [motion for motion in motions if motion.is_stepper]
    found: dict[float, tuple[str, list[Motion]]] = {}
    if steppers:
        volts, why = rail_volts(steppers, given)
        found[volts] = (why, steppers)
    servos = [motion for motion in motions if motion.on_rail and not motion.is_stepper]
    if servos:
        why, there = found.get(_SERVO_RAIL_V, ("48 V: what their windings are made for", []))
        found[_SERVO_RAIL_V] = (why, [motion for motion in motions if motion in there or motion in servos])
    return found
