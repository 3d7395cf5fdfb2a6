"""Coils of valves and brakes at 24 V: the controller works them, two contacts of the stop relay drop them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.describe.build import Build, Consumer, Driven, Refused, least, library_of
from wiring.describe.description import Load
from wiring.describe.draft import CableEntry, End
from wiring.describe.feeds import back, feed
from wiring.describe.inverters import on_words, title_of
from wiring.describe.locks import exclusions, feed_of
from wiring.describe.mains import MainsSide
from wiring.describe.signals import field_back, field_row, new_output
from wiring.describe.switching import command
from wiring.describe.text import shown
from wiring.parts.motors import Brake
from wiring.rules.brake_too_weak import MARGIN

#: What an output of the controller is taken to feed [A], less than the 0.5 A that it is asked to give.
_OUTPUT_A = 0.4
#: What switches a coil that nothing locks.
USUAL_RELAY = "relay-24v-dc-1-changeover"


def valve(build: Build, side: MainsSide, name: str, load: Load) -> None:
    """A valve at 24 V behind two contacts of the stop relay and a relay of the controller."""
    del side
    title, draft = title_of(name, load), build.draft
    part, lock = build.valves[name], build.locks[name]
    rated = build.raw("loads", name, "rated")
    data = {"kind": "valve", "title": title, "rated": rated, "suppressor": "diode", "hazardous": True}
    if load.excludes is not None or exclusions(build.description)[name]:
        data["excludes"] = [build.valves[other] for other in exclusions(build.description)[name]]
    draft.part("process", part, data)
    start = command(build, name, load, title, "other")
    ends = (f"{part}:1", f"{part}:2")
    relay = switched_24v(build, title, start, ends, build.cable_m(load.cable), use=lock.relay)
    feed_of(build, name, title, relay)
    build.loads[name] = (part, on_words(load))


def switched_24v(
    build: Build, title: str, start: End, ends: Sequence[str], metres: float, *, use: str = USUAL_RELAY
) -> str:
    """A coil at the machine behind the contact 11-14 of a relay that `start` works; the name of that relay."""
    draft = build.draft
    relay = draft.name("K")
    why = "fed through two contacts of the stop relay; what switches it on drops it with every stop"
    draft.part("process", relay, {"use": use, "title": title}, why)
    draft.wire("switched", start, f"{relay}:A1", build.type("control"), f"{title} on")
    draft.wire("switched", f"{relay}:A2", back(build), build.type("control", back=True), f"{title} on return")
    _to_machine(build, title, f"{relay}:14", ends, metres)
    return relay


def _to_machine(build: Build, title: str, start: End, ends: Sequence[str], metres: float) -> None:
    """What is fed with 24 V at the machine, over the row of the field wiring and a cable."""
    slot = field_row(build).take("process")
    build.draft.wire("switched", start, slot, build.type("control"), title)
    join: dict[str, tuple[End, End]] = {"1": (slot, ends[0]), "2": (field_back(build), ends[1])}
    kind, route = build.type("stop-cable"), build.route("field-power")
    build.draft.cables.append(CableEntry(title, kind, build.length(metres), route, join))


def light(build: Build, title: str, start: End, rated: str, load: Load) -> None:
    """A lamp at the machine; one that takes more than an output gives hangs on a relay."""
    draft, name = build.draft, build.draft.name("H")
    assert load.rated is not None
    data = {"kind": "lamp", "title": title, "at": "machine", "rated": rated, "hazardous": False}
    why = "a stop leaves it on, so that a hand is seen; one whose light or heat can hurt is an `appliance`"
    draft.part("process", name, data, why)
    if load.rated.current_a > _OUTPUT_A:
        relay = draft.name("K")
        draft.part("process", relay, {"use": USUAL_RELAY, "title": title}, "an output gives less than the lamp takes")
        draft.wire("switched", start, f"{relay}:A1", build.type("control"), f"{title} on")
        draft.wire("switched", f"{relay}:A2", back(build), build.type("control", back=True), f"{title} on return")
        draft.wire("switched", feed(build, "process"), f"{relay}:11", build.type("control"), f"feed {title}")
        start = f"{relay}:14"
    _to_machine(build, title, start, (f"{name}:X1", f"{name}:X2"), build.cable_m(load.cable))


def brakes(build: Build) -> None:
    """The brake of every axis that would fall: it holds without power, so every stop drops it."""
    for one in build.drives:
        if one.motion.axis.vertical == "brake":
            title = f"brake of {one.motion.title}"
            brake = build.draft.name("Y")
            data = {
                "use": _brake_key(one, build.description.prices),
                "title": title,
                "holds": one.motor,
                "suppressor": "varistor",
            }
            why = "holds without power: every stop, and every failure of power, drops it"
            if one.motion.gravity is not None:
                why += f"; {MARGIN:g} times the {shown(abs(one.motion.gravity), 'torque')} of the weight"
            build.draft.part("axes", brake, data, why)
            ends = (f"{brake}:A1", f"{brake}:A2")
            metres = build.cable_m(one.motion.axis.cable)
            relay = switched_24v(build, title, new_output(build, "other"), ends, metres)
            build.third.append(Consumer(f"{relay}:11", f"feed {title}"))


def _brake_key(one: Driven, prices: Mapping[str, str]) -> str:
    """The least or cheapest brake of the library that holds the weight with the margin of the trade."""
    load = MARGIN * abs(one.motion.gravity or 0.0)
    known = [(brake.torque or 0.0, key, brake) for key, brake in library_of(Brake).items()]
    found = least((one for one in known if one[0] >= load), prices)
    if found is None:
        raise Refused(
            f"axis {one.motion.name} needs a brake of {shown(load, 'torque')} for its weight",
            f"the library has none: they end at {max(known, key=lambda one: one[0])[0]:g} N·m",
            "Balance the load, or take a finer screw or a gear.",
            ("axes", one.motion.name),
        )
    return found[0]
