"""The stage in which drives become live while motors are still unplugged, and what others need of it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from msgspec.structs import replace

from wiring.circuit.model import Node, named
from wiring.design.motor.demands import worked_operators
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.motors import Shaft
from wiring.parts.operators import PushButton
from wiring.powerup.builder import LEAST_V, Builder, practice
from wiring.powerup.dark import lamp_of
from wiring.powerup.operated_stages import all_pairs, drive_signals, moved_by
from wiring.powerup.step import Event, Setting, Stage, Who
from wiring.powerup.survey import Pair, pairs_of


def fed(to: Builder) -> list[Pair]:
    """Where drives and other hazards are fed."""
    return [
        pair
        for name in sorted(to.survey.hazardous)
        for pair in pairs_of(to.design.parts[name])
        if pair.takes_power and not pair.is_coil
    ]


def with_power(to: Builder, load: str, plugged: bool, outputs: bool) -> Setting:
    """Mains on, every device in, control reset; motors in or unplugged, a program's outputs on or off.

    In a state of the plan what it has worked by hand is held, but a button let go where the machine stays as it is.
    """
    opened = frozenset() if plugged else to.survey.motor_wires
    setting = Setting(True, opened, to.survey.start_events, load, outputs)
    started, pressed = setting.events, {event.part for event in setting.events}
    worked = [Event(name, "operator", True) for name in _worked_in(to, load)]
    setting = replace(setting, events=(*started, *worked))
    once = [event for event in worked if event.part not in pressed]
    short = replace(setting, events=(*started, *once))
    if len(once) < len(worked) and to.run(short).point.attracted == to.run(setting).point.attracted:
        setting, worked = short, once  # what was pressed for the start is not pressed again
    for press in (press for press in worked if isinstance(to.design.parts[press.part].data, PushButton)):
        at = len(setting.events) - setting.events[::-1].index(press)
        let_go = replace(press, on=False)
        short = replace(setting, events=(*setting.events[:at], let_go, *setting.events[at:]))
        if to.run(short).point.attracted == to.run(setting).point.attracted:
            setting = short
    return setting


def live_setting(to: Builder, pairs: Sequence[tuple[Node, Node]]) -> Setting | None:
    """The first position with every device in and the motors unplugged in which the mains stand between some of these
    points: idle, with the outputs on, or with what a state of the plan has worked; None where none brings them there.
    """
    for load, outputs in (("", False), *((state, True) for state in ("", *to.design.state_entries))):
        setting = replace(with_power(to, load, plugged=False, outputs=outputs), load="")
        if any(abs(to.run(setting).between(*pair, "AC")) > LEAST_V for pair in pairs):
            return setting
    return None


def _worked_in(to: Builder, load: str) -> list[str]:
    """What a state of the plan has worked, buttons behind the switches and sensors that they wait for."""
    entries = to.design.state_entries.get(load, {})
    names = {part for part, actuator in worked_operators(to.design.circuit, entries) if actuator == "operator"}
    return sorted(names, key=lambda name: (isinstance(to.design.parts[name].data, PushButton), name))


def clamp_at(to: Builder, pair: Pair) -> str | None:
    wire = to.survey.conductor_at(pair.a) or to.survey.conductor_at(pair.b)
    return wire.id if wire else None


def drives(to: Builder) -> None:
    """Drives live, motors still unplugged: bus voltage, idle current, then every signal that a program drives."""
    idle = with_power(to, "", False, False)
    seen: dict[str, int] = {}
    live = [pair for pair in fed(to) if abs(to.run(idle).between(pair.a, pair.b, pair.kind or "DC")) > LEAST_V]
    # A source is measured at what it feeds.
    feeding = {
        rail.source for pair in live for rail in to.design.roles.rails.get(pair.a, ()) if pair.part != rail.source
    }
    for pair in live:
        part, kind = to.design.parts[pair.part], pair.kind or "DC"
        who = Who.QUALIFIED if kind == "AC" else Who.INSTRUCTED
        room = practice("mains_voltage" if kind == "AC" else "branch_voltage")
        words = row = f"{part.title} ({part.name}) live, idle"
        wrong, ends = "fuse, contactor or conductor open; polarity", (pair.a, pair.b)
        has_lamp = isinstance(part.data, Drive) and (pair.is_logic or len(_power_pairs(part)) == 1)
        if has_lamp:
            cell = ("Power lamps of drives, idle", lamp_of(to, pair))
            on_v = abs(to.run(idle).between(*ends, kind)) / 2
            told = f"{part.title} ({part.name}): power lamp, idle"
            to.is_on(Stage.DRIVES, idle, None, ends, told, wrong, on_v, row=cell)
        # Two pairs hold all three phases.
        seen[pair.part] = seen.get(pair.part, 0) + (not pair.is_logic)
        with to.annex(has_lamp or seen[pair.part] > 2 or part.name in feeding):
            to.volts(Stage.DRIVES, idle, ends, kind, room, words, wrong, who, row=(row, "voltage"))
        clamp = clamp_at(to, pair)
        if clamp:
            words = f"{part.title} ({part.name}) idle current"
            with to.annex(isinstance(part.data, Drive) or part.name in feeding):
                to.amps(Stage.DRIVES, idle, clamp, kind, words, "a fault inside", who, (row, "current"))
    _direct_motors(to)
    with to.annex():
        _signals(to)
    _worked_by_program(to)


def _power_pairs(part: Part) -> list[Pair]:
    """Where a part takes its power, its logic left out: more than one on three phases, of which a lamp shows any."""
    return [pair for pair in pairs_of(part) if pair.takes_power and not pair.is_coil and not pair.is_logic]


def _direct_motors(to: Builder) -> None:
    """Motors without a drive: the voltage that waits for each at the end of its unplugged cable."""
    driven = {motor.name for axis in to.design.axes.values() for motor in axis.motors}
    for part in to.design.parts.values():
        if not isinstance(part.data, Shaft) or part.name in driven:
            continue
        ends = [to.survey.far_end((part.name, terminal)) for terminal in part.terminals if terminal != "PE"]
        setting = live_setting(to, list(combinations(ends, 2)))
        if setting is None:
            continue
        live = [pair for pair in combinations(ends, 2) if to.run(setting).between(*pair, "AC") > LEAST_V]
        for n, pair in enumerate(live):
            told = f"{part.title} ({part.name}) unplugged: the voltage for it"
            wrong = "a contactor, motor protector or conductor on the way is open"
            room, row = practice("mains_voltage"), (told, f"{named(pair[0])} to {named(pair[1])}")
            # Two pairs hold all three phases.
            with to.annex(n > 1):
                to.volts(Stage.DRIVES, setting, pair, "AC", room, told, wrong, Who.QUALIFIED, row=row)


def _signals(to: Builder) -> None:
    on, off = with_power(to, "", False, True), with_power(to, "", False, False)
    for pair in drive_signals(to):
        driven = to.run(on).between(pair.a, pair.b, "DC")
        if abs(driven - to.run(off).between(pair.a, pair.b, "DC")) <= LEAST_V and abs(driven) <= LEAST_V:
            continue
        words = f"{to.design.parts[pair.part].title} ({pair.part}): output held on from the test page of the control"
        to.volts(
            Stage.DRIVES,
            on,
            (pair.a, pair.b),
            "DC",
            2.0 * practice("branch_voltage"),
            words,
            "signal or its return open, or on the wrong input",
        )


def _worked_by_program(to: Builder) -> None:
    """Coils, lamps and valves that a program's outputs switch: each seen off, then with its output held on."""
    on, off = with_power(to, "", False, True), with_power(to, "", False, False)
    worked = []
    signals = [pair for pair in drive_signals(to) if pair.part not in to.design.axes]
    loads = [pair for pair in all_pairs(to) if pair.takes_power and pair.part not in to.survey.hazardous]
    for pair in (*loads, *signals):
        if pair.takes_power and pair.part in to.survey.sources:
            continue
        was, now = (abs(to.run(setting).between(pair.a, pair.b, pair.kind or "DC")) for setting in (off, on))
        if now > LEAST_V and now > 2.0 * was:
            worked.append((pair, now))
    open_words, sticks = "output, contact or return open", "its output or contact sticks, or it is fed past it"
    for setting, when, wrong in ((off, "off", sticks), (on, "held on", open_words)):
        for pair, now in worked:
            words = (
                f"{to.design.parts[pair.part].title} ({pair.part}): output {when}, from the test page of the control"
            )
            row = (f"Worked by a program's outputs, {when} from the test page", f"{pair.part} {pair.a[1]}")
            key = moved_by(to, pair)
            to.is_on(
                Stage.DRIVES, setting, key, (None, None) if key else (pair.a, pair.b), words, wrong, now / 2, row=row
            )
    with to.annex():
        for pair, _ in worked:
            name, kind = f"{to.design.parts[pair.part].title} ({pair.part})", pair.kind or "DC"
            to.no_volts(Stage.DRIVES, off, (pair.a, pair.b), kind, f"{name}: its output off", sticks)
            words, room = f"{name}: output held on from the test page of the control", practice("branch_voltage")
            to.volts(Stage.DRIVES, on, (pair.a, pair.b), kind, room, words, open_words)
