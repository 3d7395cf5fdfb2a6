"""What the page says of wires and parts, as plain data in the words that people read."""

from __future__ import annotations

from typing import Any

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.documents.conductor_states import StateFigure, conductor_states
from wiring.documents.drawn import svg_safe
from wiring.documents.ends import end_words
from wiring.documents.table import UNKNOWN
from wiring.plan.colours import colour_name
from wiring.reports.lines import clean
from wiring.reports.words import figure, limit_words
from wiring.rulebooks.citation import Limit
from wiring.wording import natural

_KINDS = {"wire": "Wire", "core": "Core", "shield": "Shield"}


def part_facts(design: Design) -> dict[str, list[str]]:
    """Kind and title of every part, by its name as the drawing carries it."""
    parts = sorted(design.parts.values(), key=lambda part: natural(part.name))
    return {svg_safe(p.name): [clean(p.name), clean(p.kind.replace("-", " ")), clean(p.data.title)] for p in parts}


def wire_facts(design: Design) -> dict[str, dict[str, Any]]:
    """Number, ends, facts and the figures of every state of each conductor, by its id as the drawing carries it."""
    states = conductor_states(design)
    conductors = sorted(design.circuit.conductors, key=lambda one: natural(one.id))
    return {svg_safe(one.id): _wire(design, one, states.get(one.id, ())) for one in conductors}


def _wire(design: Design, conductor: Conductor, states: tuple[StateFigure, ...]) -> dict[str, Any]:
    facts = [
        ("Size", conductor.size.text if conductor.size else UNKNOWN),
        ("Colour", _colour(conductor.colour)),
        ("Length", figure(conductor.length_m, "m") if conductor.length_m is not None else UNKNOWN),
        ("Route", conductor.route or UNKNOWN),
        *_ampacity(design, conductor),
    ]
    return {
        "name": clean(f"{_KINDS[conductor.kind]} {conductor.id}"),
        "title": clean(conductor.title),
        "ends": [clean(end_words(conductor, end)) for end in conductor.ends],
        "facts": [[name, clean(value)] for name, value in facts if value],
        "states": [_state(state) for state in states],
    }


def _colour(code: str | None) -> str:
    return f"{code}, {colour_name(code)}" if code else UNKNOWN


def _ampacity(design: Design, conductor: Conductor) -> list[tuple[str, str]]:
    found = design.conductors.get(conductor.id)
    if found is None:
        return []
    limit = found.ampacity
    words = f"{figure(limit.value, limit.unit)}, {limit_words(limit)}" if isinstance(limit, Limit) else ""
    return [("Ampacity", words or f"not known: {limit.reason}")]  # type: ignore[union-attr]


def _state(state: StateFigure) -> list[str]:
    hot = figure(state.temperature_c, "°C")
    return [clean(state.state), figure(state.current_a, "A"), figure(state.drop_v, "V"), hot]
