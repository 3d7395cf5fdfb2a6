"""The stage in which hands work the control: what the reset brings, and the inputs that switches move."""

from __future__ import annotations

from msgspec.structs import replace

from wiring.parts.elements import Coil, Resistance, Switch
from wiring.parts.switching import SafetyRelay
from wiring.powerup.builder import LEAST_V, LIT, Builder, named_part, practice
from wiring.powerup.machine import Run
from wiring.powerup.step import Event, Setting, Stage
from wiring.powerup.supplies import source_is_up, unloaded_output
from wiring.powerup.survey import Pair, pairs_of
from wiring.powerup.wires import measured_ways
from wiring.solver.assembly import Actuator

#: Share of the rail by which an input must move to count as switched.
_MOVED = 0.2


def ready_setting(to: Builder) -> Setting:
    """Control live and reset, motors unplugged, the devices ahead of drives and other hazards out."""
    return Setting(
        True, to.survey.poles(to.survey.power_devices) | to.survey.motor_wires, to.survey.start_events, "", False
    )


def all_pairs(to: Builder) -> list[Pair]:
    """Every pair of terminals that is fed or takes a signal."""
    return [pair for part in to.design.parts.values() for pair in pairs_of(part)]


def control_stage(to: Builder, seen: set[str]) -> None:
    """What the reset brings: coils, lamps, supplies behind contactors."""
    ready = ready_setting(to)
    before, after = to.run(replace(ready, events=())), to.run(ready)
    names = list(dict.fromkeys(event.part for event in ready.events))
    pressed = f"after {' and '.join(names)} pressed and let go" if names else "control on"
    coming = [pair for pair in all_pairs(to) if pair.part not in to.survey.sources and _comes(pair, before, after)]
    waiting = replace(ready, events=())
    for coil in (pair for pair in coming if pair.is_coil):
        coil_seen(to, Stage.CONTROL, waiting, coil, "before the reset", "it must wait for the reset: stop here")
    wrong = "stop circuit or its channel open, reset not seen, or a conductor missing"
    for pair in coming:
        coil_seen(to, Stage.CONTROL, ready, pair, pressed, wrong)
        with to.annex():
            words, ends = f"{named_part(to, pair)} {pressed}", (pair.a, pair.b)
            room = practice("branch_voltage")
            to.volts(Stage.CONTROL, ready, ends, pair.kind or "DC", room, words, wrong, test="function")
    with to.annex():
        for pair in (pair for pair in coming if pair.is_coil):
            words, wrong = f"{named_part(to, pair)} before the reset", "it must wait for the reset: stop here"
            to.no_volts(Stage.CONTROL, waiting, (pair.a, pair.b), pair.kind or "DC", words, wrong, test="function")
    for source in to.survey.sources:
        if source not in seen and source_is_up(to, source, ready):
            unloaded_output(to, Stage.CONTROL, source, ready)
            seen.add(source)


def coil_seen(to: Builder, stage: Stage, setting: Setting, pair: Pair, when: str, wrong: str) -> None:
    """A contactor, relay, channel or lamp seen to be on or not, with the others of that moment in one row."""
    key = moved_by(to, pair)
    part = to.design.parts[pair.part]
    several = f"{pair.part} {pair.a[1].rstrip('+')}" if len(part.of(Coil)) > 1 else pair.part
    told = f"{named_part(to, pair)} {pair.a[1]}" if isinstance(part.data, SafetyRelay) else several
    row = (f"Contactors, relays, channels and lamps {when}", told)
    words = f"{named_part(to, pair)}, {pair.a[1]}-{pair.b[1]}, {when}"
    on_v = max(LIT * abs(to.run(ready_setting(to)).between(pair.a, pair.b, pair.kind or "DC")), LEAST_V)
    to.is_on(stage, setting, key, (None, None) if key else (pair.a, pair.b), words, wrong, on_v, "function", row)


def moved_by(to: Builder, pair: Pair) -> Actuator | None:
    """The actuator of the coil between two terminals."""
    for element in to.design.parts[pair.part].elements:
        if isinstance(element, Coil) and (element.a, element.b) == (pair.a[1], pair.b[1]):
            return pair.part, element.moves
    return None


def _comes(pair: Pair, before: Run, after: Run) -> bool:
    """Whether the reset brings the voltage of something that takes power."""
    was, now = (abs(run.between(pair.a, pair.b, pair.kind or "DC")) for run in (before, after))
    return pair.takes_power and now > LEAST_V and now > 2.0 * was


