"""The stages with power on the motors: first motion, the states of the plan, and heat."""

from __future__ import annotations

from msgspec.structs import replace

from wiring.parts.drives import Drive
from wiring.parts.motors import Shaft
from wiring.powerup.builder import LEAST_V, METER_LEAST, Builder, practice
from wiring.powerup.cold import currents_of_drives
from wiring.powerup.continuity import POWER_A
from wiring.powerup.drives import clamp_at, fed, with_power
from wiring.powerup.operated_stages import drive_signals
from wiring.powerup.step import Act, Expected, Line, Meter, Setting, Sort, Stage, Who
from wiring.powerup.survey import pairs_of
from wiring.solver.operating import OperatingPoint

#: Readings closer than this share show no other load.
_ALIKE = 0.01


def motion(to: Builder) -> None:
    """One motor after the other, uncoupled: current at rest by measure, motion by eye."""
    hold = with_power(to, "hold", True, False)
    if to.survey.motor_wires:
        to.look(
            Stage.MOTION,
            "Every motor uncoupled, energised, at rest, a hand on the stop",
            "it holds, nothing turns, hums loudly or gets hot",
            "stop it: current setting, open or changed-over phase",
            Who.INSTRUCTED,
            setting=hold,
        )
    for drive, axis in to.design.axes.items():
        motors = ", ".join(f"{motor.title} ({motor.name})" for motor in axis.motors)
        if not motors:
            continue
        for pair in pairs_of(to.design.parts[drive]):
            clamp = clamp_at(to, pair)
            if pair.takes_power and not pair.is_coil and clamp and pair in fed(to):
                kind = pair.kind or "DC"
                words = f"{motors} uncoupled, energised, at rest, at full current: current into {drive}"
                with to.annex():
                    to.amps(Stage.MOTION, hold, clamp, kind, words, "no hold or hot: current setting, open phase")
        _turns(to, drive, motors)
    for part in to.design.parts.values():
        if isinstance(part.data, Shaft) and not any(part in axis.motors for axis in to.design.axes.values()):
            to.look(
                Stage.MOTION,
                f"{part.title} ({part.name}) for a moment",
                "right way round",
                "change two phases over",
                about=(part.name,),
            )
    if to.design.plan.stops:
        to.look(
            Stage.MOTION,
            "With an axis moving slowly, every stop device once",
            "it stops and stays stopped",
            "nobody goes on before it does",
            Who.INSTRUCTED,
            test="function",
        )


def _turns(to: Builder, drive: str, motors: str) -> None:
    """A few slow turns each way: each signal of the drive does what it is for."""
    row = f"{motors}: a few slow turns each way, a mark on the shaft"
    commanded = with_power(to, "hold", True, True)
    for pair in (pair for pair in drive_signals(to) if pair.part == drive):
        volts = abs(to.run(commanded).between(pair.a, pair.b, "DC"))
        if volts > LEAST_V:
            words = f"{motors}: follows its signal {pair.a[1]} while the program commands it"
            wrong = "signal or its return open, or on the wrong input"
            cell = (row, f"follows {pair.a[1]}")
            to.is_on(Stage.MOTION, commanded, None, (pair.a, pair.b), words, wrong, volts / 2, "function", cell)
    to.look(
        Stage.MOTION,
        row,
        "smooth, right way round, no alarm, mark returns exactly",
        "rough: one phase open or changed over; wrong way round: a winding changed over; alarm or no turn: a conductor "
        "of its encoder or signals open or mixed up",
        Who.INSTRUCTED,
        test="function",
        about=(drive,),
        row=(row, "smooth and right way round"),
    )


def under_load(to: Builder) -> None:
    """Every state of the plan by eye; each source and each hazard by meter in the state in which it carries most, where
    that is enough to heat a joint and was not measured before."""
    heaviest = _heaviest(to)
    _couple(to)
    for state in to.design.state_entries:
        setting = with_power(to, state, True, True)
        run = to.run(setting)
        to.look(
            Stage.LOAD,
            f"State {state} of the plan",
            "nothing trips, hums or smells; no alarm",
            "stop it",
            Who.INSTRUCTED,
            setting=setting,
        )
        for source, output in to.survey.sources.items():
            wire, kind = to.survey.conductor_at((source, output.plus)), output.kind or "DC"
            ends = (source, output.plus), (source, output.minus)
            if abs(run.between(*ends, kind)) <= LEAST_V:
                continue
            row, words = f"State {state}: {source}", f"State {state}: rail of {source}"
            # One that can hurt is measured at what it feeds.
            counts = source not in to.survey.hazardous and _at_output(to, run.point, source) >= POWER_A
            with to.annex(not counts or heaviest.get(source) != state):
                wrong = "overload, or the rail is shared with what it should not feed"
                room = practice("branch_voltage" if kind == "DC" else "mains_voltage")
                with to.annex():
                    to.volts(Stage.LOAD, setting, ends, kind, room, words, wrong, row=(row, "voltage"))
                if wire:
                    words, wrong = f"State {state}: current of {source}", "load or duty differs from the plan"
                    to.amps(Stage.LOAD, setting, wire.id, kind, words, wrong, row=(row, "current"))
        _at_hazards(to, state, setting, heaviest)
    before = [line for line in to.lines if line.is_numeric and not line.annex and line.stage is not Stage.LOAD]
    to.lines = [
        replace(line, annex=True) if line.stage is Stage.LOAD and any(_is_same(line, old) for old in before) else line
        for line in to.lines
    ]


