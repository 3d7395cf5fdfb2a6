"""The stages with power on the motors: first motion, the states of the plan, and heat."""

from __future__ import annotations

from wiring.parts.motors import Shaft
from wiring.powerup.builder import Builder, practice
from wiring.powerup.drives import clamp_at, fed, with_power
from wiring.powerup.isolation import prove_dead
from wiring.powerup.live import LEAST_V
from wiring.powerup.step import Expected, Meter, Sort, Stage, Who
from wiring.powerup.survey import pairs_of


def motion(to: Builder) -> None:
    """One motor after the other, uncoupled: current at rest by measure, motion by eye."""
    hold = with_power(to, "hold", True, False)
    for drive, axis in to.design.axes.items():
        motors = ", ".join(f"{motor.title} ({motor.name})" for motor in axis.motors)
        if not motors:
            continue
        for pair in pairs_of(to.design.parts[drive]):
            clamp = clamp_at(to, pair)
            if pair.takes_power and not pair.is_coil and clamp and pair in fed(to):
                kind = pair.kind or "DC"
                words = f"{motors} uncoupled, energised, at rest: current into {drive}"
                to.amps(Stage.MOTION, hold, clamp, kind, words, "no hold or hot: current setting, open phase")
    for drive, axis in to.design.axes.items():
        motors = ", ".join(f"{motor.title} ({motor.name})" for motor in axis.motors)
        if not motors:
            continue
        to.look(
            Stage.MOTION,
            f"{motors}: a few slow turns each way, a mark on the shaft",
            "smooth, right way round, mark returns exactly",
            "rough: one phase open or changed over; wrong way round: a winding changed over",
            Who.INSTRUCTED,
            test="function",
            about=drive,
        )
    for part in to.design.parts.values():
        if isinstance(part.data, Shaft) and not any(part in axis.motors for axis in to.design.axes.values()):
            to.look(
                Stage.MOTION,
                f"{part.title} ({part.name}) for a moment",
                "right way round",
                "change two phases over",
                about=part.name,
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


def under_load(to: Builder) -> None:
    """Every state of the plan: what each source delivers, and the voltage where drives and hazards are fed."""
    for state in to.design.state_entries:
        setting = with_power(to, state, True, True)
        run = to.run(setting)
        for source, output in to.survey.sources.items():
            wire, kind = to.survey.conductor_at((source, output.plus)), output.kind or "DC"
            ends = (source, output.plus), (source, output.minus)
            if abs(run.between(*ends, kind)) <= LEAST_V:
                continue
            wrong = "overload, or the rail is shared with what it should not feed"
            room = practice("branch_voltage" if kind == "DC" else "mains_voltage")
            to.volts(Stage.LOAD, setting, ends, kind, room, f"State {state}: rail of {source}", wrong)
            if wire:
                words = f"State {state}: current of {source}"
                to.amps(Stage.LOAD, setting, wire.id, kind, words, "load or duty differs from the plan")
        for pair in fed(to):
            kind = pair.kind or "DC"
            if abs(run.between(pair.a, pair.b, kind)) > LEAST_V and kind == "DC":
                words = f"State {state}: {to.design.parts[pair.part].title} ({pair.part}) under load"
                wrong = "drop: a loose joint or a thin conductor on the way"
                to.volts(Stage.LOAD, setting, (pair.a, pair.b), kind, practice("branch_voltage"), words, wrong)


def soak(to: Builder) -> None:
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
    prove_dead(to, Stage.SOAK)
    to.look(
        Stage.SOAK,
        "Switched off, locked off, proved dead: terminals, fuses, contactors by hand-held thermometer",
        "no terminal 30 K above its twin",
        "a loose joint",
        Who.INSTRUCTED,
    )


def again(to: Builder) -> None:
    """What is tested again after a change."""
    to.look(
        Stage.AGAIN,
        "After every repair or change: the lines of what was changed, and of all that stands behind it, once more",
        "as on this sheet; write the date and the change beside the line",
        "no operation before the lines are right again",
        Who.QUALIFIED,
        test="again",
    )
