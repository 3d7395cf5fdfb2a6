"""Axes: from mass, force and speed of a load to torque, speed and inertia at its motor."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi
from typing import Any

from msgspec import Struct

from wiring.describe.build import Build, Refused, own_model, part_words
from wiring.describe.description import Axis
from wiring.describe.text import shown
from wiring.parts.machinery import inertia_through_gear, screw_inertia, screw_torque, torque_through_gear
from wiring.parts.motion import corner_speed, highest_useful_bus_voltage, torque_constant
from wiring.parts.motors import ServoMotor, StepperMotor

RAILS_V = (24.0, 36.0, 48.0, 72.0)
#: Efficiency of a screw, of a toothed belt and of a gear, where none is given (common practice, no source).
_SCREW, _BELT, _GEAR = 0.5, 0.9, 0.9
_GRAVITY = 9.80665
#: Of the torque at work, what a fast move without work takes of the torque that the motor has (common practice).
_RAPID_SHARE, _RAPID_DUTY, _WORK_DUTY = 0.6, 0.4, 0.9
_PERCENT = 100.0
#: Power over current of a servo motor [V]: below, it is wound for a rail of 48 V, above for rectified mains.
_LOW_WINDING_V, _ROOT_3 = 40.0, 3.0**0.5


class Motion(Struct, frozen=True):
    """What one axis asks of its motor: speeds [rad/s], torques [N·m], inertia of the load [kg·m2].

    `name` is its own among several motors of one axis, `of` that of the axis in the description.
    """

    name: str
    of: str
    title: str
    axis: Axis
    motor: StepperMotor | ServoMotor
    words: Mapping[str, object]
    speed: float
    torque: float
    rapid: float
    rapid_torque: float
    inertia: float | None
    gravity: float | None
    why: str

    @property
    def is_stepper(self) -> bool:
        return isinstance(self.motor, StepperMotor)

    @property
    def on_rail(self) -> bool:
        """Whether its drive hangs on a rail of direct voltage."""
        return hangs_on_rail(self.motor)


def hangs_on_rail(motor: StepperMotor | ServoMotor) -> bool:
    """Whether the drive of a motor hangs on a rail of direct voltage: a stepper, or a servo wound for a low one."""
    if isinstance(motor, StepperMotor) or motor.rated_current is None:
        return isinstance(motor, StepperMotor)
    volts: float = motor.rated_power / (_ROOT_3 * motor.rated_current.rms_a)
    return volts < _LOW_WINDING_V


def with_likes(axes: Mapping[str, Axis]) -> dict[str, Axis]:
    """The axes with what they take from others; a circle of them was refused when they were read."""
    found: dict[str, Axis] = {}
    for name, axis in axes.items():
        fields: dict[str, Any] = {}
        here: Axis | None = axis
        while here is not None:
            for key in here.model_fields_set:
                fields.setdefault(key, getattr(here, key))
            here = axes.get(here.like or "")
        fields.pop("like", None)
        if "title" in fields and "title" not in axis.model_fields_set:
            fields.pop("title")
        found[name] = Axis.model_construct(**fields)
    return found


def motions(build: Build) -> list[Motion]:
    """Every motor of every axis: an axis with a count has several."""
    found = []
    for name, axis in with_likes(build.description.axes).items():
        count = axis.count or 1
        for n in range(1, count + 1):
            found.append(_motion(name if count == 1 else f"{name}{n}", name, axis))
    return found


def _motion(name: str, path: str, axis: Axis) -> Motion:
    assert axis.motor is not None
    motor = own_model(axis.motor)
    assert isinstance(motor, StepperMotor | ServoMotor)
    travel = axis.screw or axis.pulley
    per_rad = travel / (2 * pi) if travel else None
    ratio = axis.ratio or 1.0
    share = axis.efficiency or (
        (_SCREW if axis.screw else _BELT if axis.pulley else 1.0) * (_GEAR if axis.ratio else 1.0)
    )
    why: list[str] = []
    torque = _torque(axis, per_rad, ratio, share, motor, why, path)
    fastest = _fastest(motor)
    speed = _speed(axis.speed, axis.turns, per_rad, ratio)
    rapid = _speed(axis.rapid, axis.rapid_turns, per_rad, ratio)
    if speed is None and rapid is None:
        speed = rapid = fastest
        why.append(f"no speed is given: {shown(fastest, 'rotational speed')}, up to which it has its torque")
    speed = rapid if speed is None else speed
    rapid = speed if rapid is None else rapid
    assert speed is not None
    assert rapid is not None
    gravity = _gravity(axis, per_rad, ratio)
    extra = abs(gravity or 0.0)
    title = str(axis.title or f"axis {path}") + (f" {name[len(path) :]}" if name != path else "")
    words = f"{shown(torque, 'torque')} at {shown(speed, 'rotational speed')}"
    why.insert(0, f"{words} at work" + (f", of which {shown(extra, 'torque')} holds the weight" if extra else ""))
    able = _able(motor)
    return Motion(
        name,
        path,
        title,
        axis,
        motor,
        part_words(axis.motor),
        speed,
        torque,
        max(speed, rapid),
        min(max(_RAPID_SHARE * torque, extra), able),
        _inertia(axis, per_rad, ratio),
        gravity,
        "; ".join(why),
    )


def _able(motor: StepperMotor | ServoMotor) -> float:
    """The torque that it gives lastingly [N·m]."""
    found = motor.holding_torque if isinstance(motor, StepperMotor) else motor.rated_torque
    return found or 1e9


def _torque(
    axis: Axis,
    per_rad: float | None,
    ratio: float,
    share: float,
    motor: StepperMotor | ServoMotor,
    why: list[str],
    path: str,
) -> float:
    """Torque at work [N·m]; half of what the motor can where nothing is given."""
    able = _able(motor)
    weight = abs(_gravity(axis, per_rad, ratio) or 0.0)
    if axis.force is None and axis.torque is None:
        if able > 1e8:
            raise Refused(
                f"axis {path} says no force or torque",
                "its motor gives none either",
                "Add `force` or `torque`.",
                ("axes", path),
            )
        why.append(f"no force is given: half of the {shown(able, 'torque')} of the motor")
        return _bearable(max(0.5 * able, weight / share), able, axis, path)
    torque = weight / share
    if axis.force is not None and per_rad is not None:
        torque += screw_torque(abs(axis.force), per_rad * 2 * pi, share) / ratio
    if axis.torque is not None:
        torque += torque_through_gear(axis.torque, ratio, share)
    return _bearable(torque, able, axis, path)


def _bearable(torque: float, able: float, axis: Axis, path: str) -> float:
    """The torque, where the motor can give it lastingly. Raises Refused where not."""
    if torque > able:
        asked, gives = shown(torque, "torque"), shown(able, "torque")
        mend = "Take a larger motor, a finer screw or a gear."
        if axis.screw is not None and axis.efficiency is None:
            mend += f" A ball screw has an `efficiency` of some 90 %; without it {100 * _SCREW:g} % are taken."
        raise Refused(
            f"axis {path} needs {asked if asked != gives else f'a little more than {asked}'} at its motor",
            f"the motor gives {gives}",
            mend,
            ("axes", path),
        )
    return torque


def _speed(linear: float | None, turning: float | None, per_rad: float | None, ratio: float) -> float | None:
    if linear is not None and per_rad is not None:
        return abs(linear) / per_rad * ratio
    return turning * ratio if turning is not None else None


def _fastest(motor: StepperMotor | ServoMotor) -> float:
    """The speed up to which the motor has its torque [rad/s], on the rail that suits its winding."""
    if isinstance(motor, ServoMotor):
        return motor.max_speed or 314.0
    henries = motor.phase_inductance or 3e-3
    peak = motor.phase_current.peak_a
    return corner_speed(
        bus_v=min(highest_useful_bus_voltage(henries), RAILS_V[-1]),
        phase_resistance_ohm=motor.winding_ohm,
        phase_inductance_h=henries,
        peak_a=peak,
        constant=torque_constant(motor.holding_torque or 1.0, peak),
    )


def _inertia(axis: Axis, per_rad: float | None, ratio: float) -> float | None:
    """Inertia of the load at the motor [kg·m2], None where nothing is known of it."""
    parts = []
    if axis.mass is not None and per_rad is not None:
        parts.append(screw_inertia(axis.mass, per_rad * 2 * pi))
    if axis.inertia is not None:
        parts.append(axis.inertia)
    return inertia_through_gear(sum(parts), ratio) if parts else None


def _gravity(axis: Axis, per_rad: float | None, ratio: float) -> float | None:
    if axis.vertical is None:
        return None
    if axis.gravity_torque is not None:
        return axis.gravity_torque
    return axis.mass * _GRAVITY * per_rad / ratio if axis.mass is not None and per_rad is not None else None


def state_entry(motion: Motion, *, rapid: bool) -> dict[str, str]:
    """What a state says of the motor."""
    speed, torque = (motion.rapid, motion.rapid_torque) if rapid else (motion.speed, motion.torque)
    duty = _RAPID_DUTY if rapid else (motion.axis.duty or _WORK_DUTY)
    return {
        "speed": shown(speed, "rotational speed"),
        "torque": shown(torque, "torque"),
        "duty": f"{_PERCENT * duty:g} %",
    }


def shaft_words(motion: Motion) -> dict[str, object]:
    """What the entry of a motor says besides its data."""
    found: dict[str, object] = {"title": motion.title}
    if motion.inertia is not None:
        found["load_inertia"] = shown(motion.inertia, "inertia")
    if motion.axis.vertical:
        found["vertical"] = True
        if motion.axis.vertical == "self-locking":
            found["self_locking"] = True
        if motion.gravity is not None:
            found["gravity_torque"] = shown(motion.gravity, "torque")
    if motion.axis.coasts is not None:
        found["run_down"] = shown(motion.axis.coasts, "time")
    found["work"] = {key: value for key, value in state_entry(motion, rapid=False).items() if key != "duty"}
    return found


def bus_power(motion: Motion) -> float:
    """Power at full torque and the highest speed [W]: the peak by which axes are shared among supplies."""
    motor = motion.motor
    pull = motor.holding_torque if isinstance(motor, StepperMotor) else motor.peak_torque or motor.rated_torque
    return max(pull or 0.0, motion.torque) * motion.rapid
