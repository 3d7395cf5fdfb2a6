"""A stepper motor has less torque at the speed of a state than the state asks.

Holding torque holds at rest. The faster the motor turns, the more of the voltage of the bus its inductance and its own
voltage take: above the corner speed the current falls, and the torque with it. What is computed is the most that is
left, at the best load angle.

Fires on screw-axis at M1
    M1.phase_inductance=6 mH
    states.run.M1={speed: 900 rpm, torque: 1.5 N·m}
Quiet
    states.run.M1={speed: 900 rpm, torque: 0.5 N·m}
Not judged
    A motor whose `phase_inductance` or `holding_torque` the plan leaves out. Two motors on one drive.
Known limits
    Acceleration is not counted. Losses in iron, friction and saturation take more away than is computed here.
"""

from __future__ import annotations

from math import inf

from wiring.design.motor.stepper_torque import TorqueAtSpeed, torques_at_speed
from wiring.findings import Number
from wiring.quantities import show
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="torque-lost-at-speed",
    title="Motor has less torque at that speed",
    signal=Signal.CAUTION,
    harm="The axis stalls in the middle of a fast move, and its position is lost.",
    sources=(
        ("both", Source("P. Acarnley, Stepping Motors", "2002", "torque at speed, hybrid motor", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every stepper motor in the state that asks most of what it gives at that speed."""
    unknown: list[str] = []
    worst: dict[str, TorqueAtSpeed] = {}
    for one in torques_at_speed(design):
        name = one.motor.name
        if one.most is None:
            unknown.append(name)
        elif name not in worst or _share(one) > _share(worst[name]):
            worst[name] = one
    yield from (_finding(design, one) for one in worst.values() if _share(one) > 1.0 + 1e-9)
    yield from RULE.ask(unknown, "the inductance of one phase (`phase_inductance: 3 mH`)")


def _share(one: TorqueAtSpeed) -> float:
    return one.torque / one.most if one.most else inf


def _finding(design: Design, one: TorqueAtSpeed) -> Judgement:
    name, drive, most = one.motor.name, one.drive.name, one.most or 0.0
    speed = show(one.speed, "rotational speed")
    return RULE.finding(
        (name, drive),
        f"State {one.state} asks {show(one.torque, 'torque')} at {speed} of {name} ({one.motor.title}), which gives "
        f"{show(most, 'torque')} there at most: {one.volts:.3g} V drive the whole current of {drive} up to "
        f"{show(one.corner, 'rotational speed')}",
        design.place(name, "phase_inductance"),
        numbers=(Number("torque", one.torque, "N·m", f"state {one.state}"),),
        limit=RULE.limit(design, most, "N·m", f"upper bound at {speed}"),
        mend=(
            f"Take a motor of less inductance or more torque for {name}, a higher voltage for {drive} within its "
            f"window, a gear, or ask less in state {one.state}.",
        ),
    )
