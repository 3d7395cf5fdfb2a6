"""Rails of direct voltage: the supply of the axes with a fuse for each drive, and the 24 V of all controls."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.describe.axes import Motion, bus_power, rail_volts, servo_drive, setting, shaft_words, stepper_drive
from wiring.describe.build import Build, Refused, library_of, own_model, part_words
from wiring.describe.draft import End, Slot
from wiring.describe.mains import MainsSide
from wiring.parts.drives import Drive, ServoDrive, StepperDrive
from wiring.parts.incoming import Supply
from wiring.parts.motors import StepperMotor
from wiring.requirement import Quantity

#: The fuses of the 24 V rail, by what hangs behind each.
GROUPS = {
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
    steppers = [motion for motion in motions if motion.is_stepper]
    if steppers:
        volts, why = rail_volts(steppers)
        for n, group in enumerate(_shared(steppers, build.draft.chosen.rails)):
            _rail(build, side, group, volts, why if not n else "shares the axes with the supply above")


def _shared(motions: Sequence[Motion], count: int) -> list[list[Motion]]:
    """The motions in groups of like power, each in the order of the description."""
    groups: list[list[Motion]] = [[] for _ in range(max(1, min(count, len(motions))))]
    for motion in sorted(motions, key=lambda one: (-bus_power(one), one.name)):
        min(groups, key=lambda group: sum(map(bus_power, group))).append(motion)
    return [[motion for motion in motions if motion in group] for group in groups]


def _rail(build: Build, side: MainsSide, motions: Sequence[Motion], volts: float, why: str) -> None:
    draft = build.draft
    number = 1 + sum(name.startswith("X3") for name in draft.rows)
    title = f"{volts:g} V motor supply" + (f" {number}" if draft.chosen.rails > 1 else "")
    supply = _supply(
        build, side, title, volts, stopped=True, why=f"behind the contactors, so that a stop takes it away. {why}"
    )
    row = draft.row(
        f"X3{'' if number == 1 else number}", f"{volts:g} V return" + (f" {number}" if draft.chosen.rails > 1 else "")
    )
    trunk = draft.chain("rail", f"{supply}:V+", build.type("trunk"), f"{volts:g} V")
    draft.wire("rail", f"{supply}:V-", row.take(), build.type("trunk", back=True), f"{volts:g} V return")
    for motion in motions:
        device = fuse(
            build,
            f"drive {motion.name}",
            "fuses of the drives",
            "4 A" if build.rulebook == "iec" else "5 A",
            quick=True,
        )
        drive = draft.name("D")
        _stepper_part(build, drive, motion, volts)
        trunk.append(f"{device}:1")
        draft.wire("rail", f"{device}:2", f"{drive}:V+", build.type("motor"), f"{volts:g} V {motion.title}")
        draft.wire(
            "rail", row.take(), f"{drive}:V-", build.type("motor", back=True), f"{volts:g} V return {motion.title}"
        )
        axis_motor(build, drive, motion)
    draft.earth(row.take(), build.type("earth"), f"{volts:g} V return", "the one point at which this rail is earthed")


def _stepper_part(build: Build, name: str, motion: Motion, volts: float) -> None:
    assert isinstance(motion.motor, StepperMotor)
    found = stepper_drive(motion, volts)
    if motion.axis.drive is not None:
        model, words = own_model(motion.axis.drive), motion.axis.drive
    else:
        assert found is not None
        words, model = found
    assert isinstance(model, StepperDrive)
    peak = setting(motion.motor, model.phase_current.peak_a)
    why = (
        f"set to {peak:g} A peak, {peak / 2**0.5:.2g} A rms, for a motor of {motion.motor.phase_current.rms_a:.3g} A; "
        f"takes {model.supply.low:g} to {model.supply.high:g} V"
    )
    build.draft.part(
        "axes", name, part_words(words, title=f"drive {motion.name}", phase_current=f"{peak:g} A peak"), why
    )


def axis_motor(build: Build, drive: str, motion: Motion) -> None:
    """The motor with its cable, both ends of the shield clamped, and the earth of drive and motor."""
    draft = build.draft
    motor = draft.name("M")
    draft.part("axes", motor, {**motion.words, **shaft_words(motion)}, motion.why)
    phases = ("A+", "A-", "B+", "B-") if motion.is_stepper else ("U", "V", "W")
    join: dict[str, tuple[End, End]] = {
        str(n): (f"{drive}:{phase}", f"{motor}:{phase}") for n, phase in enumerate(phases, 1)
    }
    draft.earth(f"{drive}:PE", build.type("earth-branch"), f"drive {motion.name}")
    power_cable(
        build,
        f"motor {motion.name}",
        "motor-cable",
        join,
        f"{motor}:PE",
        build.cable_m(motion.axis.cable),
        flexing=True,
    )
    build.drives.append((drive, motor, motion))


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
    from wiring.describe.draft import CableEntry

    draft = build.draft
    if earth is not None:
        join = {**join, "GNYE": (draft.row("XPE", "earth bar").take(), earth)}
    shield = (draft.row("XSH", "shield clamp bar").take(), draft.row("BED", "machine frame").take()) if shielded else ()
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
    if group not in row.groups:
        device = fuse(build, GROUPS[group], "fuses of the controls", "2 A", quick=False)
        build.trunk.append(f"{device}:1")
        draft.wire("control", f"{device}:2", row.take(group), build.type("control"), f"24 V {GROUPS[group]}")
    return row.take(group)


def back(build: Build) -> Slot:
    """A terminal of the 24 V return."""
    return build.draft.row("X2", "24 V return").take()


def mains_servos(build: Build, side: MainsSide, motions: Sequence[Motion]) -> None:
    """Servo drives on the mains or on a rail, each with a device of its own; safe torque off stops them."""
    for motion in motions:
        if motion.is_stepper:
            continue
        _mains_servo(build, side, motion)


def _mains_servo(build: Build, side: MainsSide, motion: Motion) -> None:
    feed_of = side.single()
    if motion.axis.drive is not None:
        words, model = motion.axis.drive, own_model(motion.axis.drive)
    else:
        found = servo_drive(motion, feed_of.volts, "AC")
        if found is None:
            raise Refused(
                f"axis {motion.name} needs a servo drive for {feed_of.volts:.3g} V AC and its motor",
                "the library has none: its servo drives take 200 to 240 V AC",
                "Take another mains, another motor, or give the drive with its data.",
                ("axes", motion.name),
            )
        words, model = found
    assert isinstance(model, Drive)
    draft = build.draft
    drive = draft.name("D")
    ends = ("L", "N") if isinstance(model, ServoDrive) else ()
    side.branch(f"drive {motion.name}", feed_of, [f"{drive}:{end}" for end in ends], stopped=False)
    extra: dict[str, object] = {"title": f"drive {motion.name}"}
    draft.part(
        "axes",
        drive,
        part_words(words, **extra),
        f"{'two safe torque off inputs' if model.sto else 'no safe torque off'}",
    )
    axis_motor(build, drive, motion)
