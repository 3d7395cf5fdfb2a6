"""The overload device of a motor trips though nothing is overloaded.

Its strips heat with the current of each pole. One of three poles without current is taken for a phase that is missing,
and the device trips below its setting (IEC 60947-4-1, 8.2.1.5.2): a load of one phase passes all three in series. And a
start takes what the machine's inertia asks for. The rotor is up to speed after J w / T at the soonest, where T is the
most torque that a motor gives; a device of a class has opened by then where its time at the starting current is less.

Fires on mixer at F3
    M2.load_inertia=20000 kg·cm2
    M2.max_speed=1450 rpm
Quiet
    M2.load_inertia=100 kg·cm2
Not judged
    A start of a motor whose inertia or speed is not given.
Known limits
    A torque of three times the rated one is counted all through the start, and no load: what is told cannot start. That
    a start takes longer than a motor itself bears is for its maker.
"""

from __future__ import annotations

from wiring.design.motor.circuits import direct_motors
from wiring.design.motor.protection import protectors_of
from wiring.findings import Cause, Number
from wiring.parts.base import Part
from wiring.parts.elements import Pole
from wiring.parts.motors import Motor
from wiring.parts.protection import MotorProtector
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.tables import load
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="overload-trips-early",
    title="Overload device trips though nothing is overloaded",
    signal=Signal.CAUTION,
    harm="The machine stops in its work, and somebody turns the setting up until it protects nothing.",
    sources=(("both", Source("IEC 60947-4-1", "2018", "table 2", Standing.ONE_SOURCE)),),
)
#: The most torque of a cage motor as a multiple of its rated one (common practice, no source).
_PEAK_TORQUE = 3.0
#: The multiple of the setting at which a class says its time (IEC 60947-4-1, table 2).
_CLASS_MULTIPLE = 7.2


def check(design: Design) -> Judgements:
    """Every device with poles that carry nothing, and every motor across the line behind one."""
    for part in design.parts.values():
        if isinstance(part.data, MotorProtector):
            yield from _unused(design, part)
    unsaid = []
    for motor in direct_motors(design.machine):
        assert isinstance(motor.data, Motor)
        for name in protectors_of(design, motor) or () if motor.data.phases == "3" else ():
            least = _shortest_start(motor.data)
            if least is None:
                unsaid.append(motor.name)
            else:
                yield from _outlasted(design, motor, motor.data, name, least)
    yield from RULE.ask(unsaid, "the inertia that they start and their speed (`load_inertia`, `max_speed`)")


def _unused(design: Design, part: Part) -> Judgements:
    poles = part.of(Pole)
    idle = [pole for pole in poles if not {(part.name, pole.a), (part.name, pole.b)} & design.nets.joined]
    if len(poles) > 2 and idle and len(idle) < len(poles):
        words = listed([f"{pole.a}-{pole.b}" for pole in idle])
        yield RULE.finding(
            (part.name,),
            f"{words} of {part.name} carry nothing, and it trips as on a missing phase",
            design.place(part.name),
            mend=(f"Lead the current of {part.name} through all its poles, one after the other.",),
        )


def _shortest_start(data: Motor) -> float | None:
    """The least time in which a motor is up to speed without load [s]."""
    inertia, speed = (data.rotor_inertia or 0.0) + (data.load_inertia or 0.0), data.max_speed
    if data.load_inertia is None or speed is None:
        return None
    return inertia * speed**2 / (_PEAK_TORQUE * data.rated_power)


def _outlasted(design: Design, motor: Part, data: Motor, name: str, least_s: float) -> Judgements:
    device = design.parts[name].data
    assert isinstance(device, MotorProtector)
    row = load("iec", "overload_relay").row(device.trip_class, _CLASS_MULTIPLE)
    if row is None or data.rated_current is None:
        return
    multiple = data.start_factor * data.rated_current / device.setting
    opens_s = row.number("open_s") * (_CLASS_MULTIPLE / multiple) ** 2
    if least_s > opens_s:
        yield _finding(design, motor, name, least_s, Limit(opens_s, "s", row.source, f"class {device.trip_class}"))


def _finding(design: Design, motor: Part, name: str, least_s: float, limit: Limit) -> Judgement:
    return RULE.finding(
        (name, motor.name),
        f"{motor.name} takes {least_s:.2g} s at least to start, and {name} opens after {limit.value:.2g} s",
        design.place(name),
        because=[Cause(design.place(motor.name, "load_inertia"), "is what it starts")],
        numbers=(Number("start", least_s, "s", f"without load, at {_PEAK_TORQUE:g} times the rated torque"),),
        limit=limit,
        mend=(
            f"Let an inverter start {motor.name}.",
            f"Or take a motor that is made for heavy starts, with a device of a slower class for {name}.",
        ),
    )
