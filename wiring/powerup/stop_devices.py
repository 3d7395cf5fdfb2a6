"""The stage in which every stop device is worked, with the motors disconnected."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Edge, Node
from wiring.circuit.roles import Role
from wiring.parts.base import Part
from wiring.parts.operators import GuardSwitch, HandOperated
from wiring.parts.switching import SafetyRelay
from wiring.powerup.builder import LEAST_V, Builder, named_part, practice
from wiring.powerup.machine import Run
from wiring.powerup.operated_stages import all_pairs, coil_seen, input_measured, input_seen, ready_setting
from wiring.powerup.step import Event, Setting, Stage, Who
from wiring.powerup.survey import Pair

_NOT_STOPPED = "the stop does not take the power away: nobody goes on before it does"


def stop_stage(to: Builder) -> None:
    """Every stop device: pressed, let go, reset."""
    devices = {device: name for name, stop in reversed(to.design.plan.stops.items()) for device in stop.devices}
    for name, stop in to.design.plan.stops.items():
        for device in stop.devices:
            if devices.get(device) == name and device in to.design.parts:
                devices.pop(device)
                _device(to, name, device)


class _Call(Struct, frozen=True):
    """One device that calls for the stop: by being `worked`, or by being let go where it is `held` to run."""

    device: str
    name: str
    held: bool
    worked: tuple[str, str]

    @property
    def act(self) -> str:
        return f"Let {self.name} go" if self.held else f"{self.worked[0]} {self.name}"

    @property
    def done(self) -> str:
        return f"{self.name} let go" if self.held else f"{self.name} {self.worked[1]}"

    @property
    def before(self) -> str:
        return f"before {self.name} is {'let go' if self.held else self.worked[1]}"

    @property
    def not_done(self) -> str:
        return f"{self.name} held" if self.held else f"{self.name} not {self.worked[1]}"

    def settings(self, ready: Setting) -> tuple[Setting, Setting, Setting, Setting]:
        """Ready to run, stopped, the device left alone, and running again after a reset."""
        on, off = Event(self.device, "operator", True), Event(self.device, "operator", False)
        hold, call, leave = ((on,), (off,), ()) if self.held else ((), (on,), (off,))
        rows = (hold, (*hold, *call), (*hold, *call, *leave), (*hold, *call, *leave, *ready.events, *hold))
        run, stopped, left, again = (replace(ready, events=(*ready.events, *events)) for events in rows)
        return run, stopped, left, again


def _worked_as(part: Part) -> tuple[str, str]:
    """What a hand does at a stop device."""
    if isinstance(part.data, GuardSwitch):
        return "Open", "opened"
    return ("Press", "pressed") if isinstance(part.data, HandOperated) else ("Work", "worked")


def _device(to: Builder, stop: str, device: str) -> None:
    """With what feeds drives and loads out, the other hold-to-run devices held; where nothing answers then, with the
    feed in, the motors still unplugged; then with nothing held."""
    ready = ready_setting(to)
    part = to.design.parts[device]
    call = _Call(device, f"{part.title} ({device})", device in to.design.circuit.hold_to_run, _worked_as(part))
    others = sorted(to.design.circuit.hold_to_run - {device})
    held = replace(ready, events=(*ready.events, *(Event(name, "operator", True) for name in others)))
    for setting in dict.fromkeys((held, ready)):
        if _worked(to, setting, call) or _worked(to, replace(setting, opened=to.survey.motor_wires), call, first=True):
            return
    act = f"letting {device} go" if call.held else f"{device} {call.worked[1]}"
    to.ask(f"{Stage.STOP.number} stop {stop}: {act} changes no coil and no input, motors unplugged")
    to.look(
        Stage.STOP,
        f"Hold {call.name}, then let it go" if call.held else f"{call.act} and let it go",
        "what it stops, stops",
        _NOT_STOPPED,
        Who.INSTRUCTED,
        test="function",
    )


def _worked(to: Builder, setting: Setting, call: _Call, *, first: bool = False) -> bool:
    """Pressed: every load that it stops; let go: none starts; reset: they are back. Whether anything answers it.

    With `first` no row has seen them on before.
    """
    ready, pressed, released, again = call.settings(setting)
    run = to.run(ready)
    followers = _followers(to, run, to.run(pressed))
    reports, channels = _reports(to, run, to.run(pressed)), _channels(to, run, to.run(pressed))
    if not (followers or channels or reports):
        return False
    fresh = [pair for pair in reports if not _is_reported(to, pair)]
    for pair in fresh:
        row = (f"Reports {call.before}", f"input {pair.a[1]} of {pair.part}")
        input_seen(to, Stage.STOP, ready, pair, f"{call.not_done}: report at {row[1]}", row)
    for pair in (*channels, *followers) if first or call.held else ():
        coil_seen(to, Stage.STOP, ready, pair, call.before, "the reset is not seen")
    for pair in (*channels, *followers):
        coil_seen(to, Stage.STOP, pressed, pair, f"with {call.done}", _NOT_STOPPED)
    for pair in reports:
        told = f"input {pair.a[1]} of {pair.part}"
        with to.annex(pair not in fresh and channels and not _hangs_on(to, pair, call.device)):
            row = (f"Contactors, relays, channels and lamps with {call.done}", told)
            input_seen(to, Stage.STOP, pressed, pair, f"{call.act}: report at {told}", row)
    # Through a safety relay all of them were seen to wait for the reset and to come with it: one stands for all.
    ways = ((released, f"{call.name} let go"), (again, f"reset after {call.name}"))
    for setting, when in ways[call.held :]:
        for pair in followers[:1] if channels else followers:
            if setting is not again or _is_back(to, again, pair):
                lost = _NOT_STOPPED if setting is released else "the reset is not seen"
                coil_seen(to, Stage.STOP, setting, pair, f"after {when}", lost)
    with to.annex():
        _by_voltmeter(to, ready, (pressed, released, again), call, (channels, followers, reports))
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
    call: _Call,
    pairs: tuple[list[Pair], list[Pair], list[Pair]],
) -> None:
    """The same of a stop device by voltages."""
    (pressed, released, again), (channels, followers, reports) = settings, pairs
    for pair in reports:
        input_measured(to, ready, pair, f"{call.not_done}: report at input of {pair.part}", Stage.STOP)
    wrong = _NOT_STOPPED
    for pair in (*channels, *followers):
        told = f"{call.act}: {named_part(to, pair)} {'channel opens' if pair not in followers else 'drops'}"
        to.no_volts(Stage.STOP, pressed, (pair.a, pair.b), pair.kind or "DC", told, wrong, test="function")
    for pair in reports:
        input_measured(to, pressed, pair, f"{call.act}: report at input of {pair.part}", Stage.STOP)
    for pair in () if call.held else followers:
        if abs(to.run(released).between(pair.a, pair.b, pair.kind or "DC")) < LEAST_V:
            told, wrong = f"Let {call.name} go: {named_part(to, pair)} stays off", "it starts without a reset"
            to.no_volts(Stage.STOP, released, (pair.a, pair.b), pair.kind or "DC", told, wrong, test="function")
    room = practice("branch_voltage")
    for pair in followers:
        if _is_back(to, again, pair):
            told = f"Reset after {call.name}: {named_part(to, pair)} is back"
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
