"""From one position of the machine to the next: what is done by hand, in order, and how long it takes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.parts.protection import Breaker, MotorProtector
from wiring.powerup.step import Act, Event, Setting
from wiring.powerup.stored_energy import proved_words, wait_words

if TYPE_CHECKING:
    from wiring.powerup.survey import Survey

#: Devices that are switched, where a fuse is taken out by hand.
_SWITCHED = (Breaker, MotorProtector)
#: What is done at a control while all else stays as it is.
CONTROLS = ("work", "free")
_WORDS = {
    "off": "main switch off",
    "on": "hands out, plug in or unlock, switch on",
    "unplug": "unplug the motors",
    "plug": "plug the motors in",
}


def acts_between(survey: Survey, before: Setting, after: Setting) -> tuple[Act, ...]:
    """What is done by hand between two positions, empty where nothing is.

    Fuses, plugs and conductors change on a machine proved dead; what was started by hand is started again behind it.
    """
    structure = _structure(survey, before, after)
    kept = before.mains and after.mains and all(_is_switched(survey, act) for act in structure)
    events = _events(survey, before, after) if kept else None
    acts: list[Act] = []
    if before.mains and not kept:
        acts.append(Act("dead"))
    elif kept and events is None:
        acts += [Act("off"), Act("on")]
    acts += structure
    if after.mains and not kept:
        acts.append(Act("on"))
    acts += events if events is not None else _controls(after.events if after.mains else ())
    if after.mains:
        acts += _work(before if events is not None else Setting(True), after)
    return tuple(acts)


def _without_stops(survey: Survey, setting: Setting) -> Setting:
    """The same position without stops that were pressed, let go and reset: the machine stands as before."""
    start, events = survey.start_events, list(setting.events)
    n = len(start)
    while start and len(events) >= 2 * n + 2 and tuple(events[-n:]) == start == tuple(events[-2 * n - 2 : -n - 2]):
        press, free = events[-n - 2], events[-n - 1]
        if not (press.on and free == Event(press.part, press.actuator, False)):
            break
        del events[-n - 2 :]
    return replace(setting, events=tuple(events))


def _structure(survey: Survey, before: Setting, after: Setting) -> list[Act]:
    """Devices, conductors and motors that are put in or taken out, and what is held by hand on the dead machine."""
    acts = []
    for old, new, words in (
        (before.opened, after.opened, ("out", "loose", "unplug")),
        (after.opened, before.opened, ("in", "fast", "plug")),
    ):
        changed = new - old
        devices = tuple(name for name in survey.devices if survey.poles([name]) & changed)
        motors = bool(changed & survey.motor_wires)
        loose = tuple(sorted(changed - survey.motor_wires - survey.poles(devices)))
        acts += [Act(words[0], devices)] if devices else []
        acts += [Act(words[1], loose)] if loose else []
        acts += [Act(words[2])] if motors else []
    for what, moved in (("let", before.moved - after.moved), ("hold", after.moved - before.moved)):
        if moved:
            acts.append(Act(what, tuple(f"{part}:{actuator}" for part, actuator in sorted(moved))))
    return acts


def _work(before: Setting, after: Setting) -> list[Act]:
    acts = []
    if before.outputs != after.outputs:
        acts.append(Act("outputs", ("on" if after.outputs else "off",)))
    if before.load != after.load:
        acts.append(Act("load", (after.load,)))
    return acts


def _events(survey: Survey, before: Setting, after: Setting) -> list[Act] | None:
    """What is worked and let go to come from one row of events to another; None where only a fresh start does it."""
    for start, end in (
        (before, after),
        (_without_stops(survey, before), after),
        (_without_stops(survey, before), _without_stops(survey, after)),
    ):
        acts = _onward(survey, start.events, end.events)
        if acts is not None:
            return acts
    return None


def _onward(survey: Survey, before: Sequence[Event], after: Sequence[Event]) -> list[Act] | None:
    common = 0
    for old, new in zip(before, after, strict=False):
        if old != new:
            break
        common += 1
    undone, done = before[common:], after[common:]
    if not all(event.on and event.part in survey.hand_worked for event in undone):
        return None
    return [Act("free", (event.part,)) for event in reversed(undone)] + _controls(done)


def _controls(events: Sequence[Event]) -> list[Act]:
    return [Act("work" if event.on else "free", (event.part,)) for event in events]


def is_for_controls(acts: Sequence[Act]) -> bool:
    """Whether only controls are worked: no line of its own."""
    return all(act.what in CONTROLS for act in acts)


def acts_words(survey: Survey, acts: Sequence[Act]) -> str:
    """What is done, for people: one sentence."""
    told: list[str] = []
    left = list(acts)
    while left:
        act = left.pop(0)
        if act.what == "work" and left and left[0] == Act("free", act.names):
            left.pop(0)
            told.append(f"press {act.names[0]} and let go")
        else:
            told.append(_act_words(survey, act))
    sentence = ", ".join(told)
    return f"{sentence[:1].upper()}{sentence[1:]}"


def _act_words(survey: Survey, act: Act) -> str:
    names = ", ".join(act.names)
    match act.what:
        case "dead":
            wait, places = wait_words(survey.stores), proved_words(survey.stores)
            told = [
                "switch off, unplug, lock off",
                wait,
                f"prove dead at the inlet{f' and {places}' if places else ''}",
            ]
            return ", ".join(word for word in told if word)
        case "out" | "in":
            every = len(act.names) == len(survey.devices)
            if _is_switched(survey, act):
                return f"switch {names} {'on' if act.what == 'in' else 'off'}"
            return f"{'every fuse and breaker' if every else names} {act.what}"
        case "loose" | "fast":
            return f"{'take off' if act.what == 'loose' else 'put back'} {wires_words(survey, act.names)}"
        case "hold" | "let":
            return ", ".join(held_words(act.what, name) for name in act.names)
        case "work":
            return f"work {names} and hold"
        case "free":
            return f"let {names} go"
        case "outputs":
            return f"outputs of the program {names}, from the test page of the control"
        case "load":
            return _LOADS.get(names, f"machine at work as in state {names} of the plan")
        case other:
            return _WORDS[other]


#: How what is moved by hand on the dead machine stands, and how it goes back.
_HELD = {
    "handle": ("off", "on"),
    "coil": ("held in at its test lever by tape or a wedge", "let go"),
    "trip": ("tripped at its test button", "reset"),
    "operator": ("worked and held", "let go"),
}
_LOADS = {"": "drives idle", "hold": "motors energised at rest"}


def wires_words(survey: Survey, names: Sequence[str]) -> str:
    """ "wire PE19 (G1:V- to XPE:4)"."""
    wires = [survey.circuit.conductor[name] for name in names]
    return ", ".join(f"wire {wire.number} ({named(wire.a)} to {named(wire.b)})" for wire in wires)


def held_words(what: str, name: str) -> str:
    part, actuator = name.split(":", 1)
    hold, let = _HELD[actuator]
    return f"{part} {hold if what == 'hold' else let}"


def needs_dead(acts: Sequence[Act]) -> bool:
    """Whether the machine is switched off, locked off and proved dead for it."""
    return any(act.what == "dead" for act in acts)


def _is_switched(survey: Survey, act: Act) -> bool:
    """Whether a change is made by switching breakers, with the machine live."""
    return act.what in ("in", "out") and all(isinstance(survey.devices[name].data, _SWITCHED) for name in act.names)
