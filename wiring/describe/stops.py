"""The stop: two channels through every button and guard, a monitored reset, two contacts that take the power away."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.describe.axes import with_likes
from wiring.describe.build import Build, Consumer
from wiring.describe.description import BUTTONS, Guard
from wiring.describe.direct import direct_loads
from wiring.describe.draft import CableEntry, End
from wiring.describe.feeds import back, feed
from wiring.describe.signals import new_input
from wiring.wording import does

#: So many conductors a contact of the stop relay takes without a row of terminals behind it.
_DIRECT = 1
#: Speed of a hand [m/s] (ISO 13855, 9), and the loads that turn.
_APPROACH = 1.6
_TURNING = ("inverter", "motor", "appliance")


class Device(Struct, frozen=True):
    """A device in the two channels."""

    name: str
    title: str
    at: str


def stop_circuit(build: Build, *, contactors: bool) -> None:
    """The whole of it, after everything that it switches is known."""
    draft = build.draft
    emergency, guards, reset = _devices(build)
    plain = build.description.battery is not None and not build.third
    relay = "safety-relay-24v-dc" if plain else "safety-relay-24v-dc-3-outputs"
    why = "two channels of opposite polarity, so that a short between them is found; the reset counts when it is let go"
    if plain:
        why = "two channels, each in wires of its own; the reset counts when it is let go"
    draft.part("stop circuit", "K0", {"use": relay, "title": "stop relay"}, why)
    draft.wire("stop", feed(build, "stop"), "K0:A1", build.type("control"), "stop relay")
    draft.wire("stop", "K0:A2", back(build), build.type("control", back=True), "stop relay return")
    _channels(build, [*emergency, *guards])
    _reset(build, reset, ["K1", "K2", *build.mirrors] if contactors else build.mirrors)
    if contactors:
        build.channels[0].append(Consumer("K1:A1", "contactor 1", "K1:A2"))
        build.channels[1].append(Consumer("K2:A1", "contactor 2", "K2:A2"))
    if "live" in build.description.operators.lamps:
        name = draft.name("H")
        draft.part(
            "operators and lamps",
            name,
            {"use": "lamp-24v-white", "title": "drives live"},
            "lit while the stop relay is closed",
        )
        build.channels[0].append(Consumer(f"{name}:X1", "lamp drives live", f"{name}:X2"))
    _outputs(build)
    if not plain:
        draft.wire("signals", feed(build, "operators"), "K0:41", build.type("control"), "stop report feed")
        new_input(build, "K0:42", "stopped", "stop", kind="control")
    _declare(build, emergency, guards, reset)


def _devices(build: Build) -> tuple[list[Device], list[Device], str]:
    draft, stops = build.draft, build.description.stops
    emergency = []
    data: dict[str, object]
    for at in _places(build):
        name = draft.name("S")
        title = "emergency stop" if at == "door" else "emergency stop at the machine"
        data = {"use": "emergency-stop-2-break", "title": title}
        if at != "door":
            data["at"] = at
        draft.part("stop circuit", name, data, "two break contacts that open by force, one a channel")
        emergency.append(Device(name, title, at))
    guards = []
    for title, guard in stops.guards.items():
        name = draft.name("B")
        data = {"use": "guard-switch-2-break", "title": title}
        why = "opening it is a stop; one contact a channel"
        if guard.distance is not None:
            data["distance"] = build.raw("stops", "guards", title, "distance")
        moves = _moves_on(build, guard)
        if guard.lock or moves:
            data |= {"locking": True, "note": "its bolt keeps the guard shut until what it guards stands still"}
            why = f"locks: {moves or 'the description wants it'}"
        behind = _behind(build, guard)
        if len(behind) > 1 or guard.guards is not None:
            data["guards"] = behind
            why += "" if guard.guards is not None else "; what is reached through it is not said, and may be all"
        draft.part("stop circuit", name, data, why)
        guards.append(Device(name, title, "machine"))
    reset = draft.name("S")
    data = {"use": "push-button-make", "title": "reset", "colour": "BU"}
    draft.part("stop circuit", reset, data, "blue is the colour of a reset; it stands outside the guarded space")
    return emergency, guards, reset


def _places(build: Build) -> list[str]:
    """Where emergency stops stand: where the description has them, and wherever the machine is worked by hand
    (IEC 60204-1, 10.7.1)."""
    described = build.description
    by_buttons = any(load.switched == BUTTONS for load in described.loads.values())
    by_buttons |= described.battery is not None and bool(direct_loads(described))  # which hold themselves there
    worked = {"door": described.operators.start or described.operators.hold or by_buttons}
    worked["machine"] = described.operators.pedal
    more = [at for at, there in worked.items() if there and at not in described.stops.buttons]
    return [*described.stops.buttons, *more]


def _behind(build: Build, guard: Guard) -> list[str]:
    """The parts that can hurt and are reached through a guard: of what it names, else all."""
    motors = {one.motor: one.motion.of for one in build.drives}
    loads = {part: name for name, (part, _) in build.loads.items() if build.description.loads[name].sort != "lamp"}
    return [part for part, name in (motors | loads).items() if guard.leads_to(name)]


def _moves_on(build: Build, guard: Guard) -> str:
    """What still moves when a hand is there, or may do so for all that the description says; "" for nothing."""
    described = build.description
    reach = guard.distance / _APPROACH if guard.distance is not None else 0.0
    axes = with_likes(described.axes)
    turning = {name: load for name, load in described.loads.items() if load.sort in _TURNING}
    times = {name: axis.coasts for name, axis in axes.items()} | {name: load.coasts for name, load in turning.items()}
    times = {name: seconds for name, seconds in times.items() if guard.leads_to(name)}
    unknown = [name for name, seconds in times.items() if seconds is None]
    late = [f"{name} moves on for {seconds:g} s" for name, seconds in times.items() if (seconds or 0.0) > reach]
    if unknown:
        late.append(f"how long {does(unknown, 'moves', 'move')} on without power is not said")
    return ", ".join(late)


def _channels(build: Build, devices: Sequence[Device]) -> None:
    """Both channels from the relay through every device and back, each in cables of its own at the machine."""
    draft = build.draft
    for n, (out, home) in enumerate((("S11", "S12"), ("S21", "S22")), 1):
        here: End = f"K0:{out}"
        kind = "control"
        group = f"channel {n}"
        for device in sorted(devices, key=lambda one: one.at != "door"):
            if device.at == "door":
                draft.wire("stop", here, f"{device.name}:{n}1", build.type("door"), f"channel {n}")
                here, kind = f"{device.name}:{n}2", "door"
                continue
            row = draft.row("X6", "stop circuit with a gap between the channels", bridged=(), gaps=("channel 2",))
            if isinstance(here, str):
                slot = row.take(group)
                draft.wire("stop", here, slot, build.type(kind), f"channel {n} to the machine")
                here = slot
            after = row.take(group)
            join: dict[str, tuple[End, End]] = {"1": (here, f"{device.name}:{n}1"), "2": (f"{device.name}:{n}2", after)}
            length = build.length(build.description.cabinet.distance)
            cable = CableEntry(
                f"{device.title} channel {n}", build.type("stop-cable"), length, build.route("field-signals"), join
            )
            draft.cables.append(cable)
            here, kind = after, "control"
        draft.wire("stop", here, f"K0:{home}", build.type(kind), f"channel {n} back")


def _reset(build: Build, reset: str, mirrors: Sequence[str]) -> None:
    """The reset passes the mirror contact of every contactor: one that is welded keeps it from going through."""
    draft = build.draft
    draft.wire("stop", "K0:S33", f"{reset}:13", build.type("door"), "reset")
    here, kind, title = f"{reset}:14", "door", "reset" if not mirrors else "reset through the mirror contacts"
    for name in mirrors:
        draft.wire("stop", here, f"{name}:21", build.type(kind), title)
        here, kind = f"{name}:22", "control"
    draft.wire("stop", here, "K0:S34", build.type(kind), title)


def _outputs(build: Build) -> None:
    """What each contact of the relay feeds; the third one is fed through the first, so that two must weld."""
    draft = build.draft
    if build.third:
        build.channels[0].append(Consumer("K0:33", "feed of the third contact"))
    for n, consumers in enumerate(build.channels, 1):
        if consumers:
            draft.wire("stop", feed(build, "stop"), f"K0:{n}3", build.type("control"), f"feed of contact {n}")
            _hang(build, f"K0:{n}4", f"contact {n}", consumers)
    if build.third:
        _hang(build, "K0:34", "two contacts", build.third)


def _hang(build: Build, start: str, contact: str, consumers: Sequence[Consumer]) -> None:
    """What a contact feeds, over terminals where it is several, with an empty one beside those of another contact."""
    draft = build.draft
    direct = len(consumers) <= _DIRECT
    title = "24 V behind the stop relay, with gaps between its contacts"
    row = draft.row("X8", title, gaps=("contact 2", "two contacts")) if not direct else None
    if row is not None:
        draft.wire("stop", start, row.take(contact), build.type("control"), f"24 V behind {contact} of the stop relay")
    for one in consumers:
        kind = "door" if isinstance(one.end, str) and one.end[0] in "HS" else "control"
        begin = row.take(contact) if row is not None else start
        draft.wire("stop", begin, one.end, build.type(kind), one.title)
        if one.back is not None:
            draft.wire("stop", one.back, back(build), build.type(kind, back=True), f"{one.title} return")


def _declare(build: Build, emergency: Sequence[Device], guards: Sequence[Device], reset: str) -> None:
    rest = {"category": "0", "reset": reset, "removes": "hazards"}
    build.draft.stops["emergency"] = {"devices": [one.name for one in emergency], **rest}
    for one in guards:
        build.draft.stops[one.title] = {"devices": [one.name], **rest}
