"""Nothing opens before a motor overheats.

A motor that is blocked or works too hard draws a little more than its rated current for a long time, which no fuse and
no breaker notices. A motor that is switched straight onto its supply needs a device that is set to its rated current:
in IEC machines above 0.5 kW, in North America always. A motor behind a drive or an inverter is watched by it.

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

from wiring.design.edits import of_part
from wiring.design.motor_protection import needs_protector, protector_setting, protectors_of
from wiring.findings import Cause, Mend, Number
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.parts.protection import MotorProtector
from wiring.plan.edits import Edit
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.motors import overload_setting
from wiring.rulebooks.steps import PROTECTOR_A
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70

RULE = Rule(
    slug="motor-overload-missing",
    title="Motor is not protected against overload",
    signal=Signal.CAUTION,
    harm="A blocked motor burns its winding, and may set fire to what lies beside it.",
    sources=(("iec", iec_60204("7.3.1", Standing.CONFIRMED)), ("na", nfpa_70("430.32(A)", Standing.CONFIRMED))),
)


def check(design: Design) -> Judgements:
    """Every motor that no drive moves, and every setting that is too high for its motor."""
    driven = {motor.name for axis in design.axes.values() for motor in axis.motors}
    for part in design.parts.values():
        if isinstance(part.data, Motor) and part.name not in driven:
            yield from _motor(design, part, part.data)


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
    settings = {name: protector_setting(design.parts[name]) for name in protectors}
    name = min(settings, key=lambda key: (settings[key], key))
    if settings[name] > limit.value * (1.0 + 1e-9):
        yield _too_high(design, motor, name, settings[name], limit)


def _missing(design: Design, motor: Part, data: Motor) -> Judgement:
    above = design.book.limit("motor_overheat_protection_above")
    fit = f"set to {data.rated_current:.3g} A" if data.rated_current else "set to its rated current"
    return RULE.finding(
        (motor.name,),
        f"{motor.name} ({data.rated_power:.4g} W) has no device that opens when it is overloaded",
        design.place(motor.name),
        numbers=(Number("rated power", data.rated_power, "W", motor.name),),
        limit=Limit(1000.0 * above.value, "W", above.source) if isinstance(above, Limit) else None,
        mend=(
            f"Put a motor protector {fit} in front of {motor.name}, in all its lines.",
            f"Or feed {motor.name} from an inverter that watches its current.",
        ),
    )


def _set(design: Design, name: str, rated: float | None) -> tuple[Edit, ...]:
    """A protector set to the current of its motor, of another range where its own does not reach there."""
    data = design.parts[name].data
    if rated is None or not isinstance(data, MotorProtector) or design.parts[name].library:
        return ()
    setting = of_part(name, "setting", f"{rated:g} A")
    if data.range is None or data.range.low <= rated <= data.range.high:
        return setting
    ranges = [one for one in PROTECTOR_A if one[0] <= rated <= one[1]]
    return (*setting, *of_part(name, "range", f"{ranges[0][0]:g}..{ranges[0][1]:g} A")) if ranges else ()


def _too_high(design: Design, motor: Part, name: str, setting: float, limit: Limit) -> Judgement:
    rated = motor.data.rated_current if isinstance(motor.data, Motor) else None
    return RULE.finding(
        (name, motor.name),
        f"{name} is set to {setting:.3g} A, and {motor.name} bears {limit.value:.3g} A",
        design.place(name, "setting"),
        because=[Cause(design.place(motor.name, "rated_current"), "rated current of the motor")],
        numbers=(Number("setting", setting, "A", name), Number("rated", rated or 0.0, "A", motor.name)),
        limit=limit,
        mend=(Mend(f"Set {name} to {limit.value:.3g} A or less.", _set(design, name, rated)),),
    )
