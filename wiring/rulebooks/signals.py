"""Levels of signal inputs, and single figures of the trade on contacts, terminals and leakage."""

from __future__ import annotations

from msgspec import Struct

from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source
from wiring.rulebooks.tables import load


class DigitalInput(Struct, frozen=True):
    """Levels of a 24 V input: off up to `off_v` or `off_ma`, on from `on_v`, never above `most_v`."""

    name: str
    off_v: Limit
    off_ma: Limit
    on_v: Limit
    most_v: Limit
    on_ma: Limit


def digital_input(input_class: str) -> DigitalInput | NotTabled:
    """Levels of an input of type "1", "2" or "3"; NotTabled for another. Source: IEC 61131-2."""
    row = load("common", "digital_inputs").row(input_class)
    if row is None:
        return NotTabled(f"{input_class!r} is no type of digital input")
    names = ("off_max_v", "off_max_ma", "on_min_v", "on_max_v", "on_min_ma")
    return DigitalInput(input_class, *(row.limit(name) for name in names))


def signal_limit(name: str) -> Limit:
    """A figure of table signal_limits; KeyError for a name that it has not. Source: the row's own."""
    row = load("common", "signal_limits").row(name)
    if row is None:
        raise KeyError(name)
    return row.limit("value", row.text("condition"))


def residual_types(load_name: str) -> tuple[tuple[str, ...], Source] | NotTabled:
    """Types of residual current device that see the fault current of a load, weakest first.

    `load_name` three-phase converter, converter between two lines, single-phase converter or rectifier load.
    Source: IEC 60364-5-53, 531.3.3.
    """
    row = load("common", "rcd_types").row(load_name)
    if row is None:
        return NotTabled(f"no type is tabled for {load_name!r}")
    return tuple(row.text("types_words").split()), row.source
