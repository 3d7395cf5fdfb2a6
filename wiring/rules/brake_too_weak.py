"""A holding brake is weaker than the weight that it must hold.

A vertical load pulls at the shaft for as long as it hangs there. A brake holds it with the torque on its plate, which
wear, oil and heat make smaller: the trade keeps one and a half times the torque of the load.

Fires on screw-axis at Y1
    M1.gravity_torque=0.5 N·m
    M1.self_locking=false
    parts.Y1={kind: brake, rated: 24 V DC 10 W, holds: M1, torque: 0.4 N·m, apply: 30 ms, suppressor: zener}
Quiet
    Y1.torque=1 N·m
Not judged
    A brake without `torque`, and a vertical axis without `gravity_torque`.
Known limits
    What a brake must take up when it stops a moving load; that it comes late is `brake-closes-late`.
"""

from __future__ import annotations

from wiring.design.motor.brakes import falls, held_motor
from wiring.findings import Number
from wiring.parts.motors import Brake, Shaft
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import rounded_up
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

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
_STATICS = Source("statics", "", "moments about the shaft", Standing.COMPUTED)


def check(design: Design) -> Judgements:
    """Every brake that holds a load which falls."""
    for name, part in design.parts.items():
        motor = held_motor(design.machine, part)
        if motor is None or not falls(motor):
            continue
        assert isinstance(part.data, Brake)
        assert isinstance(motor.data, Shaft)
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
