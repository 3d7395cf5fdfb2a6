"""Colours of conductors: what each role must, should or must not have. Colour codes of IEC 60757."""

from __future__ import annotations

from msgspec import Struct

from wiring.rulebooks.citation import Source
from wiring.rulebooks.tables import Row, load

ANY = "*"
STRENGTHS = ("required", "recommended", "reserved", "avoid")
_SPELLINGS = {"YEGN": "GNYE", "BUWH": "WHBU"}


class ColourRule(Struct, frozen=True):
    """One rule of colour.

    "required" and "recommended": the conductor is one of `colours`. "reserved" and "avoid": it is none of them,
    "reserved" being the binding one.
    """

    strength: str
    colours: tuple[str, ...]
    note: str
    source: Source

    @property
    def binding(self) -> bool:
        """Whether the book demands it."""
        return self.strength in ("required", "reserved")

    def broken_by(self, colour: str) -> bool:
        """Whether a conductor of that colour breaks the rule."""
        among = normal(colour) in self.colours
        return among if self.strength in ("reserved", "avoid") else not among


def normal(colour: str) -> str:
    """One spelling of a two-colour code: green-and-yellow is GNYE, whichever is named first."""
    return _SPELLINGS.get(colour, colour)


def _rule(row: Row) -> ColourRule:
    return ColourRule(row.text("strength"), tuple(row.text("colours").split()), row.text("note"), row.source)


def colour_rules(book: str, role: str, use: str = "power") -> tuple[ColourRule, ...]:
    """Every rule for a conductor of that role, binding ones first.

    `role`: mains live, neutral, protective earth, DC plus, 0 V, separate AC, grounded AC, signal, motor phase, shield,
    functional earth, or excepted (live with the supply disconnector off). `use` "power" or "control".
    Source: IEC 60204-1:2016 13.2, IEC 60445; NFPA 79 13.2, UL 508A 66.5.3 and 66.9.
    """
    rows = load(book, "colours").rows
    own = {rule for row in rows if row.text("role") == role for rule in row.text("colours").split()}
    rules = [
        _rule(row)
        for row in rows
        if row.text("role") in (role, ANY)
        and row.text("use") in (use, ANY)
        and not (row.text("role") == ANY and own & set(row.text("colours").split()))
    ]
    return tuple(sorted(rules, key=lambda rule: STRENGTHS.index(rule.strength) % 2))


def colour_faults(book: str, role: str, colour: str, use: str = "power") -> tuple[ColourRule, ...]:
    """The rules that a conductor of that colour breaks; empty when it is right or no rule speaks of the role."""
    return tuple(rule for rule in colour_rules(book, role, use) if rule.broken_by(colour))
