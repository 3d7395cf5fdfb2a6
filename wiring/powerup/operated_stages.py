"""Stages in which hands work switches: control and signals, then every stop with the motors disconnected."""

from __future__ import annotations

from msgspec.structs import replace

from wiring.circuit.model import Edge, Node
from wiring.circuit.roles import Role
from wiring.parts.elements import Coil, Resistance, Switch
from wiring.parts.switching import SafetyRelay
from wiring.powerup.builder import LEAST_V, LIT, Builder, named_part, practice
from wiring.powerup.machine import Run
from wiring.powerup.step import Event, Setting, Stage, Who
from wiring.powerup.supplies import source_is_up, unloaded_output
from wiring.powerup.survey import Pair, pairs_of
from wiring.solver.assembly import Actuator

#: Share of the rail by which an input must move to count as switched.
_MOVED = 0.2
_NOT_STOPPED = "the stop does not take the power away: nobody goes on before it does"


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
        _coil(to, Stage.CONTROL, waiting, coil, "before the reset", "it must wait for the reset: stop here")
    wrong = "stop circuit or its channel open, reset not seen, or a conductor missing"
    for pair in coming:
        _coil(to, Stage.CONTROL, ready, pair, pressed, wrong)
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


def _coil(to: Builder, stage: Stage, setting: Setting, pair: Pair, when: str, wrong: str) -> None:
    """A contactor, relay, channel or lamp seen to be on or not, with the others of that moment in one row."""
    key = moved_by(to, pair)
    told = (
        f"{named_part(to, pair)} {pair.a[1]}" if isinstance(to.design.parts[pair.part].data, SafetyRelay) else pair.part
    )
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
    """Every switch worked by hand: the inputs that follow it."""
    ready = ready_setting(to)
    inputs = [pair for pair in all_pairs(to) if not pair.takes_power]
    worked_by: list[tuple[str, Setting, Pair]] = []
    for name in to.survey.hand_worked:
        worked = replace(ready, events=(*ready.events, Event(name, "operator", True)))
        for pair in inputs:
            was, now = (to.run(one).between(pair.a, pair.b, "DC") for one in (ready, worked))
            if abs(was - now) > max(_MOVED * max(abs(was), abs(now)), LEAST_V):
                worked_by.append((name, worked, pair))
    for name, worked, pair in worked_by:
        row = f"{to.design.parts[name].title} ({name}): input of {pair.part} at {pair.a[1]}"
        for setting, when in ((ready, "at rest"), (worked, "worked by hand")):
            _lit(to, Stage.CONTROL, setting, pair, f"{row}, {when}", (row, when))
    with to.annex():
        for name, _, pair in worked_by:
            _input(to, ready, pair, f"{to.design.parts[name].title} ({name}) at rest: input of {pair.part}")
        for name, worked, pair in worked_by:
            _input(to, worked, pair, f"{to.design.parts[name].title} ({name}) worked by hand: input of {pair.part}")


def _lit(to: Builder, stage: Stage, setting: Setting, pair: Pair, action: str, row: tuple[str, str]) -> None:
    """An input seen on or off at its lamp or on the test page of the control."""
    wrong = "open core, wrong input, or a contact that does not follow"
    on_v = LIT * max(abs(to.run(one).between(pair.a, pair.b, "DC")) for one in (setting, ready_setting(to)))
    to.is_on(stage, setting, None, (pair.a, pair.b), action, wrong, max(on_v, LEAST_V), "function", row)


def _input(to: Builder, setting: Setting, pair: Pair, action: str, stage: Stage = Stage.CONTROL) -> None:
    """An input with its switch in one position."""
    wrong = "open core, wrong input, or a contact that does not follow"
    ends = (pair.a, pair.b)
    if abs(to.run(setting).between(*ends, "DC")) > LEAST_V:
        room = practice("branch_voltage")
        to.volts(stage, setting, ends, "DC", room, action, wrong, test="function")
    else:
        to.no_volts(stage, setting, ends, "DC", action, wrong, test="function")


def stop_stage(to: Builder) -> None:
    """Every stop device: pressed, let go, reset."""
    devices = {device: name for name, stop in reversed(to.design.plan.stops.items()) for device in stop.devices}
    for name, stop in to.design.plan.stops.items():
        for device in stop.devices:
            if devices.get(device) == name and device in to.design.parts:
                devices.pop(device)
                _device(to, name, device)


def _device(to: Builder, stop: str, device: str) -> None:
    """With what feeds drives and loads out; where nothing answers then, with it in, the motors still unplugged."""
    ready = ready_setting(to)
    if _worked(to, ready, device) or _worked(to, replace(ready, opened=to.survey.motor_wires), device, first=True):
        return
    to.ask(f"{Stage.STOP.number} stop {stop}: pressing {device} changes no coil and no input, motors unplugged")
    to.look(
        Stage.STOP,
        f"Press {to.design.parts[device].title} ({device}) and let it go",
        "what it stops, stops",
        _NOT_STOPPED,
        Who.INSTRUCTED,
        test="function",
    )


