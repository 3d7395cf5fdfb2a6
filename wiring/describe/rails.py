"""Rails of direct voltage: the supply of the axes with a fuse for each drive, and the 24 V of all controls."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from wiring.describe.axes import Motion, bus_power, shaft_words
from wiring.describe.build import Build, Consumer, Driven, Refused, library_of, own_model, part_words
from wiring.describe.draft import CableEntry, End, Slot
from wiring.describe.drives import rails_of, servo_drive, setting, stepper_drive
from wiring.describe.mains import MainsSide
from wiring.parts.base import split_pair
from wiring.parts.drives import BusChopper, Drive, EncoderPort, MainsDrive, ServoDrive, StepperDrive
from wiring.parts.motors import StepperMotor
from wiring.parts.sources import Supply
from wiring.requirement import Quantity

#: What leaks more than this asks for two protective conductors or a thick one (IEC 61800-5-1, 4.3.5.5.2).
_LEAKS_A = 3.5e-3
_CHANNELS = 2
_SHARED = ("stop", "controller", "sensors", "operators")
_ENCODER = {"voltage": "5 V DC", "current": "120 mA"}
#: The fuses of the 24 V rail, by what hangs behind each.
GROUPS = {
    "controls": "all controls",
    "stop": "stop circuit",
    "controller": "controller",
    "sensors": "limits and sensors",
    "operators": "operators and lamps",
    "process": "process",
    "fan": "cabinet fan",
}


def fuse(build: Build, title: str, section: str, usual: str, *, quick: bool) -> str:
    """A fuse for direct current: time-lag for what starts gently, gG or CC in front of a drive."""
    draft = build.draft
    name = draft.name("F", 11 if quick else 31)
    rating = draft.chosen.size(name, Quantity.RATING, usual)
    data: dict[str, object] = {"kind": "fuse", "title": title, "rating": rating}
    if build.rulebook == "na":
        data |= {"class": "CC", "rated_voltage": "300 V DC", "breaking": "20 kA", "sizes": "18..8 AWG"}
    elif quick:
        data |= {"class": "gG", "rated_voltage": "110 V DC", "breaking": "10 kA", "sizes": "0.75..10 mm2"}
    else:
        data |= {"class": "T", "rated_voltage": "60 V DC", "breaking": "1.5 kA", "sizes": "0.5..6 mm2"}
    return draft.part(section, name, {**data, "wires_per_terminal": "2"}, draft.chosen.reason(name))


def _supply_key(build: Build, name: str, volts: float) -> str:
    """The step that sizing chose, or the first supply of that voltage."""
    known = sorted((one.rated, key) for key, one in library_of(Supply).items() if one.output.volts == volts)
    if not known:
        raise Refused(
            f"a rail of {volts:g} V is needed",
            "the library has no supply for it",
            "Take a motor for another rail, or give the drive with its data.",
            ("axes",),
        )
    return build.draft.chosen.size(name, Quantity.RATING, known[0][1])


def _supply(build: Build, side: MainsSide, title: str, volts: float, *, stopped: bool, why: str) -> str:
    draft = build.draft
    name = draft.name("G")
    reason = "; ".join(filter(None, (why, draft.chosen.reason(name))))
    draft.part("supplies", name, {"use": _supply_key(build, name, volts), "title": title}, reason)
    side.branch(title, side.single(), (f"{name}:L", f"{name}:N"), stopped=stopped)
    draft.earth(f"{name}:PE", build.type("earth-branch"), title)
    return name


def motor_rails(build: Build, side: MainsSide, motions: Sequence[Motion]) -> None:
    """The supplies of all drives on a rail, each behind the contactors, and a branch for each drive."""
    for volts, (why, there) in rails_of(motions).items():
        groups = _shared(there, build.draft.chosen.rails.get(volts, 1))
        for n, group in enumerate(groups):
            number = f" {n + 1}" if len(groups) > 1 else ""
            _rail(build, side, group, volts, number, why if not n else "shares the axes with the supply above")


def _shared(motions: Sequence[Motion], count: int) -> list[list[Motion]]:
    """The motions in groups of like power, each in the order of the description."""
    groups: list[list[Motion]] = [[] for _ in range(max(1, min(count, len(motions))))]
    for motion in sorted(motions, key=lambda one: (-bus_power(one), one.name)):
        min(groups, key=lambda group: sum(map(bus_power, group))).append(motion)
    return [[motion for motion in motions if motion in group] for group in groups]


def _rail(build: Build, side: MainsSide, motions: Sequence[Motion], volts: float, number: str, why: str) -> None:
    draft = build.draft
    title = f"{volts:g} V motor supply{number}"
    why = f"behind the contactors, so that a stop takes it away. {why}"
    supply = _supply(build, side, title, volts, stopped=True, why=why)
    taken = sum(name.startswith("X3") for name in draft.rows)
    row = draft.row(f"X3{taken or ''}", f"{volts:g} V return{number}")
    trunk = draft.chain("rail", f"{supply}:V+", build.type("trunk"), f"{volts:g} V")
    draft.wire("rail", f"{supply}:V-", row.take(), build.type("trunk", back=True), f"{volts:g} V return")
    if volts in draft.chosen.clamps:
        _chopper(build, volts, trunk, row.take())
    drives_on(build, motions, volts, trunk, row.take)
    draft.earth(row.take(), build.type("earth"), f"{volts:g} V return", "the one point at which this rail is earthed")


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


def _chopper(build: Build, volts: float, trunk: list[End], back: End) -> None:
    """A chopper on the rail, which burns what braking axes feed back; the first that sets in well above the rail."""
    key = min(
        (one.clamp or 0.0, key) for key, one in library_of(BusChopper).items() if (one.clamp or 0.0) > 1.1 * volts
    )[1]
    draft = build.draft
    name = draft.name("R")
    why = "burns what the axes feed back when they brake or lower their load: more than the capacitors and drives take"
    draft.part("axes", name, {"use": key, "title": f"chopper of {volts:g} V"}, why)
    trunk.append(f"{name}:V+")
    draft.wire("rail", back, f"{name}:V-", build.type("trunk", back=True), "chopper return")
    draft.earth(f"{name}:PE", build.type("earth-branch"), "chopper")


def _stepper_part(build: Build, name: str, motion: Motion, volts: float) -> Drive:
    assert isinstance(motion.motor, StepperMotor)
    words, model = _drive_of(motion, stepper_drive(motion, volts), StepperDrive, "DC")
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
    found = servo_drive(motion, volts, "DC")
    if found is None and motion.axis.drive is None:
        raise Refused(
            f"axis {motion.name} needs a servo drive for {volts:g} V DC and its motor",
            "the library has none: its servo drives for a rail end at 400 W",
            "Take a smaller motor, or give the drive with its data.",
            ("axes", motion.name),
        )
    words, model = _drive_of(motion, found, ServoDrive, "DC")
    why = "behind the contactors, and its torque off inputs behind the same contacts"
    build.draft.part("axes", name, part_words(words, title=f"drive {motion.name}"), why)
    return model


def _drive_of(
    motion: Motion, found: tuple[str, Drive] | None, wanted: type[Drive], kind: str
) -> tuple[str | Mapping[str, Any], Drive]:
    """The drive that the description gives, or that of the library. Raises Refused for one that does not go."""
    if motion.axis.drive is None:
        assert found is not None
        return found
    model = own_model(motion.axis.drive)
    single = not isinstance(model, MainsDrive) or kind == "DC" or model.phases == "1"
    if not isinstance(model, wanted) or model.supply.kind != kind or not single:
        raise Refused(
            f"axis {motion.name} needs a {wanted.kind_name} fed with {kind}" + (", one phase" if kind == "AC" else ""),
            "the drive that the description gives is another one",
            "Leave `drive` out to have one chosen, or give one of that kind.",
            ("axes", motion.name),
        )
    return motion.axis.drive, model


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


def control_rail(build: Build, side: MainsSide) -> None:
    """The 24 V of all controls: it stays on in a stop, so that what the machine says can still be read."""
    draft = build.draft
    supply = _supply(build, side, "control supply", 24.0, stopped=False, why="stays on in a stop")
    trunk = draft.chain("control", f"{supply}:V+", build.type("control-trunk"), "24 V")
    returns = draft.row("X2", "24 V return")
    draft.wire("control", f"{supply}:V-", returns.take(), build.type("control-trunk", back=True), "24 V return")
    build.trunk = trunk


def feed(build: Build, group: str) -> Slot:
    """A terminal with 24 V behind the fuse of that group, which is put in with the first one."""
    draft = build.draft
    row = draft.row("X1", "24 V feed by fuse")
    group = "controls" if build.small and group in _SHARED else group
    if group not in row.groups:
        device = fuse(build, GROUPS[group], "fuses of the controls", "2 A", quick=False)
        build.trunk.append(f"{device}:1")
        draft.wire("control", f"{device}:2", row.take(group), build.type("control"), f"24 V {GROUPS[group]}")
    return row.take(group)


def back(build: Build) -> Slot:
    """A terminal of the 24 V return."""
    return build.draft.row("X2", "24 V return").take()


def mains_servos(build: Build, side: MainsSide, motions: Sequence[Motion]) -> None:
    """Servo drives on the mains, each with a device of its own; safe torque off stops them, or the contactors."""
    for motion in motions:
        if not motion.on_rail:
            _mains_servo(build, side, motion)


def _mains_servo(build: Build, side: MainsSide, motion: Motion) -> None:
    line = side.single()
    found = servo_drive(motion, line.volts, "AC")
    if found is None and motion.axis.drive is None:
        raise Refused(
            f"axis {motion.name} needs a servo drive for {line.volts:.3g} V AC and its motor",
            "the library has none: its servo drives take 200 to 240 V AC and end at 750 W",
            "Take another mains, another motor, or give the drive with its data.",
            ("axes", motion.name),
        )
    words, model = _drive_of(motion, found, ServoDrive, "AC")
    assert isinstance(model, ServoDrive)
    drive = build.draft.name("D")
    stopped = len(model.sto) < _CHANNELS
    title = f"drive {motion.name}"
    side.branch(title, line, [f"{drive}:{end}" for end in model.supply_terminals()], stopped=stopped)
    why = (
        "its two safe torque off inputs stop it"
        if not stopped
        else "behind the contactors: it has no two torque off inputs"
    )
    build.draft.part("axes", drive, part_words(words, title=title), why)
    axis_motor(build, drive, motion, model)
