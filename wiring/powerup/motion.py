"""The stages with power on the motors: first motion, the states of the plan, heat, and switching off."""

from __future__ import annotations

from math import inf, log

from wiring.circuit.model import Node, named
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.parts.incoming import Capacitor
from wiring.parts.motors import Shaft
from wiring.powerup.builder import UNPLUGGED, Builder, practice
from wiring.powerup.drives import clamp_at, fed, with_power
from wiring.powerup.live import LEAST_V
from wiring.powerup.ohms import measure
from wiring.powerup.step import Expected, Meter, Sort, Stage, Who
from wiring.powerup.survey import pairs_of
from wiring.rulebooks.answers import NotTabled


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
    to.look(
        Stage.SOAK,
        "Switch off, lock off, prove dead; then terminals, fuses, contactors by hand-held thermometer",
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


# Residual voltage.


def residual(to: Builder) -> None:
    """Every rail with capacitors on it: where it stands after the time that the standard gives."""
    limit = to.design.book.discharge_limit("enclosure")
    if isinstance(limit, NotTabled):
        to.not_judged.append("16 residual voltage: the rulebook gives no limit")
        return
    for node, back, farads, volts in _buses(to):
        words = _decay(to, node, back, farads, volts, limit.voltage.value)
        action = f"Main switch off, {limit.time.value:g} s later: {named(node)} to {named(back)}"
        wrong = "wait, use a resistor made for it, and put the warning with the time to wait on the door"
        low = limit.voltage.value
        expected = Expected(Sort.BELOW, min(volts, low), -low, low, words)
        if words.startswith("not judged"):
            expected = Expected(Sort.UNJUDGED, None, -low, low, words)
        to.add(Stage.RESIDUAL, action, Meter.DC_V, expected, wrong, Who.QUALIFIED, None, (node, back), test="residual")


def _buses(to: Builder) -> list[tuple[Node, Node, float, float]]:
    """Plus, return, capacitance [F] and voltage [V] of every DC bus that stores charge."""
    run = to.run(with_power(to, "", False, False))
    nets = to.design.nets.of
    found: dict[tuple[Node, Node], tuple[Node, Node, float, float]] = {}
    for part in to.design.parts.values():
        ends, farads = _storage(to, part)
        if ends is None or not farads:
            continue
        key = (nets[ends[0]], nets[ends[1]])
        volts = abs(run.between(*ends, "DC"))
        if volts <= LEAST_V:
            continue
        before = found.get(key, (*ends, 0.0, volts))
        found[key] = (before[0], before[1], before[2] + farads, volts)
    return [found[key] for key in sorted(found)]


def _storage(to: Builder, part: Part) -> tuple[tuple[Node, Node] | None, float]:
    if isinstance(part.data, Capacitor):
        plus = part.data.terminals.get("+", "+")
        minus = part.data.terminals.get("-", "-")
        return ((part.name, plus), (part.name, minus)), part.data.capacitance
    if isinstance(part.data, Drive) and part.data.bus_capacitance:
        bus = next((e for e in part.elements if isinstance(e, Draw) and e.name == "bus" and e.kind == "DC"), None)
        return ((part.name, bus.a), (part.name, bus.b)) if bus else None, part.data.bus_capacitance
    farads = getattr(part.data, "output_capacitance", None)
    output = to.survey.sources.get(part.name)
    if farads and output is not None:
        return ((part.name, output.plus), (part.name, output.minus)), farads
    return None, 0.0


def _decay(to: Builder, node: Node, back: Node, farads: float, volts: float, limit: float) -> str:
    if volts <= limit:
        return f"stands at {volts:.3g} V, never above {limit:g} V; {1e3 * farads:.3g} mF"
    ohm = _bleeder(to, node, back)
    if ohm == inf:
        return f"not judged: {1e3 * farads:.3g} mF at {volts:.3g} V has no bleeder; see the label of its maker"
    seconds = ohm * farads * log(volts / limit)
    return f"{1e3 * farads:.3g} mF from {volts:.3g} V falls to {limit:g} V in {seconds:.2g} s"


def _bleeder(to: Builder, node: Node, back: Node) -> float:
    ohm = measure(to.survey.cold, UNPLUGGED, [(node, back)])[0]
    return inf if ohm is None or ohm <= 0.0 else ohm
