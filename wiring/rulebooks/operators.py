"""Colours of push-buttons by what they do."""

from __future__ import annotations

from msgspec import Struct

from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Source
from wiring.rulebooks.tables import load


class ActuatorColours(Struct, frozen=True):
    """The colours that a function allows, the preferred one first, in the letters of IEC 60757."""

    colours: tuple[str, ...]
    note: str
    source: Source


def actuator_colours(book: str, function: str) -> ActuatorColours | NotTabled:
    """The colours of an actuator: `function` "emergency stop", "stop", "reset", "start" or
    "hold-to-run".

    Source: IEC 60204-1:2016 10.2.1, read in two places; NFPA 79 10.2, from memory.
    """
    row = load(book, "actuator_colours").row(function)
    if row is None:
        return NotTabled(f"no colour is tabled for {function!r}")
    return ActuatorColours(tuple(row.text("colours").split()), row.text("note"), row.source)
