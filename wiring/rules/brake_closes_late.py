"""A brake holds only after the torque of its motor has gone, and the load falls until then.

A spring closes a holding brake as soon as its magnet has lost its current. What keeps the current keeps the brake open:
a contact that falls out later than what takes the torque, the motor itself, which generates while its load turns it,
the diodes of a rectifier that is switched on its AC side, or the time `apply` of the brake. Meanwhile the load falls,
no further than a free body; half a metre by `apply` alone is told (own choice). On the output of a drive a brake does
not lift at all near standstill.

Fires on hot-wire at Y1
    parts.M1={kind: motor, voltage: 230 V AC, phases: 1, rated_power: 200 W, vertical: true, metal: false}
    parts.Y1={kind: brake, rated: 230 V AC 10 W, holds: M1}
    wires+={wire: L6, from: K2:2, to: M1:U1, type: line}
    wires+={wire: N3, from: G4:N, to: M1:U2, type: neutral}
    wires+={wire: L7, from: M1:U1, to: Y1:A1, type: line}
    wires+={wire: N4, from: M1:U2, to: Y1:A2, type: neutral}
Quiet
    L7.from=K1:2
Not judged
    Loads that do not fall, but for a brake on the output of a drive.
Known limits
    How much less than a free body the load falls. How late a brake behind its rectifier is: makers say five to ten
    times as late as one that is switched on its DC side.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.motor.brakes import falls, held_motor
from wiring.design.motor.late_brakes import AfterTheTorque, AtItsMotor, LateBrake, OnTheACSide, late_brakes
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.motors import Brake, Motor
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="brake-closes-late",
    title="Brake holds only after the torque has gone",
    signal=Signal.WARNING,
    harm="Whenever the motor is switched off the load falls first, on whoever stands below.",
    sources=(("iec", iec_60204("4.1, 9.2.2")), ("na", nfpa_79("4.1, 9.2.2"))),
)
#: A free body on earth [m/s2], and how far one may fall before its brake holds (own choice) [m].
_GRAVITY, _FALL_M = 9.81, 0.5
_FREE_FALL = Source("mechanics", "", "free fall, half of g t²", Standing.COMPUTED)


def check(design: Design) -> Judgements:
    """Every brake by how it is fed, and by its own time."""
    for one in late_brakes(design.machine, design.operation):
        if falls(design.parts[one.motor]) or (isinstance(one, AtItsMotor) and one.drive):
            yield _finding(design, one)
    for part in design.parts.values():
        motor = held_motor(design.machine, part)
        if motor is not None and falls(motor) and _fall_m(_apply_s(part)) > _FALL_M:
            yield _slow(design, part, motor.name)


def _finding(design: Design, one: LateBrake) -> Judgement:
    summary, signal = _words(design, one)
    falling = falls(design.parts[one.motor])
    lag_s = _late_s(design, one) if isinstance(one, AfterTheTorque) else 0.0
    return RULE.finding(
        (one.brake, one.motor, *(one.by if isinstance(one, AfterTheTorque) else ())),
        summary,
        design.place(one.brake),
        signal=signal if falling else Signal.CAUTION,
        numbers=(Number("without torque and brake", lag_s, "s", one.brake),) if lag_s else (),
        mend=_mend(one),
    )


def _words(design: Design, one: LateBrake) -> tuple[str, Signal]:
    match one:
        case AtItsMotor(drive=drive) if drive:
            return (
                f"{one.brake} hangs on the output of {drive}, between the terminals of {one.motor}: its voltage "
                "follows the speed, and near standstill it does not lift the brake or holds it open as it likes",
                Signal.WARNING,
            )
        case AtItsMotor():
            data = design.parts[one.motor].data
            generates = isinstance(data, Motor) and data.phases == "DC"
            return (
                f"{one.brake} hangs on the terminals of {one.motor}: switched off, the motor that its load turns feeds "
                + (
                    "it on and keeps it lifted" if generates else "it on for some tenths of a second, and it holds late"
                ),
                Signal.WARNING if generates else Signal.CAUTION,
            )
        case OnTheACSide():
            return (
                f"{one.brake} is switched on the AC side of {one.rectifier} alone: its current runs on through the "
                f"diodes, and it holds some tenths of a second after the torque of {one.motor} has gone",
                Signal.CAUTION,
            )
    lag_s = _late_s(design, one)
    return (
        f"{one.device} takes the torque of {one.motor} away at once, and {one.brake}, its brake, holds {lag_s:.3g} s "
        f"later, after the delay of {listed(one.by)}: until then its load falls, by as much as {_fall_m(lag_s):.3g} m",
        Signal.WARNING,
    )


def _mend(one: LateBrake) -> Iterator[str]:
    match one:
        case AtItsMotor():
            yield (
                f"Feed {one.brake} from a supply of its own, over a contact that closes when {one.motor} gives torque "
                "and opens with it."
            )
        case OnTheACSide():
            yield (
                f"Lead the DC side of {one.rectifier}, between it and {one.brake}, over a contact that opens with what "
                f"feeds {one.motor}, with a suppressor at the coil."
            )
        case AfterTheTorque():
            yield f"Feed {one.brake} over a contact that falls out at once, with what takes the torque of {one.motor}."


def _late_s(design: Design, one: AfterTheTorque) -> float:
    """How long after the torque a brake holds [s], with its own time."""
    return one.lag_s + _apply_s(design.parts[one.brake])


def _apply_s(part: Part) -> float:
    return part.data.apply or 0.0 if isinstance(part.data, Brake) else 0.0


def _fall_m(seconds: float) -> float:
    return 0.5 * _GRAVITY * seconds**2


def _slow(design: Design, brake: Part, motor: str) -> Judgement:
    apply_s = _apply_s(brake)
    return RULE.finding(
        (brake.name, motor),
        f"{brake.name} holds {apply_s:.3g} s after its power is gone, and until then the load of {motor} may fall by "
        f"as much as {_fall_m(apply_s):.2g} m",
        design.place(brake.name, "apply"),
        signal=Signal.CAUTION,
        numbers=(Number("time to hold", apply_s, "s", brake.name),),
        limit=Limit((2.0 * _FALL_M / _GRAVITY) ** 0.5, "s", _FREE_FALL),
        mend=(f"Take a brake for {motor} that holds within a tenth of a second, switched on its direct current side.",),
    )
