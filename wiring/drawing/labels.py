"""The words at wires and terminals: wire number with size and colour, reference to the other end, cable."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from msgspec import Struct, field

from wiring.circuit.model import Conductor, Node
from wiring.drawing.problem import End, Spot
from wiring.drawing.shapes import NUMBER, shortened, text_width
from wiring.drawing.units import Unit

MOST_LABEL, MOST_TARGET, MOST_NOTE, MOST_MARK = 20, 16, 45, 9
SIGN = "▷"
_WORD_GAP = 1.2


def size_text(conductor: Conductor) -> str:
    """The size as it stands at a wire: 2.5, 14 AWG."""
    size = conductor.size
    if size is None:
        return ""
    return size.label if size.system == "mm2" else f"{size.label} {'AWG' if size.system == 'awg' else size.system}"


class WireLabel(Struct, frozen=True):
    """What stands at a wire: its number, and smaller behind it its size and the letters of its colour."""

    number: str
    rest: str = ""

    @property
    def width(self) -> float:
        """Room for both on one line [mm]; none where there is no label."""
        return self.behind + text_width(self.rest)

    @property
    def behind(self) -> float:
        """Where the rest begins, from the start of the number [mm]."""
        return text_width(self.number, NUMBER) + (_WORD_GAP if self.number and self.rest else 0.0)

    @property
    def stacked_width(self) -> float:
        """Room for the rest under the number [mm]."""
        return max(text_width(self.number, NUMBER), text_width(self.rest))


def wire_label(conductor: Conductor) -> WireLabel:
    """Number, size and colour letters of a conductor; a wire is called so in the lists and on its ferrules too."""
    if conductor.kind == "shield":
        return WireLabel(shortened(f"{conductor.cable} shield", MOST_LABEL))
    words = (size_text(conductor), conductor.colour or "")
    rest = " ".join(word for word in words if word)
    return WireLabel(shortened(conductor.id, max(4, MOST_LABEL - len(rest) - 1)), rest)


def target_text(node: Node) -> str:
    """The other end of an interrupted wire: D1:STEP+."""
    part, terminal = node
    return shortened(f"{part}:{terminal.removeprefix('.')}", MOST_TARGET)


def mark_text(terminal: str) -> str:
    """A marking, short enough to stand at its terminal."""
    return shortened(terminal, MOST_MARK)


def reference_text(sheet: str, zone: str, target: str) -> str:
    """A reference: ▷ sheet/zone part:terminal; without the zone where a sheet has none."""
    return f"{SIGN} {sheet}/{zone} {target}".rstrip() if zone else f"{SIGN} {sheet} {target}".rstrip()


def reference_width(target: str) -> float:
    """Width to keep for a reference before its sheet and zone are known: two digits and a zone of two."""
    return text_width(reference_text("88", "A8", target))


#: A contact with the unit that shows it, none for a spare one.
Contact = tuple[str, str]
#: A row of the table under a coil: a contact that makes and one that breaks, or below them terminals without contacts.
ContactRow = tuple[Contact | None, Contact | None, Contact | None]


def spare_text(label: str) -> str:
    """How the table under a coil tells a contact that no wire uses."""
    return f"{label} spare"


def contact_width(contact: Contact) -> float:
    """Room for one contact of the table under a coil."""
    return reference_width(contact[0]) if contact[1] else text_width(spare_text(contact[0]))


class Names(Struct, frozen=True, dict=True):
    """What the layout must know of words, by unit, wire end and conductor.

    `spots` holds the place of every wire end; `marks` the numbers of the findings at a unit or conductor; `siblings`
    the references that stand at a unit to others of its part: (label, id of that unit); `contacts` is the table under a
    coil; `at_ring` the metalwork that stands at the end of a shield in place of a reference; wires `from_second` are
    labelled at their second end.
    """

    conductors: Mapping[str, Conductor]
    spots: Mapping[End, Spot]
    marks: Mapping[str, Sequence[int]] = field(default_factory=dict)
    siblings: Mapping[str, Sequence[tuple[str, str]]] = field(default_factory=dict)
    contacts: Mapping[str, Sequence[ContactRow]] = field(default_factory=dict)
    at_ring: Mapping[End, Unit] = field(default_factory=dict)
    from_second: frozenset[str] = frozenset()

    @cached_property
    def shielded(self) -> frozenset[str]:
        """The cables with a bonded shield."""
        return frozenset(c.cable for c in self.conductors.values() if c.kind == "shield" and c.cable)

    def label(self, end: End) -> WireLabel:
        """The label at a wire end; an empty one where a shield leaves its own ring."""
        conductor = self.conductors[end[0]]
        return WireLabel("") if conductor.kind == "shield" and end[1] == 0 else wire_label(conductor)

    def target(self, end: End) -> str:
        """What lies at the far end."""
        conductor = self.conductors[end[0]]
        return target_text(conductor.b if end[1] == 0 else conductor.a)

    def cable(self, end: End) -> str:
        """The cable of a core, empty for any other conductor."""
        conductor = self.conductors[end[0]]
        return conductor.cable or "" if conductor.kind == "core" else ""


def cable_label(conductor: Conductor) -> str:
    """What stands at the ring of a cable: name, cores, size."""
    words = f"{conductor.cable} {conductor.cores}×{size_text(conductor)}" if conductor.size else f"{conductor.cable}"
    return shortened(words, 14)
