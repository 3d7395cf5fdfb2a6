"""A holding brake is weaker than the weight that it must hold.

A vertical load pulls at the shaft for as long as it hangs there. A brake holds it with the torque on its plate, which
wear, oil and heat make smaller: the trade keeps one and a half times the torque of the load. Until it holds (`apply`)
the load falls, no faster than a free body: one that may fall more than half a metre is told (own choice).

Fires on screw-axis at Y1
    M1.gravity_torque=0.5 N·m
    M1.self_locking=false
    parts.Y1={kind: brake, rated: 24 V DC 10 W, holds: M1, torque: 0.4 N·m, apply: 30 ms, suppressor: zener}
Quiet
    Y1.torque=1 N·m
Not judged
    A brake without `torque`, and a vertical axis without `gravity_torque`.
Known limits
    What a brake must take up when it stops a moving load, and how much less than a free body the load falls.
"""

from __future__ import annotations

from wiring.findings import Number
from wiring.parts.motors import Brake, Shaft
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

#: Torque of a holding brake as a multiple of what it holds.
_MARGIN = tabled("common", "brake_margin")
MARGIN = _MARGIN.value

RULE = Rule(
    slug="brake-too-weak",
    title="Brake cannot hold its load",
    signal=Signal.WARNING,
    harm="The head sinks or falls at every stop, on a hand or on the work.",
    sources=(("iec", iec_60204("4.1")), ("na", nfpa_79("4.1"))),
)
#: A free body on earth [m/s2], and how far one may fall before its brake holds (own choice) [m].
_GRAVITY, _FALL_M = 9.81, 0.5
_FREE_FALL = Source("mechanics", "", "free fall, half of g t²", Standing.COMPUTED)
_STATICS = Source("statics", "", "moments about the shaft", Standing.COMPUTED)


def check(design: Design) -> Judgements:
    """Every brake that holds a load which falls."""
    for name, part in design.parts.items():
        if not isinstance(part.data, Brake):
            continue
        motor = design.parts.get(part.data.holds)
        if motor is None or not isinstance(motor.data, Shaft) or not motor.data.vertical or motor.data.self_locking:
            continue
        fall_m = 0.5 * _GRAVITY * (part.data.apply or 0.0) ** 2
        if fall_m > _FALL_M:
            yield _late(design, name, motor.name, part.data.apply or 0.0, fall_m)
        missing = _missing(part.data, motor.name, motor.data)
        if missing:
            yield RULE.not_judged((name, motor.name), missing, design.place(name))
        else:
            yield from _judge(design, name, part.data, motor.name, motor.data)


def _missing(brake: Brake, motor: str, shaft: Shaft) -> str:
    absent = [f"`torque` of {brake.holds}'s brake"] if brake.torque is None else []
    absent += [f"`gravity_torque` of {motor}"] if shaft.gravity_torque is None else []
    return " and ".join(absent)


def _judge(design: Design, name: str, brake: Brake, motor: str, shaft: Shaft) -> Judgements:
    held, load = brake.torque or 0.0, abs(shaft.gravity_torque or 0.0)
    if held >= MARGIN * load * (1 - 1e-9):
        return
    falls = held < load * (1 - 1e-9)
    yield RULE.finding(
        (name, motor),
        f"{name} holds {held:.3g} N·m, and the load of {motor} pulls with {load:.3g} N·m",
        design.place(name, "torque"),
        signal=RULE.signal if falls else Signal.CAUTION,
        numbers=(Number("brake", held, "N·m", name), Number("load", load, "N·m", f"weight at the shaft of {motor}")),
        limit=Limit(load, "N·m", _STATICS) if falls else Limit(MARGIN * load, "N·m", _MARGIN.source),
        mend=(f"Take a brake of {rounded_up(MARGIN * load):.3g} N·m or more for {motor}, or balance the load.",),
    )


def _late(design: Design, name: str, motor: str, apply_s: float, fall_m: float) -> Judgement:
    return RULE.finding(
        (name, motor),
        f"{name} holds {apply_s:.3g} s after its power is gone, and until then the load of {motor} may fall by as much "
        f"as {fall_m:.2g} m",
        design.place(name, "apply"),
        signal=Signal.CAUTION,
        numbers=(Number("time to hold", apply_s, "s", name),),
        limit=Limit((2.0 * _FALL_M / _GRAVITY) ** 0.5, "s", _FREE_FALL),
        mend=(f"Take a brake for {motor} that holds within a tenth of a second, switched on its direct current side.",),
    )
