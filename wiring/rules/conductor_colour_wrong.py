"""A conductor has a colour that tells whoever opens the cabinet something untrue.

Only what the rulebook binds is judged: green-and-yellow for the protective conductor and for nothing else, and the
colour of the neutral for the neutral and for no live conductor; in North America that of the neutral for the grounded
side of a control transformer too. Colours that a book merely recommends are the
builder's choice. Conductors of one wire type make one finding.

Fires on sorting-gate at 8
    8.colour=GNYE
Quiet
    8.colour=DBU
Not judged
    A wire without a colour. A core with a number instead of a colour is well marked, unless it is a protective one.
Known limits
    A blue core in a cable without a neutral may serve for anything but protective earth, and cores of a cable follow no
    code but for green-and-yellow and the neutral (IEC 60204-1, 13.2.3 and 13.2.4, from memory). The conductor that
    earths a rail may have any colour. Conductors that stay live with the main switch off (orange) are not told apart.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor.colours import EARTH_COLOURS, ColourFaults, advised_colour
from wiring.design.edits import coloured
from wiring.findings import Cause, Mend
from wiring.plan.colours import colour_name
from wiring.rulebooks.identification import ColourRule, normal
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="conductor-colour-wrong",
    title="Conductor has the colour of another use",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Whoever works on it takes it for what its colour says: an earth that is live, a neutral that is not.",
    sources=(("iec", iec_60204("13.2", Standing.CONFIRMED)), ("na", nfpa_79("13.2", Standing.CONFIRMED))),
)
_UNJUDGED = (Role.SHIELD, Role.NONE)
#: Origin of the colour, role, colour.
Group = tuple[str, Role, str]


def check(design: Design) -> Judgements:
    """Conductors of one origin, role and colour together; those without a colour in one question."""
    wrong: dict[Group, list[tuple[Conductor, ColourRule]]] = {}
    blank: list[Conductor] = []
    colours = ColourFaults(design)
    bonds = {bond.id for bond in design.roles.bonds}
    for conductor in design.circuit.conductors:
        role = design.roles.of_conductor(conductor)
        if role in _UNJUDGED or conductor.id in bonds:
            continue
        if conductor.colour is None and (conductor.kind == "wire" or role is Role.PE):
            blank.append(conductor)
        rule = colours.broken(conductor, role)
        if rule is not None and conductor.colour is not None:
            key = (design.origins.in_words(conductor, "colour"), role, normal(conductor.colour))
            wrong.setdefault(key, []).append((conductor, rule))
    for (_, role, _), rows in wrong.items():
        yield _finding(design, role, [row[0] for row in rows], rows[0][1])
    if blank:
        yield RULE.not_judged(tuple(c.id for c in blank), "the colour of the conductor (`colour`)", blank[0].place)


def _finding(design: Design, role: Role, conductors: list[Conductor], rule: ColourRule) -> Judgement:
    first = conductors[0]
    assert first.colour is not None
    names = [conductor.id for conductor in conductors]
    listed = ", ".join(names[:6]) + (" …" if len(names) > 6 else "")
    poses_as_earth = rule.strength == "reserved" and normal(first.colour) in EARTH_COLOURS
    advised = advised_colour(design, first, role)
    words = f"{colour_name(advised)} ({advised})" if advised else "another colour"
    keeps = f"; {rule.note}" if rule.note else ""
    return RULE.finding(
        names,
        f"{listed} ({role}) {'is' if len(names) == 1 else 'are'} {colour_name(first.colour)}{keeps} ({rule.source})",
        design.origins.value_place(conductors, "colour"),
        signal=Signal.WARNING if poses_as_earth else None,
        because=[Cause(other.place, colour_name(first.colour)) for other in conductors[1:]],
        mend=(Mend(f"Make {listed} {words}.", coloured(design, conductors, advised) if advised else ()),),
    )
