"""Who switches a load: an output of the controller, or two buttons and what holds itself; both fall with every stop."""

from __future__ import annotations

from wiring.describe.build import Build, Consumer
from wiring.describe.description import BUTTONS, CONTROLLER, Load
from wiring.describe.draft import End
from wiring.describe.feeds import back
from wiring.describe.signals import new_output


def command(build: Build, name: str, load: Load, title: str, function: str) -> End:
    """Where 24 V come from while a load is switched on."""
    if load.switched != BUTTONS:
        return new_output(build, function, "" if load.switched == CONTROLLER else load.switched)
    key = build.draft.name("K")
    why = "holds itself behind the stop relay, so that a reset alone starts nothing"
    build.draft.part("process", key, {"use": "relay-24v-dc-2-changeover", "title": f"{title} switched on"}, why)
    held_in(build, name, title, key, ("11", "14"))
    build.channels[0].append(Consumer(f"{key}:21", f"feed {title}"))
    return f"{key}:24"


def held_in(build: Build, name: str, title: str, key: str, contact: tuple[str, str]) -> None:
    """Two buttons on the door that work a coil behind the stop relay, which holds itself by a contact of its own."""
    draft, (fed, held) = build.draft, contact
    on, off = draft.name("S"), draft.name("S")
    make, rest = {"use": "push-button-make", "colour": "WH"}, {"use": "push-button-break", "colour": "BK"}
    draft.part("operators and lamps", on, {**make, "title": f"{title} on"})
    draft.part("operators and lamps", off, {**rest, "title": f"{title} off"})
    build.channels[0].append(Consumer(f"{off}:11", f"{title} off"))
    door = build.type("door")
    draft.wire("switched", f"{off}:12", f"{on}:13", door, f"{title} on")
    draft.wire("switched", f"{off}:12", f"{key}:{fed}", door, f"{title} holds itself")
    draft.wire("switched", f"{on}:14", f"{key}:{held}", door, f"{title} on")
    draft.wire("switched", f"{key}:{held}", f"{key}:A1", build.type("control"), f"{title} coil")
    draft.wire("switched", f"{key}:A2", back(build), build.type("control", back=True), f"{title} coil return")
    build.pressed[name] = on
