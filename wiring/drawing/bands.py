"""Bands beside the pins of a unit, in which fans, labels, cable rings and references stand clear of each other."""

from __future__ import annotations

from collections.abc import Set

from msgspec import Struct

from wiring.drawing.body import Artist
from wiring.drawing.grid import Item
from wiring.drawing.labels import (
    MOST_NOTE,
    Names,
    cable_label,
    contact_width,
    mark_text,
    reference_width,
)
from wiring.drawing.problem import LEFT, End
from wiring.drawing.shapes import DESIGNATION, shortened, text_width
from wiring.drawing.units import Form, Unit

FAN = 2.5
_LABEL_GAP = 0.8
#: From the pin to the number of its wire: 3 mm clear of the terminal's number, which ends 0.4 mm inside the pin; the
#: number of a frame stands inside its edge, far enough away.
AWAY, AWAY_FROM_FRAME = 2.7, 0.8
#: Width of a finding's triangle with its number and a gap [mm].
TRIANGLE = 8.6
#: Siblings that stand in one line below a unit.
A_LINE = 2


class Ring(Struct, frozen=True):
    """A ring about cores of one cable on neighbouring rows, with the shield when the cable has one."""

    cable: str
    first: End
    ends: tuple[End, ...]


class Band(Struct, frozen=True):
    """Widths of the zones from the pins outwards [mm], and the ends that are labelled in it or lead on as lines."""

    fan: float
    label: float
    ring: float
    reference: float
    labelled: tuple[End, ...]
    rings: tuple[Ring, ...]
    opened: tuple[End, ...] = ()

    @property
    def width(self) -> float:
        """The whole band."""
        return self.fan + self.label + self.ring + self.reference


class Measure(Struct, frozen=True):
    """How much room words take."""

    artist: Artist
    names: Names

    def width(self, unit: Unit) -> float:
        """Between the pins of a unit."""
        return self.artist.width(unit)

    def tail(self, unit: Unit) -> int:
        """Rows below the last lane: those of the body and those of the lines under it."""
        return self.artist.tail(unit) + self.footer_rows(unit)

    def footer_rows(self, unit: Unit) -> int:
        """Lines under a unit: where its siblings stand; the findings of one without a heading."""
        table = self.names.contacts.get(unit.id, ())
        listed = len(self.names.siblings.get(unit.id, ())) if self.lists_siblings(unit) else 0
        lines = len(table) + 1 if table else -(-listed // A_LINE)
        return lines + (1 if not has_heading(unit) and self.names.marks.get(unit.id) else 0)

    def lists_siblings(self, unit: Unit) -> bool:
        """Whether siblings stand under the unit; else the one sibling stands behind its designation."""
        return unit.main or unit.form is Form.POINTS

    def words_width(self, unit: Unit) -> float:
        """Widest line of words above or below a unit."""
        marks = TRIANGLE * len(self.names.marks.get(unit.id, ()))
        widths = [0.0]
        if has_heading(unit):
            first, second = heading(unit)
            own = text_width(mark_text(unit.part), DESIGNATION) + 1.5
            behind = text_width(first) + (1.5 if first else 0.0)
            if not unit.main:
                behind += sum(reference_width(label) for label, _ in self.names.siblings.get(unit.id, ()))
            widths += [own + behind + marks, text_width(second)]
        elif marks:
            widths.append(marks)
        if unit.id in self.names.contacts:
            widths.append(sum(self.contact_columns(unit)))
        elif self.lists_siblings(unit):
            found = [reference_width(label) + 1.5 for label, _ in self.names.siblings.get(unit.id, ())]
            widths += [sum(found[n : n + A_LINE]) for n in range(0, len(found), A_LINE)]
        return max(widths)

    def contact_columns(self, unit: Unit) -> tuple[float, float]:
        """The widths of the table under a coil: contacts that make, contacts that break."""
        rows = self.names.contacts[unit.id]
        makes, breaks, others = (
            max([8.0, *(contact_width(one) + 1.5 for one in own if one)]) for own in zip(*rows, strict=True)
        )
        return makes, max(breaks, others - makes)

    def label_width(self, end: End, unit: Unit) -> float:
        """A wire's label with the triangles of its findings, from the pins of a unit on."""
        marks = TRIANGLE * len(self.names.marks.get(f"wire {end[0]}", ())) if self.carries_marks(end) else 0.0
        label = self.names.label(end)
        return (away_of(unit) + label.width + _LABEL_GAP if label.number else 0.0) + marks

    def reference_room(self, end: End) -> float:
        """Room for what stands where a wire leaves: a reference, or the metalwork at the ring of its shield."""
        there = self.names.at_ring.get(end)
        return (self.width(there) if there else reference_width(self.names.target(end))) + 1.6

    def carries_marks(self, end: End) -> bool:
        """Findings of a wire stand at its first end."""
        return end[1] == 0

    def band(self, item: Item, side: int, stubs: Set[End], opened: Set[End] = frozenset()) -> Band:
        """The band on one side of a unit; `stubs` are the ends that lead to references, or on as lines if `opened`."""
        ends = [end for lane in item.lanes for end in lane.ends[side]]
        second = self.names.from_second
        labelled = tuple(end for end in ends if end in stubs or end[1] == int(end[0] in second))
        fan = FAN if any(len(lane.ends[side]) > 1 for lane in item.lanes) else 0.0
        assert item.unit is not None
        own = [lane.left if side == LEFT else lane.right for lane in item.unit.lanes]
        tapped = {node[0] for node in own if node is not None and node[1] == ".shield"}
        ringed = {end for end in ends if end in labelled or self.names.cable(end) in tapped}
        rings = self._rings(item, side, ringed)
        zone = max((text_width(cable_label(self.names.conductors[ring.first[0]])) + 1.6 for ring in rings), default=0.0)
        references = [self.reference_room(end) for end in ends if end in stubs and end not in opened]
        shortest = FAN if references else 0.0
        label = max((self.label_width(end, item.unit) for end in labelled), default=0.0)
        label = max(label, shortest)
        return Band(fan, label, zone, max(references, default=0.0), labelled, tuple(rings), tuple(opened & set(ends)))

    def _rings(self, item: Item, side: int, ringed: Set[End]) -> list[Ring]:
        """Runs of neighbouring rows that hold cores of one cable."""
        found: list[Ring] = []
        run: list[End] = []
        for lane in item.lanes:
            for end in lane.ends[side] or [("", 0)]:
                cable = self.names.cable(end) if end in ringed else ""
                if run and cable != self.names.cable(run[-1]):
                    found.append(Ring(self.names.cable(run[0]), run[0], tuple(run)))
                    run = []
                if cable:
                    run.append(end)
        if run:
            found.append(Ring(self.names.cable(run[0]), run[0], tuple(run)))
        return found


def away_of(unit: Unit) -> float:
    """From the pins of a unit to the labels of its wires [mm]."""
    return AWAY_FROM_FRAME if unit.form is Form.FRAME else AWAY


def has_heading(unit: Unit) -> bool:
    """Whether the designation stands above the unit."""
    return unit.form not in (Form.POINTS, Form.BOND)


def heading(unit: Unit) -> tuple[str, str]:
    """What stands behind the designation, and the line below it."""
    words = [shortened(word, MOST_NOTE) for word in unit.notes]
    if not words:
        return "", ""
    if len(words) == 1:
        return "", words[0]
    return words[1], words[0]
