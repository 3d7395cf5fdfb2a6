"""A motor is connected for another voltage than it gets.

An induction motor bears 10 % more or less than the voltage on its plate (NEMA MG 1, 12.44; IEC 60034-1, 7.3). Fed far
above it, its iron saturates and its winding burns; fed far below it, it lacks torque. An inverter gives at full speed
what it is fed with: a motor of half that voltage gets twice its flux.

Fires on mixer at M1
    M1.voltage=230 V AC
Quiet
    M1.voltage=400 V AC
Not judged
    A motor that no state feeds, or one for direct current beside a battery without `open_circuit`. Stepper and servo
    motors, whose drives hold the current.
Known limits
    An inverter set to run a motor of 230 V at 87 Hz on 400 V: accept the finding with that as the reason. A drive fed
    with less than 150 V is taken as one that doubles it.
"""

from __future__ import annotations

from wiring.design.motor.voltage import MotorVoltage, motor_voltages
from wiring.findings import Cause, Number
from wiring.parts.motors import Motor
from wiring.parts.storage import Battery
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="motor-voltage-differs",
    title="Motor is connected for another voltage",
    signal=Signal.CAUTION,
    harm="Above its voltage the motor draws far more than its rated current and burns; below it stalls under its load.",
    sources=(
        ("iec", Source("IEC 60034-1", "2022", "7.3", Standing.FROM_MEMORY)),
        ("na", Source("NEMA MG 1", "2016", "12.44", Standing.FROM_MEMORY)),
    ),
)
#: Share of its voltage by which a motor may differ from it.
_TOLERANCE = 0.10
#: Nominal voltages are rounded: 230/400 V and 120/208 V (IEC 60038) differ from the root of three by less than this.
_NOMINAL = 1.01


def check(design: Design) -> Judgements:
    """Every motor; what a motor without a drive lacks is told as undervoltage."""
    for one in motor_voltages(design.machine, design.operation):
        above = one.volts > one.rated_v * (1 + _TOLERANCE) * _NOMINAL
        below = one.source and one.volts < one.rated_v * (1 - _TOLERANCE) / _NOMINAL
        if above or below:
            yield _finding(design, one, above=above)
    yield from RULE.ask(_unknown_batteries(design), "their voltage when charged (`open_circuit: 25.7 V DC`)")


def _unknown_batteries(design: Design) -> set[str]:
    """The batteries of unknown voltage, and the motors for direct current that they may feed without a drive."""
    parts = design.parts.values()
    batteries = {part.name for part in parts if isinstance(part.data, Battery) and part.data.open_circuit is None}
    driven = {motor.name for axis in design.axes.values() for motor in axis.motors}
    motors = {part.name for part in parts if isinstance(part.data, Motor) and part.data.phases == "DC"} - driven
    return batteries | motors if batteries and motors else set()


def _finding(design: Design, one: MotorVoltage, *, above: bool) -> Judgement:
    source = RULE.source(design.plan.rulebook)
    bound = one.rated_v * (1 + _TOLERANCE if above else 1 - _TOLERANCE)
    gets = f"{one.source} can give it {one.volts:.3g} V" if one.source else f"it gets {one.volts:.3g} V"
    return RULE.finding(
        (one.motor, one.source) if one.source else (one.motor,),
        f"{one.motor} is made for {one.rated_v:.3g} V and {gets}",
        design.place(one.motor, "voltage"),
        because=(Cause(design.place(one.source), "feeds it"),) if one.source else (),
        numbers=(
            Number("voltage there is", one.volts, "V", f"in state {one.state}"),
            Number("rated", one.rated_v, "V", one.motor),
        ),
        limit=Limit(bound, "V", source, "10 % more or less") if source else None,
        mend=(
            f"Connect the winding of {one.motor} for {one.volts:.3g} V (star in place of delta, or high in place of "
            "low voltage), or take a motor for it.",
        ),
        rests=(scope("part", one.motor),),
    )