def _couple(to: Builder) -> None:
    """What was uncoupled for the first motion put together again, on the dead machine."""
    if not (to.survey.motor_wires and to.design.state_entries):
        return
    to.change(Stage.LOAD, (Act("dead"),))
    currents = "; ".join(f"{name} {words}" for name, words in currents_of_drives(to).items())
    to.look(
        Stage.LOAD,
        "Couple the motors to what they move, guards shut"
        + (f"; current of every drive: {currents}" if currents else ""),
        "coupled, nobody in the way",
        "nobody starts it before it is",
        Who.INSTRUCTED,
    )


def _is_same(line: Line, old: Line) -> bool:
    """Whether a reading was taken before at the same place, with the same limits within the error of the meter."""
    here, there = (line.meter, line.red, line.black, line.wire), (old.meter, old.red, old.black, old.wire)
    now, then = line.expected.value, old.expected.value
    least = METER_LEAST.get(line.meter, 0.0)
    return here == there and now is not None and then is not None and abs(now - then) <= least + _ALIKE * abs(then)


def _heaviest(to: Builder) -> dict[str, str]:
    """The state in which every source, and every load that can hurt, carries the most current."""
    found: dict[str, tuple[float, str]] = {}
    for state in to.design.state_entries:
        point = to.run(with_power(to, state, True, True)).point
        amps = {name: _at_output(to, point, name) for name in to.survey.sources}
        for pair in fed(to):
            clamp = clamp_at(to, pair)
            kind = pair.kind or "DC"
            amps[pair.part] = abs(point.path_current(kind).get(clamp or "", 0.0))
        for name, current in amps.items():
            if current > found.get(name, (-1.0, ""))[0]:
                found[name] = (current, state)
    return {name: state for name, (_, state) in found.items()}


def _at_output(to: Builder, point: OperatingPoint, source: str) -> float:
    output = to.survey.sources[source]
    wire = to.survey.conductor_at((source, output.plus))
    return abs(point.path_current(output.kind or "DC").get(wire.id if wire else "", 0.0))


def _at_hazards(to: Builder, state: str, setting: Setting, heaviest: dict[str, str]) -> None:
    """Voltage and current where heaters and other hazards are fed, on three phases one voltage and two currents;
    drives by voltage, in the annex."""
    run = to.run(setting)
    measured: dict[str, int] = {}
    for pair in fed(to):
        kind = pair.kind or "DC"
        if abs(run.between(pair.a, pair.b, kind)) <= LEAST_V or pair.part in to.survey.sources:
            continue
        part = to.design.parts[pair.part]
        row, clamp = f"State {state}: {part.title} ({pair.part})", clamp_at(to, pair)
        is_drive = isinstance(part.data, Drive)
        with to.annex(is_drive or heaviest.get(pair.part) != state):
            room, ends = practice("branch_voltage" if kind == "DC" else "mains_voltage"), (pair.a, pair.b)
            wrong = "drop: a loose joint or a thin conductor on the way"
            with to.annex(measured.get(pair.part)):
                to.volts(Stage.LOAD, setting, ends, kind, room, f"{row} under load", wrong, row=(row, "voltage"))
            if clamp and not is_drive:
                wrong = "an open element, or the wrong one"
                with to.annex(measured.get(pair.part, 0) > 1):
                    to.amps(Stage.LOAD, setting, clamp, kind, f"{row}: current", wrong, row=(row, "current"))
            measured[pair.part] = measured.get(pair.part, 0) + 1


def heat_soak_stage(to: Builder) -> None:
    """The cabinet closed, at work, until it is warm."""
    inside = to.design.inside.inside_c
    room = practice("temperature_rise_spread")
    minutes = practice("soak_time")
    to.add(
        Stage.SOAK,
        f"{minutes:g} min of representative work, cabinet closed, at {to.design.ambient_c:g} °C outside: air inside",
        Meter.CELSIUS,
        Expected(Sort.VALUE, inside, to.design.ambient_c, inside + room),
        "fan, filter, or more heat than the plan knows",
        Who.INSTRUCTED,
    )
    to.change(Stage.SOAK, (Act("dead"),))
    to.look(
        Stage.SOAK,
        "Terminals, fuses, contactors by hand-held thermometer",
        "no terminal 30 K above its twin",
        "a loose joint",
        Who.INSTRUCTED,
    )


def after_change_stage(to: Builder) -> None:
    """What is tested again after a change."""
    to.look(
        Stage.AFTER_CHANGE,
        "After every repair or change: the lines of what was changed, and of all that stands behind it, once more",
        "as on this sheet; write the date and the change beside the line",
        "no operation before the lines are right again",
        Who.QUALIFIED,
        test="again",
    )
