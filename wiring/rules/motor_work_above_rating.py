"""A motor is asked for more torque, speed or power than it has.

What a state asks of a shaft is held against the motor: torque against the holding torque of a stepper motor, as far as
the current of its drive gives it, and the peak torque of a servo motor, or its rated torque where the work lasts; speed
against `max_speed`; power against the rated power. The weight of a load that hangs (`gravity_torque`) is asked for in
every state.

Fires on screw-axis at M1
    states.run.M1.torque=3 N·m
Quiet
    states.run.M1.torque=1 N·m
Not judged
    Motors whose torque or highest speed the plan leaves out, or whose work.
Known limits
    Acceleration is not counted; that the torque of a stepper motor falls with its speed is `torque-lost-at-speed`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from wiring.design.motor.drive_ratings import AskedWork, asked_work, current_share
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.motors import Motor, ServoMotor, Shaft, StepperMotor
from wiring.quantities import show
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="motor-work-above-rating",
    title="Motor is asked for more than it has",
    signal=Signal.CAUTION,
    harm="The axis stalls or loses its position in the middle of the work, or the motor burns.",
    sources=(("both", Source("data of the part", "", "torque, speed and power", Standing.ONE_SOURCE)),),
)


class _Asked(NamedTuple):
    """One figure of a state's work, what the motor has, its unit, and the key of the motor; `drive` limits it."""

    what: str
    state: str
    value: float
    most: float
    unit: str
    key: str
    drive: str = ""


def check(design: Design) -> Judgements:
    """Every motor in the state that asks most of it, each figure once."""
    unknown: dict[str, list[str]] = {}
    for part in design.parts.values():
        if isinstance(part.data, Shaft):
            works = asked_work(design.operation, part)
            for words in _missing(part.data, works):
                unknown.setdefault(words, []).append(part.name)
            drive = design.machine.topology.drive_of.get(part.name)
            rows = [row for work in works for row in _rows(part, drive, work)]
            for key in dict.fromkeys(row.key for row in rows):
                worst = max((row for row in rows if row.key == key), key=lambda row: row.value / row.most)
                if worst.value > worst.most * (1 + 1e-9):
                    yield _finding(design, part, worst)
    for words, names in unknown.items():
        yield from RULE.ask(names, words)


def _missing(data: Shaft, works: list[AskedWork]) -> Iterator[str]:
    """The figures of a motor or of its work without which they cannot be held against each other."""
    if not works:
        return
    if isinstance(data, StepperMotor | ServoMotor):
        if _torque(data) is None or (isinstance(data, ServoMotor) and data.rated_torque is None):
            yield "the torque that they have (`holding_torque`, of a servo motor `rated_torque`)"
        if any(work.torque is None and work.power_w is None for work in works):
            yield "the torque of their work (`work: {torque: 1 N·m}`)"
    elif any(work.power_w is None for work in works):
        yield "their work (`work: {power: 500 W}`, or `speed` and `torque`)"
    counts = isinstance(data, StepperMotor | ServoMotor) or data.max_speed is not None
    if counts and any(work.speed is None for work in works):
        yield "the speed of their work (`work: {speed: 600 rpm}`)"
    if data.max_speed is None and any(work.speed is not None for work in works):
        yield "the highest speed that they bear (`max_speed: 3000 rpm`)"


def _rows(part: Part, drive: Part | None, work: AskedWork) -> Iterator[_Asked]:
    data = part.data
    assert isinstance(data, Shaft)
    torque, share = _torque(data), current_share(part, drive)
    if torque is not None and work.torque is not None:
        limiting = drive.name if drive is not None and share < 1.0 else ""
        yield _Asked("torque", work.state, work.torque, torque[0] * share, "N·m", torque[1], limiting)
    if data.max_speed is not None and work.speed is not None:
        yield _Asked("speed", work.state, work.speed, data.max_speed, "rad/s", "max_speed")
    if isinstance(data, Motor | ServoMotor) and work.power_w is not None:
        bears = data.rated_power * ((data.service_factor or 1.0) if isinstance(data, Motor) else 1.0)
        yield _Asked("power", work.state, work.power_w, bears, "W", "rated_power")


def _torque(data: Shaft) -> tuple[float, str] | None:
    """The torque that a motor has, and the key that says so."""
    match data:
        case StepperMotor(holding_torque=torque) if torque is not None:
            return torque, "holding_torque"
        case ServoMotor(rated_torque=torque) if torque is not None:
            return torque, "rated_torque"
        case ServoMotor(peak_torque=torque) if torque is not None:
            return torque, "peak_torque"
    return None


def _words(value: float, unit: str) -> str:
    return show(value, {"N·m": "torque", "rad/s": "rotational speed", "W": "power"}[unit])


def _finding(design: Design, part: Part, row: _Asked) -> Judgement:
    has = _words(row.most, row.unit) + (f" at the current of {row.drive}" if row.drive else "")
    return RULE.finding(
        (part.name, *([row.drive] if row.drive else [])),
        f"State {row.state} asks {_words(row.value, row.unit)} of {part.name} ({part.title}), which has {has}",
        design.place(row.drive, "phase_current") if row.drive else design.place(part.name, row.key),
        numbers=(Number(row.what, row.value, row.unit, f"state {row.state}"),),
        limit=RULE.limit(design, row.most, row.unit, f"`{row.key}`"),
        mend=(
            f"Take a motor with more than {_words(row.value, row.unit)} for {part.name}, a gear, "
            f"or ask less of it in state {row.state}.",
        ),
    )
