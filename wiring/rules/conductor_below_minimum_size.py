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
    A conductor without a size (told by `conductor-overloaded`); one whose smallest size depends on a class it does not
    give; what the rulebook leaves to the maker of the electronics.
Known limits
    Whether 16 and 18 AWG are allowed in a power circuit also depends on the device ahead: see
    `protection-above-conductor`. Conductors to encoders count as data; other signals count as control under the IEC
    book; under the North American one they are electronic circuits, with the feed and return of sensors and cards.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor_place import is_outside
from wiring.design.conductor_sizes import is_below, size_words
from wiring.design.conductor_use import circuit_use
from wiring.findings import Cause, Finding, Mend, Number
from wiring.parts.elements import Function, Switch
from wiring.parts.signals import Encoder, Sensor
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
_SIGNALS = (Function.INPUT, Function.OUTPUT, Function.COMMON)
_UNJUDGED = (Role.PE, Role.SHIELD, Role.NONE)
Kind = tuple[str, str, int, bool, bool]


def _kind(design: Design, conductor: Conductor) -> Kind:
    """Place, use, cores, shielded, moving."""
    cable = design.origins.cable_of(conductor)
    route = design.plan.routes.get(conductor.route or "")
    moving = bool(cable and cable.flexing) or (route is not None and route.kind == "chain")
    place = "machine" if is_outside(design.machine, conductor) else "enclosure"
    shielded = cable is not None and cable.shield is not None
    return place, _use(design, conductor), conductor.cores if cable else 1, shielded, moving


def _use(design: Design, conductor: Conductor) -> str:
    use = circuit_use(design.machine, conductor)
    if use == "power":
        return use
    ends = [end for end in conductor.ends if end[0] in design.parts]
    if any(isinstance(design.parts[part].data, Encoder) for part, _ in ends):
        return "data"
    electronic = use == "signal" or any(_is_electronic(design, part, terminal) for part, terminal in ends)
    return "data" if electronic and design.plan.rulebook == "na" else "control"


def _is_electronic(design: Design, part: str, terminal: str) -> bool:
    """Whether an end belongs to a sensor, a card's signals, or a contact that a card reads."""
    if isinstance(design.parts[part].data, Sensor) or design.parts[part].terminals[terminal].function in _SIGNALS:
        return True
    contacts = [e for e in design.parts[part].of(Switch) if isinstance(e, Switch) and terminal in (e.a, e.b)]
    return any(design.roles.role[part, end] is Role.SIGNAL for e in contacts for end in (e.a, e.b))


def _least(design: Design, kind: Kind, conductor_class: str) -> Limit | NotTabled:
    place, use, cores, shielded, moving = kind
    return design.book.minimum_size(
        place, use, cores=cores, shielded=shielded, conductor_class=conductor_class, moving=moving
    )


def _is_below(conductor: Conductor, least: Limit | NotTabled) -> bool:
    return isinstance(least, Limit) and is_below(conductor, least.value)


class _Table:
    """The least sizes of the book, each asked once."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.known: dict[tuple[Kind, str], Limit | NotTabled] = {}

    def least(self, kind: Kind, conductor_class: str) -> Limit | NotTabled:
        if (kind, conductor_class) not in self.known:
            self.known[kind, conductor_class] = _least(self.design, kind, conductor_class)
        return self.known[kind, conductor_class]


def _judged(design: Design) -> Iterator[tuple[Conductor, Kind]]:
    for conductor in design.circuit.conductors:
        if conductor.size is not None and design.roles.of_conductor(conductor) not in _UNJUDGED:
            yield conductor, _kind(design, conductor)


def requirements(design: Design) -> Requirements:
    """Every conductor, as flexible where it does not say so."""
    table = _Table(design)
    for conductor, kind in _judged(design):
        least = table.least(kind, conductor.conductor_class or _FLEXIBLE)
        if isinstance(least, Limit):
            yield _required(conductor, kind, least)


def _required(conductor: Conductor, kind: Kind, least: Limit) -> Requirement:
    return Requirement(RULE.slug, conductor.id, Quantity.AREA, least.value, why=f"a {kind[1]} conductor, {kind[0]}")


def check(design: Design) -> Judgements:
    """Conductors of one size and kind in one cable or of one wire type together."""
    unclassed: list[Conductor] = []
    table = _Table(design)
    for conductor, kind in _judged(design):
        assert conductor.size is not None
        least = table.least(kind, conductor.conductor_class or _FLEXIBLE)
        if isinstance(least, Limit) and _is_below(conductor, least):
            group = (design.origins.in_words(conductor, "size"), conductor.size.text, kind)
            rests = scope("conductor", conductor.id)
            yield Item(group, conductor, partial(_finding, design, kind, least), rests=(rests,))
        elif conductor.conductor_class is None and _is_below(conductor, table.least(kind, _RIGID)):
            unclassed.append(conductor)
    if unclassed:
        names = tuple(conductor.id for conductor in unclassed)
        yield RULE.not_judged(names, "whether it is flexible (`conductor_class: 5`)", unclassed[0].place)


def _finding(design: Design, kind: Kind, least: Limit, conductors: Sequence[Conductor]) -> Finding:
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
        mend=(Mend(f"Make {listed} {size} or thicker.", asks=asks),),
    )