def _worked(to: Builder, ready: Setting, device: str, *, first: bool = False) -> bool:
    """Pressed: every load that it stops; let go: none starts; reset: they are back. Whether anything answers it.

    With `first` no row has seen them on before.
    """
    press, free = Event(device, "operator", True), Event(device, "operator", False)
    pressed = replace(ready, events=(*ready.events, press))
    released = replace(ready, events=(*ready.events, press, free))
    again = replace(ready, events=(*ready.events, press, free, *ready.events))
    run = to.run(ready)
    followers = _followers(to, run, to.run(pressed))
    name = f"{to.design.parts[device].title} ({device})"
    reports, channels = _reports(to, run, to.run(pressed)), _channels(to, run, to.run(pressed))
    if not (followers or channels or reports):
        return False
    for pair in (*channels, *followers) if first else ():
        _coil(to, Stage.STOP, ready, pair, f"before {name} is pressed", "the reset is not seen")
    for pair in (*channels, *followers):
        _coil(to, Stage.STOP, pressed, pair, f"with {name} pressed", _NOT_STOPPED)
    for pair in reports:
        row = (f"Contactors, relays, channels and lamps with {name} pressed", f"input {pair.a[1]} of {pair.part}")
        with to.annex(_is_reported(to, pair) and channels and not _hangs_on(to, pair, device)):
            _lit(to, Stage.STOP, pressed, pair, f"Press {name}: report at input {pair.a[1]} of {pair.part}", row)
    # Through a safety relay all of them were seen to wait for the reset and to come with it: one stands for all.
    for setting, when in ((released, f"{name} let go"), (again, f"reset after {name}")):
        for pair in followers[:1] if channels else followers:
            if setting is not again or _is_back(to, again, pair):
                lost = _NOT_STOPPED if setting is released else "the reset is not seen"
                _coil(to, Stage.STOP, setting, pair, f"after {when}", lost)
    with to.annex():
        _by_voltmeter(to, ready, (pressed, released, again), name, (channels, followers, reports))
    return True


def _is_reported(to: Builder, pair: Pair) -> bool:
    """Whether an input was seen to follow another stop device."""
    return any(line.stage is Stage.STOP and not line.annex and line.red == pair.a for line in to.lines)


def _hangs_on(to: Builder, pair: Pair, device: str) -> bool:
    """Whether a device itself switches an input, and not a safety relay behind its channels."""
    circuit, role = to.design.circuit, to.design.roles.role
    rails = (Role.PLUS, Role.ZERO)

    def leads(_edge: Edge, far: Node) -> bool:
        part = circuit.parts.get(far[0])
        return role.get(far) not in rails and not (part and isinstance(part.data, SafetyRelay))

    return any(node[0] == device for node in circuit.walk([pair.a, pair.b], leads))


def _is_back(to: Builder, again: Setting, pair: Pair) -> bool:
    return abs(to.run(again).between(pair.a, pair.b, pair.kind or "DC")) > LEAST_V


def _by_voltmeter(
    to: Builder,
    ready: Setting,
    settings: tuple[Setting, Setting, Setting],
    name: str,
    pairs: tuple[list[Pair], list[Pair], list[Pair]],
) -> None:
    """The same of a stop device by voltages."""
    (pressed, released, again), (channels, followers, reports) = settings, pairs
    for pair in reports:
        _input(to, ready, pair, f"{name} not pressed: report at input of {pair.part}", Stage.STOP)
    wrong = _NOT_STOPPED
    for pair in (*channels, *followers):
        told = f"Press {name}: {named_part(to, pair)} {'channel opens' if pair not in followers else 'drops'}"
        to.no_volts(Stage.STOP, pressed, (pair.a, pair.b), pair.kind or "DC", told, wrong, test="function")
    for pair in reports:
        _input(to, pressed, pair, f"Press {name}: report at input of {pair.part}", Stage.STOP)
    for pair in followers:
        if abs(to.run(released).between(pair.a, pair.b, pair.kind or "DC")) < LEAST_V:
            told, wrong = f"Let {name} go: {named_part(to, pair)} stays off", "it starts without a reset"
            to.no_volts(Stage.STOP, released, (pair.a, pair.b), pair.kind or "DC", told, wrong, test="function")
    room = practice("branch_voltage")
    for pair in followers:
        if _is_back(to, again, pair):
            told = f"Reset after {name}: {named_part(to, pair)} is back"
            ends, wrong = (pair.a, pair.b), "the reset is not seen"
            to.volts(Stage.STOP, again, ends, pair.kind or "DC", room, told, wrong, test="function")


def _channels(to: Builder, run: Run, pressed: Run) -> list[Pair]:
    """The channels of safety relays that a device opens: each contact is seen alone, the relay sees only one."""
    return [
        pair
        for pair in all_pairs(to)
        if pair.is_coil
        and isinstance(to.design.parts[pair.part].data, SafetyRelay)
        and abs(run.between(pair.a, pair.b, "DC")) > LEAST_V > abs(pressed.between(pair.a, pair.b, "DC"))
    ]


def _followers(to: Builder, run: Run, pressed: Run) -> list[Pair]:
    """Coils of contactors and relays that a stop drops; safe torque off inputs too."""
    found = []
    for pair in all_pairs(to):
        if not pair.is_coil or isinstance(to.design.parts[pair.part].data, SafetyRelay):
            continue
        kind = pair.kind or "DC"
        was, now = abs(run.between(pair.a, pair.b, kind)), abs(pressed.between(pair.a, pair.b, kind))
        if was > LEAST_V > now:
            found.append(pair)
    return found


def _reports(to: Builder, run: Run, pressed: Run) -> list[Pair]:
    """Inputs that tell of a stop."""
    return [
        pair
        for pair in all_pairs(to)
        if not pair.takes_power
        and pair.part not in to.survey.hazardous
        and abs(run.between(pair.a, pair.b, "DC") - pressed.between(pair.a, pair.b, "DC")) > LEAST_V
    ]


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