def inputs_stage(to: Builder) -> None:
    """Every switch worked by hand: the inputs and coils that follow it."""
    ready = ready_setting(to)
    coils = [pair for pair in all_pairs(to) if pair.is_coil]
    for name in to.survey.hand_worked:
        worked = replace(ready, events=(*ready.events, Event(name, "operator", True)))
        for pair in (pair for pair in coils if _comes(pair, to.run(ready), to.run(worked))):
            for setting, when in ((ready, f"before {name} is worked"), (worked, f"with {name} worked")):
                coil_seen(to, Stage.CONTROL, setting, pair, when, "a contact or conductor on the way, or past one")
    inputs = [pair for pair in all_pairs(to) if not pair.takes_power]
    worked_by: list[tuple[str, Setting, Pair]] = []
    for name in to.survey.hand_worked:
        worked = replace(ready, events=(*ready.events, Event(name, "operator", True)))
        for pair in inputs:
            was, now = (to.run(one).between(pair.a, pair.b, "DC") for one in (ready, worked))
            if abs(was - now) > max(_MOVED * max(abs(was), abs(now)), LEAST_V):
                worked_by.append((name, worked, pair))
    whole = measured_ways(to)
    worked_by.sort(key=lambda one: (one[2].part, list(to.design.parts[one[2].part].terminals).index(one[2].a[1])))
    for (name, worked, pair), last in zip(worked_by, [None, *worked_by], strict=False):
        row = f"{to.design.parts[name].title} ({name}): input of {pair.part} at {pair.a[1]}"
        # An input that goes off was on at rest where its conductors were measured.
        is_whole = {wire.id for wire in to.design.circuit.conductors_at(pair.a)} <= whole
        goes_off = abs(to.run(worked).between(pair.a, pair.b, "DC")) < LEAST_V
        when = "goes off when worked by hand" if goes_off else "worked by hand"
        with to.annex(is_whole and goes_off):
            at_rest = _with_the_last_on(to, ready, last, pair) if last else ready
            still = f"at rest, {last[0]} still on" if last and at_rest is not ready else "at rest"
            input_seen(to, Stage.CONTROL, at_rest, pair, f"{row}, {still}", (row, still))
        input_seen(to, Stage.CONTROL, worked, pair, f"{row}, {when}", (row, when))
    with to.annex():
        for name, worked, pair in worked_by:
            told = f"{to.design.parts[name].title} ({name})"
            input_measured(to, ready, pair, f"{told} at rest: input of {pair.part}")
            input_measured(to, worked, pair, f"{told} worked by hand: input of {pair.part}")


def _with_the_last_on(to: Builder, ready: Setting, last: tuple[str, Setting, Pair], pair: Pair) -> Setting:
    """Where an input is looked at before its own switch is worked: with the last one still on, so that a bridge between
    the two shows; as the machine stands at rest where that would move it."""
    _, worked, other = last
    on = abs(to.run(worked).between(other.a, other.b, "DC")) > LEAST_V
    alone = abs(to.run(worked).between(pair.a, pair.b, "DC") - to.run(ready).between(pair.a, pair.b, "DC")) < LEAST_V
    return worked if on and alone and other.part == pair.part else ready


def input_seen(to: Builder, stage: Stage, setting: Setting, pair: Pair, action: str, row: tuple[str, str]) -> None:
    """An input seen on or off at its lamp or on the test page of the control."""
    wrong = "open core, wrong input, or a contact that does not follow"
    on_v = LIT * max(abs(to.run(one).between(pair.a, pair.b, "DC")) for one in (setting, ready_setting(to)))
    to.is_on(stage, setting, None, (pair.a, pair.b), action, wrong, max(on_v, LEAST_V), "function", row)


def input_measured(to: Builder, setting: Setting, pair: Pair, action: str, stage: Stage = Stage.CONTROL) -> None:
    """An input with its switch in one position."""
    wrong = "open core, wrong input, or a contact that does not follow"
    ends = (pair.a, pair.b)
    if abs(to.run(setting).between(*ends, "DC")) > LEAST_V:
        room = practice("branch_voltage")
        to.volts(stage, setting, ends, "DC", room, action, wrong, test="function")
    else:
        to.no_volts(stage, setting, ends, "DC", action, wrong, test="function")


def drive_signals(to: Builder) -> list[Pair]:
    """Signal inputs of drives and sources that a program's outputs feed."""
    return [
        pair
        for pair in all_pairs(to)
        if not pair.takes_power and pair.part in to.survey.hazardous and _is_signal(to, pair)
    ]


def _is_signal(to: Builder, pair: Pair) -> bool:
    part = to.design.parts[pair.part]
    return any(isinstance(e, Resistance) and (e.a, e.b) == (pair.a[1], pair.b[1]) for e in part.elements) and not any(
        isinstance(e, Switch) and e.actuator == "operator" for e in part.elements
    )
