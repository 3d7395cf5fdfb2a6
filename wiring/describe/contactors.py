"""The contactor that a load of the process has of its own: the controller closes it, or two buttons."""

from __future__ import annotations

from wiring.describe.build import Build
from wiring.describe.description import Load
from wiring.describe.feeds import back
from wiring.describe.heating import coil_contacts, limit_coil
from wiring.describe.inverters import title_of
from wiring.describe.switchgear import contactor
from wiring.describe.switching import command, held_in


def contactor_of(build: Build, name: str, load: Load, poles: int, *, direct: float | None = None) -> str:
    """A contactor whose coil an output of the controller feeds, for what is behind the contactors of the stop."""
    draft, title = build.draft, title_of(name, load)
    key = draft.name("K")
    words = contactor(build, key, f"{title} on", poles, direct=direct)
    del words["contacts"]
    why = "what switches it on drops it with every stop, so that a reset alone starts nothing"
    draft.part("process", key, words, why)
    start = coil_contacts(build, name, title, load, command(build, name, load, title, "run"))
    draft.wire("switched", start, f"{key}:A1", build.type("control"), f"{title} on")
    draft.wire("switched", f"{key}:A2", back(build), build.type("control", back=True), f"{title} on return")
    return key


def heat_limit(build: Build, name: str, load: Load, heater: str, poles: int, *, direct: float | None = None) -> str:
    """A contactor that the cut-out of a heater drops, for what its own contact does not carry."""
    draft, title = build.draft, f"{title_of(name, load)} heat limit"
    key = draft.name("K")
    words = contactor(build, key, title, poles, direct=direct)
    del words["contacts"]
    draft.part("process", key, words, "drops with the cut-out, whose contact does not carry the heater itself")
    limit_coil(build, name, load, heater, f"{key}:A1")
    draft.wire("switched", f"{key}:A2", back(build), build.type("control", back=True), f"{title} return")
    return key


def self_holding(build: Build, name: str, title: str, amps: float) -> str:
    """A contactor behind the stop relay that two buttons work and that holds itself; it falls with every stop [A].

    A program on the battery outlives the mains, so what it starts then could not be told from what starts by itself.
    """
    key = build.draft.name("K")
    words = contactor(build, key, f"{title} on", 1, direct=amps) | {"contacts": {"13-14": "NO"}}
    build.draft.part("process", key, words, "holds itself behind the stop relay, so that a reset alone starts nothing")
    held_in(build, name, title, key, ("13", "14"))
    return key
