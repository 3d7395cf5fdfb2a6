"""A conductor is thinner than its place and use allow, whatever current it carries.

Both rulebooks name a smallest size so that a conductor survives being drawn in, clamped and moved. It depends on the
place (in the enclosure or on the machine), on the use (power, control, data), on whether the conductor lies alone or
in a cable, and on whether it moves. Protective conductors have a rule of their own.

Fires on sorting-gate at 12
    Y1.at=machine
    12.size=0.5 mm2
Quiet
    12.size=1 mm2
Not judged
    A conductor without a size; one whose smallest size depends on a class it does not
    give; what the rulebook leaves to the maker of the electronics.
Known limits
    Whether 16 and 18 AWG are allowed in a power circuit also depends on the device ahead: see
    `protection-above-conductor`. Conductors to encoders count as data; other signals count as control under the IEC
    book; under the North American one they are electronic circuits, with the feed and return of sensors and cards.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.circuit.model import Conductor
from wiring.design.conductor.minimum_sizes import MinimumSizes, SizeKind, sized_conductors
from wiring.design.conductor.sizes import is_below, size_words
from wiring.findings import Cause, Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="conductor-below-minimum-size",
    title="Conductor is thinner than its place allows",
    signal=Signal.CAUTION,
    harm="It breaks in a clamp or in motion: a control circuit fails, or a power conductor comes loose and arcs.",
    sources=(("iec", iec_60204("12.2, table 5", Standing.ONE_SOURCE)), ("na", nfpa_79("12.6"))),
)
#: A conductor that gives no class is judged as flexible, and is not judged where a rigid one would have to be thicker.
_FLEXIBLE, _RIGID = "5", "2"


def _is_below(conductor: Conductor, least: Limit | NotTabled) -> bool:
    return isinstance(least, Limit) and is_below(conductor, least.value)


def requirements(design: Design) -> Requirements:
    """Every conductor, as flexible where it does not say so."""
    table = MinimumSizes(design)
    for conductor, kind in sized_conductors(design):
        least = table.least(kind, conductor.conductor_class or _FLEXIBLE)
        if isinstance(least, Limit):
            yield _required(conductor, kind, least)


def _required(conductor: Conductor, kind: SizeKind, least: Limit) -> Requirement:
    return Requirement(RULE.slug, conductor.id, Quantity.AREA, least.value, why=f"a {kind[1]} conductor, {kind[0]}")


def check(design: Design) -> Judgements:
    """Conductors of one size and kind in one cable or of one wire type together."""
    unclassed: list[Conductor] = []
    table = MinimumSizes(design)
    for conductor, kind in sized_conductors(design):
        assert conductor.size is not None
        least = table.least(kind, conductor.conductor_class or _FLEXIBLE)
        if isinstance(least, Limit) and _is_below(conductor, least):
            group = (design.origins.in_words(conductor, "size"), conductor.size.text, kind)
            rests = scope("conductor", conductor.id)
            yield Item(group, conductor, partial(_finding, design, kind, least), rests=(rests,))
        elif conductor.conductor_class is None and _is_below(conductor, table.least(kind, _RIGID)):
            unclassed.append(conductor)
    unsized = (one.id for one in design.circuit.conductors if one.size is None and one.kind != "shield")
    yield from RULE.ask(unsized, "their size (`size: 1.5 mm2`)")
    if unclassed:
        names = tuple(conductor.id for conductor in unclassed)
        yield RULE.not_judged(names, "whether it is flexible (`conductor_class: 5`)", unclassed[0].place)


def _finding(design: Design, kind: SizeKind, least: Limit, conductors: Sequence[Conductor]) -> Finding:
    first = conductors[0]
    assert first.size is not None
    names = [conductor.id for conductor in conductors]
    listed = ", ".join(names[:6]) + (" …" if len(names) > 6 else "")
    where = "on the machine" if kind[0] == "machine" else "in the enclosure"
    laid = f"as a core of {kind[2]}" if kind[2] > 1 else "as a single wire"
    size = size_words(design.machine, least.value)
    asks = tuple(_required(conductor, kind, least) for conductor in conductors)
    return RULE.finding(
        names,
        f"{listed} {'is' if len(names) == 1 else 'are'} {first.size.text}; a {kind[1]} conductor {where} {laid} is "
        f"at least {size}",
        design.origins.value_place(conductors, "size"),
        because=[Cause(other.place, first.size.text) for other in conductors[1:]],
        numbers=(Number("fitted", first.size.area_mm2 * 1e-6, "m2", first.size.text),),
        limit=least,
        mend=(Mend(f"Make {listed} of {size} or thicker.", asks=asks),),
    )
