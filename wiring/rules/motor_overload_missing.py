"""Nothing opens before a motor overheats.

A motor that is blocked or works too hard draws a little more than its rated current for a long time, which no fuse and
no breaker notices. A motor that is switched straight onto its supply needs a device that is set to its rated current:
in IEC machines above 0.5 kW, in North America always. One that is set too high opens late and is told as a caution, as
is one whose dial has no such setting; a motor without any burns. A motor behind a drive or an inverter is watched by
it; of several on one inverter, which sees their sum, each needs a device of its own.

Fires on mixer at M2
    F3={kind: breaker, poles: 3, rating: 4 A, curve: D, breaking: 6 kA}
Quiet
    F3={kind: motor-protector, setting: 1.1 A, range: 1..1.6 A, breaking: 50 kA}
Not judged
    The setting, when the plan does not give the rated current of the motor.
Known limits
    Thermistors and protectors inside the motor are not known to a plan; where a motor has one, accept the finding with
    that reason. Pumps of kind `pump` are taken as complete with their own protection.
"""

from __future__ import annotations

from collections.abc import Sequence

from wiring.design.motor.circuits import direct_motors
from wiring.design.motor.protection import needs_protector, protector_setting, protectors_of, unguarded_together
from wiring.findings import Cause, Mend, Number
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.parts.protection import MotorProtector
from wiring.plan.ratings import CurrentRange
from wiring.quantities import show
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.motors import overload_setting
from wiring.rulebooks.steps import rounded_down
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_70
from wiring.wording import listed

RULE = Rule(
    slug="motor-overload-missing",
    title="Motor is not protected against overload",
    signal=Signal.WARNING,
    harm="A blocked motor burns its winding, and may set fire to what lies beside it.",
    sources=(("iec", iec_60204("7.3.1", Standing.CONFIRMED)), ("na", nfpa_70("430.32(A)", Standing.CONFIRMED))),
)


def check(design: Design) -> Judgements:
    """Every motor that no drive moves, and every setting that is too high for its motor."""
    for part in direct_motors(design.machine):
        assert isinstance(part.data, Motor)
        yield from _motor(design, part, part.data)
    for motor, (drive, *others) in unguarded_together(design):
        assert isinstance(motor.data, Motor)
        yield _missing(design, motor, motor.data, (drive, others))
    for part in design.parts.values():
        data = part.data
        if isinstance(data, MotorProtector) and data.range and not data.range.low <= data.setting <= data.range.high:
            yield _off_the_dial(design, part.name, data.setting, data.range)


def _motor(design: Design, motor: Part, data: Motor) -> Judgements:
    protectors = protectors_of(design, motor)
    if protectors is None:
        return
    if not protectors:
        if needs_protector(design, data):
            yield _missing(design, motor, data)
        return
    if data.rated_current is None:
        yield RULE.not_judged((motor.name,), f"the rated current of {motor.name} (`rated_current`)", motor.place)
        return
    limit = overload_setting(design.plan.rulebook, data.rated_current, data.service_factor)
    name = _lowest(design, protectors)
    setting = protector_setting(design.parts[name])
    if setting > limit.value * (1.0 + 1e-9):
        yield _too_high(design, motor, name, setting, limit)


def _lowest(design: Design, protectors: Sequence[str]) -> str:
    """The one that opens first: that of the lowest setting."""
    return min(protectors, key=lambda name: (protector_setting(design.parts[name]), name))


def requirements(design: Design) -> Requirements:
    """The protector of every motor of known current that no drive moves."""
    for motor in direct_motors(design.machine):
        protectors = protectors_of(design, motor)
        if protectors and isinstance(motor.data, Motor) and motor.data.rated_current is not None:
            limit = overload_setting(design.plan.rulebook, motor.data.rated_current, motor.data.service_factor)
            yield _required(motor, _lowest(design, protectors), limit)


def _required(motor: Part, protector: str, limit: Limit) -> Requirement:
    why = f"{motor.name} bears {limit.value:.3g} A"
    return Requirement(RULE.slug, protector, Quantity.RATING, most=limit.value, why=why)


def _missing(design: Design, motor: Part, data: Motor, together: tuple[str, Sequence[str]] = ("", ())) -> Judgement:
    above = design.book.limit("motor_overheat_protection_above")
    fit = f"set to {data.rated_current:.3g} A" if data.rated_current else "set to its rated current"
    return RULE.finding(
        (motor.name, *together[1], *filter(None, together[:1])),
        f"{motor.name} ({show(data.rated_power, 'power')}) has no device that opens when it is overloaded"
        + (f": {together[0]} sees no more than the sum of {listed(together[1])}" if together[0] else ""),
        design.place(motor.name),
        numbers=(Number("rated power", data.rated_power, "W", motor.name),),
        limit=Limit(1000.0 * above.value, "W", above.source) if isinstance(above, Limit) else None,
        mend=(
            f"Put a motor protector {fit} in front of {motor.name}, in all its lines.",
            f"Or feed {motor.name} from an inverter of its own, which watches its current.",
        ),
    )


def _too_high(design: Design, motor: Part, name: str, setting: float, limit: Limit) -> Judgement:
    rated = motor.data.rated_current if isinstance(motor.data, Motor) else None
    return RULE.finding(
        (name, motor.name),
        f"{name} is set to {setting:.3g} A, and {motor.name} bears {limit.value:.3g} A",
        design.place(name, "setting"),
        signal=Signal.CAUTION,
        because=[Cause(design.place(motor.name, "rated_current"), "rated current of the motor")],
        numbers=(Number("setting", setting, "A", name), Number("rated", rated or 0.0, "A", motor.name)),
        limit=limit,
        mend=(
            Mend(f"Set {name} to {rounded_down(limit.value):.3g} A or less.", asks=(_required(motor, name, limit),)),
        ),
    )


def _off_the_dial(design: Design, name: str, setting: float, dial: CurrentRange) -> Judgement:
    end = dial.low if setting < dial.low else dial.high
    return RULE.finding(
        (name,),
        f"{name} cannot be set to {setting:.3g} A: its dial goes from {dial.low:.3g} A to {dial.high:.3g} A",
        design.place(name, "setting"),
        signal=Signal.CAUTION,
        numbers=(Number("setting", setting, "A", name),),
        limit=Limit(end, "A", _DIAL),
        mend=(f"Take a protector whose dial holds {setting:.3g} A.",),
    )


_DIAL = Source("data of the part", "", "range", Standing.ONE_SOURCE)
