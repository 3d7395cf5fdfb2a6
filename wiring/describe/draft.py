"""A plan in the making: parts, wires, cables and rows of terminals, gathered in any order and laid out at the end.

The ends of wires at a row are places in a group of it; which number that is, is known when all are gathered.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct, field

from wiring.cabinet.records import Box
from wiring.requirement import Quantity

Data = Mapping[str, Any]
#: Unused terminals that every row keeps at its end.
SPARES = 2
#: Where the numbers of wires begin, by what they do; a full block pushes the next to the next free ten.
BLOCKS = {
    "mains": 100,
    "branches": 120,
    "rail": 200,
    "control": 300,
    "stop": 320,
    "switched": 340,
    "signals": 400,
    "steps": 430,
}


class Slot(Struct, frozen=True):
    """A place in a group of a row of terminals."""

    row: str
    group: str
    place: int


End = str | Slot


class Row(Struct):
    """A row of terminals in the making: how many places each group has; a group among the bridged is one node."""

    name: str
    title: str
    bridged: tuple[str, ...] | None
    groups: dict[str, int] = field(default_factory=dict)
    gaps: tuple[str, ...] = ()
    room: int = 0

    def take(self, group: str = "") -> Slot:
        """The next free place of a group."""
        self.groups[group] = self.groups.get(group, 0) + 1
        return Slot(self.name, group, self.groups[group])

    def first_of(self) -> dict[str, int]:
        """The number of the first place of each group, which stand in the order in which they were first taken."""
        found, number = {}, 1
        for group, count in self.groups.items():
            number += 1 if group in self.gaps else 0
            found[group] = number
            number += count
        return found

    @property
    def points(self) -> int:
        """All its terminals, the spares included."""
        return sum(self.groups.values()) + sum(group in self.gaps for group in self.groups) + SPARES + self.room

    def bridges(self) -> list[str]:
        """The groups that are bridged, as the plan writes them: all of them where none is named."""
        first = self.first_of()
        joined = self.groups if self.bridged is None else self.bridged
        return [
            f"{first[group]}-{first[group] + count - 1}"
            for group, count in self.groups.items()
            if count > 1 and group in joined
        ]


class PartEntry(Struct, frozen=True):
    """One part with the reason why it is there and why it is so large."""

    section: str
    name: str
    data: Data
    why: str = ""


class WireEntry(Struct):
    """One wire or chain."""

    block: str
    ends: list[End]
    type: str
    title: str
    why: str = ""
    more: dict[str, str] = field(default_factory=dict)


class CableEntry(Struct, frozen=True):
    """One cable."""

    title: str
    type: str
    length: str
    route: str
    join: Mapping[str, tuple[End, End]]
    shield: tuple[End, ...] = ()
    flexing: bool = False


#: What of a choice makes another plan.
_SIZED = ("steps", "types", "air", "rails", "clamps", "cool", "grouped", "box")


class Chosen(Struct):
    """What sizing has chosen, by what a thing is called, with what asked for it; and what structure it forces.

    `rails` are the supplies that the axes on a rail are shared among, by its voltage; `clamps` the rails with a
    chopper; `cool` whether the fan keeps the cabinet cool for its conductors; `grouped` whether the contactors have a
    device of their own in front, `alone` that they may have none; `closed` that the cabinet has no openings for a fan;
    `air` that of the fan, `box` a cabinet other than that of the description, and `box_why` what is lacking in that.
    """

    steps: dict[tuple[Quantity, str], str] = field(default_factory=dict)
    types: dict[str, str] = field(default_factory=dict)
    why: dict[tuple[Quantity, str], str] = field(default_factory=dict)
    type_why: dict[str, str] = field(default_factory=dict)
    air: str | None = None
    rails: dict[float, int] = field(default_factory=dict)
    clamps: frozenset[float] = frozenset()
    cool: bool = False
    grouped: bool = False
    alone: bool = False
    closed: bool = False
    box: Box | None = None
    box_why: str = ""

    def same_as(self, other: Chosen) -> bool:
        """Whether all sizes and the structure are those of another one, whatever asked for them."""
        return all(getattr(self, name) == getattr(other, name) for name in _SIZED)

    def size(self, name: str, quantity: Quantity, usual: str) -> str:
        """The step of a thing, a usual one before anything was sized."""
        return self.steps.get((quantity, name), usual)

    def reason(self, name: str, quantity: Quantity = Quantity.RATING) -> str:
        """What asked for its size, "" before anything was sized."""
        return self.why.get((quantity, name), "")


class Draft(Struct):
    """Everything of the plan but its head."""

    chosen: Chosen
    parts: list[PartEntry] = field(default_factory=list)
    wires: list[WireEntry] = field(default_factory=list)
    earths: list[WireEntry] = field(default_factory=list)
    cables: list[CableEntry] = field(default_factory=list)
    rows: dict[str, Row] = field(default_factory=dict)
    types: dict[str, Data] = field(default_factory=dict)
    routes: dict[str, Data] = field(default_factory=dict)
    states: dict[str, dict[str, Any]] = field(default_factory=dict)
    stops: dict[str, Data] = field(default_factory=dict)
    questions: list[str] = field(default_factory=list)
    named: set[str] = field(default_factory=set)

    def name(self, letter: str, begin: int = 1) -> str:
        """The next free name of a letter, from a number on."""
        number = begin
        while f"{letter}{number}" in self.named:
            number += 1
        self.named.add(f"{letter}{number}")
        return f"{letter}{number}"

    def part(self, section: str, name: str, data: Data, why: str = "") -> str:
        """Takes a part in."""
        self.parts.append(
            PartEntry(section, name, {key: value for key, value in data.items() if value is not None}, why)
        )
        return name

    def row(self, name: str, title: str, *, bridged: tuple[str, ...] | None = None, gaps: tuple[str, ...] = ()) -> Row:
        """The row of that name, begun where it is not there yet."""
        if name not in self.rows:
            self.rows[name] = Row(name, title, bridged, {}, gaps)
        return self.rows[name]

    def wire(self, block: str, start: End, to: End, type: str, title: str, why: str = "", **more: str) -> None:
        """Takes a wire in."""
        self.wires.append(WireEntry(block, [start, to], type, title, why, more))

    def chain(self, block: str, start: End, type: str, title: str, why: str = "", **more: str) -> list[End]:
        """Begins a chain and gives its ends, to which others are added."""
        entry = WireEntry(block, [start], type, title, why, more)
        self.wires.append(entry)
        return entry.ends

    def earth(self, to: End, type: str, title: str, why: str = "", **more: str) -> None:
        """A protective conductor from a place of its own on the bar."""
        self.earths.append(WireEntry("PE", [self.row("XPE", "earth bar").take(), to], type, title, why, more))

    def numbered(self) -> Iterator[tuple[str, str, WireEntry]]:
        """Every wire with its block and number."""
        free = 0
        for block, begin in BLOCKS.items():
            number = max(begin, -(-free // 10) * 10)
            for wire in self.wires:
                if wire.block == block and len(wire.ends) > 1:
                    yield block, str(number), wire
                    number += 1
            free = max(free, number)
        for count, wire in enumerate(self.earths, 1):
            yield "PE", f"PE{count}", wire

    def place_of(self, end: End) -> str:
        """An end as the plan writes it."""
        if isinstance(end, str):
            return end
        row = self.rows[end.row]
        return f"{end.row}:{row.first_of()[end.group] + end.place - 1}"
