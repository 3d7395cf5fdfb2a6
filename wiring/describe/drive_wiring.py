"""Drives with their motors: the fuse or device in front, cables, encoder, safe torque off and earths."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from wiring.describe.axes import Motion, shaft_words
from wiring.describe.build import Build, Consumer, Driven, Refused, own_model, part_words
from wiring.describe.draft import CableEntry, End, Slot
from wiring.describe.drives import servo_drive, setting, stepper_drive, with_leakage
from wiring.describe.feeds import fuse
from wiring.describe.mains import MainsSide
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Drive, EncoderPort, ServoDrive, StepperDrive
from wiring.parts.motors import StepperMotor

#: What leaks more than this asks for two protective conductors or a thick one (IEC 61800-5-1, 4.3.5.5.2).
_LEAKS_A = 3.5e-3
_CHANNELS = 2
_ENCODER = {"voltage": "5 V DC", "current": "120 mA"}


def drives_on(
    build: Build, motions: Sequence[Motion], volts: float, trunk: list[End], take: Callable[[], Slot]
) -> None:
    """A fuse and a drive on a rail for each axis, with its motor; `take` gives a terminal of the way back."""
    draft = build.draft
    for motion in motions:
        device = fuse(
            build,
            f"drive {motion.name}",
            "fuses of the drives",
            "4 A" if build.rulebook == "iec" else "5 A",
            quick=True,
        )
        drive = draft.name("D")
        model = (_stepper_part if motion.is_stepper else _rail_servo)(build, drive, motion, volts)
        trunk.append(f"{device}:1")
        draft.wire("rail", f"{device}:2", f"{drive}:V+", build.type("motor"), f"{volts:g} V {motion.title}")
        draft.wire("rail", take(), f"{drive}:V-", build.type("motor", back=True), f"{volts:g} V return {motion.title}")
        axis_motor(build, drive, motion, model)


def _stepper_part(build: Build, name: str, motion: Motion, volts: float) -> Drive:
    assert isinstance(motion.motor, StepperMotor)
    words, model = _drive_of(build, motion, stepper_drive(motion, volts, build.description.prices), StepperDrive, "DC")
    assert isinstance(model, StepperDrive)
    peak = setting(motion.motor, model.phase_current.peak_a)
    why = (
        f"set to {peak:g} A peak, {peak / 2**0.5:.2g} A rms, for a motor of {motion.motor.phase_current.rms_a:.3g} A; "
        f"takes {model.supply.low:g} to {model.supply.high:g} V"
    )
    entry = part_words(words, title=f"drive {motion.name}", phase_current=f"{peak:g} A peak")
    build.draft.part("axes", name, entry, why)
    return model


def _rail_servo(build: Build, name: str, motion: Motion, volts: float) -> Drive:
    found = servo_drive(motion, volts, "DC", build.description.prices)
    if found is None and motion.axis.drive is None:
        raise Refused(
            f"axis {motion.name} needs a servo drive for {volts:g} V DC and its motor",
            "the library has none: its servo drives for a rail end at 400 W",
            "Take a smaller motor, or give the drive with its data.",
            ("axes", motion.name),
        )
    words, model = _drive_of(build, motion, found, ServoDrive, "DC")
    why = "behind the contactors, and its torque off inputs behind the same contacts"
    build.draft.part("axes", name, part_words(words, title=f"drive {motion.name}"), why)
    return model


def _drive_of(
    build: Build, motion: Motion, found: tuple[str, Drive] | None, wanted: type[Drive], kind: str
) -> tuple[str | Mapping[str, Any], Drive]:
    """The drive that the description gives, or that of the library. Raises Refused for one that does not go."""
    if motion.axis.drive is None:
        assert found is not None
        return found
    words = with_leakage(build, motion.axis.drive)
    model = own_model(words)
    if not isinstance(model, wanted) or model.supply.kind != kind:
        raise Refused(
            f"axis {motion.name} needs a {wanted.kind_name} fed with {kind}",
            "the drive that the description gives is another one",
            "Leave `drive` out to have one chosen, or give one of that kind.",
            ("axes", motion.name),
        )
    return words, model


def mains_servos(build: Build, side: MainsSide, motions: Sequence[Motion]) -> None:
    """Servo drives on the mains, each with a device of its own; safe torque off stops them, or the contactors."""
    for motion in motions:
        if not motion.on_rail:
            _mains_servo(build, side, motion)


def _mains_servo(build: Build, side: MainsSide, motion: Motion) -> None:
    line = side.single()
    found = servo_drive(motion, line.volts, "AC", build.description.prices)
    if found is None and motion.axis.drive is None:
        raise Refused(
            f"axis {motion.name} needs a servo drive for {line.volts:.3g} V AC and its motor",
            "the library has none: its servo drives take 200 to 240 V AC and end at 750 W",
            "Take another mains, another motor, or give the drive with its data.",
            ("axes", motion.name),
        )
    words, model = _drive_of(build, motion, found, ServoDrive, "AC")
    assert isinstance(model, ServoDrive)
    fed = side.three() if model.phases == "3" else line
    if fed is None:
        raise Refused(
            f"the drive of axis {motion.name} is fed on three phases",
            "the mains has none",
            "Give a drive for one phase, or leave `drive` out to have one chosen.",
            ("axes", motion.name, "drive"),
        )
    drive = build.draft.name("D")
    stopped = len(model.sto) < _CHANNELS
    title = f"drive {motion.name}"
    side.branch(title, fed, [f"{drive}:{end}" for end in model.supply_terminals()], stopped=stopped)
    why = (
        "its two safe torque off inputs stop it"
        if not stopped
        else "behind the contactors: it has no two torque off inputs"
    )
    build.draft.part("axes", drive, part_words(words, title=title), why)
    axis_motor(build, drive, motion, model)


def axis_motor(build: Build, drive: str, motion: Motion, model: Drive) -> None:
    """The motor with its cables, its encoder and brake, safe torque off, and the earth of drive and motor."""
    draft = build.draft
    motor = draft.name("M")
    encoder = {"encoder": _ENCODER} if model.encoder and motion.motor.encoder is None else {}
    draft.part("axes", motor, {**motion.words, **shaft_words(motion), **encoder}, motion.why)
    phases = ("A+", "A-", "B+", "B-") if motion.is_stepper else ("U", "V", "W")
    join: dict[str, tuple[End, End]] = {
        str(n): (f"{drive}:{phase}", f"{motor}:{phase}") for n, phase in enumerate(phases, 1)
    }
    earth_part(build, drive, model, f"drive {motion.name}")
    power_cable(
        build,
        f"motor {motion.name}",
        "motor-cable",
        join,
        f"{motor}:PE",
        build.cable_m(motion.axis.cable),
        flexing=True,
    )
    if model.encoder:
        _encoder_cable(build, drive, motor, motion, model.encoder)
    torque_off(build, drive, model, motion.name)
    build.drives.append(Driven(drive, motor, motion, model))


def earth_part(build: Build, name: str, model: Drive, title: str) -> None:
    """The protective conductors of a drive: two where so much leaks that one is not enough."""
    if not model.metal:
        return
    several = (model.leakage or 0.0) > _LEAKS_A
    kind = "earth" if several else "earth-branch"
    for n, terminal in enumerate(model.pe[: 2 if several else 1], 1):
        why = f"{1e3 * (model.leakage or 0.0):.3g} mA leak, so two conductors" if several and n == 1 else ""
        build.draft.earth(f"{name}:{terminal}", build.type(kind), title, why)


def torque_off(build: Build, drive: str, model: Drive, name: str) -> None:
    """Both safe torque off inputs, each behind a contact of its own of the stop relay."""
    for channel, pair in zip(build.channels, model.sto, strict=False):
        plus, minus = split_pair(pair)
        channel.append(Consumer(f"{drive}:{plus}", f"torque off {name}", f"{drive}:{minus}"))


def _encoder_cable(build: Build, drive: str, motor: str, motion: Motion, port: EncoderPort) -> None:
    """Supply and signals of the encoder, its shield clamped at both ends."""
    draft, theirs = build.draft, motion.motor.encoder
    between = theirs.between if theirs else ("E5V", "E0V")
    pairs = [*zip(port.between, between, strict=True)]
    pairs += [(name, name) for name in port.signals if theirs is None or name in theirs.signals]
    join: dict[str, tuple[End, End]] = {
        str(n): (f"{drive}:{one}", f"{motor}:{other}") for n, (one, other) in enumerate(pairs, 1)
    }
    shield = (build.shield(), draft.row("BED", "machine frame").take())
    length = build.length(build.cable_m(motion.axis.cable))
    kind, route = build.type("sensor-cable"), build.route("field-signals")
    draft.cables.append(CableEntry(f"encoder {motion.name}", kind, length, route, join, shield, True))


def power_cable(
    build: Build,
    title: str,
    kind: str,
    join: dict[str, tuple[End, End]],
    earth: End | None,
    metres: float,
    *,
    shielded: bool = True,
    flexing: bool = False,
    route: str = "field-power",
) -> None:
    """A cable to a load with its protective core; a shield is clamped at both ends, for chopped currents."""
    draft = build.draft
    if earth is not None:
        join = {**join, "GNYE": (draft.row("XPE", "earth bar").take(), earth)}
    shield = (build.shield(), draft.row("BED", "machine frame").take()) if shielded else ()
    draft.cables.append(
        CableEntry(title, build.type(kind), build.length(metres), build.route(route), join, shield, flexing)
    )
