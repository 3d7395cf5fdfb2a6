"""The netlist read from the finished SVG sheets and held against the plan, with every reference in both directions."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from msgspec import Struct

from tests.drawing.lint import DrawingFault
from tests.drawing.picture import Part, Picture
from wiring.circuit.model import Conductor, named
from wiring.drawing.labels import SIGN, WireLabel, target_text, wire_label
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import Point

_NEAR = 0.03
#: A label stands at most this far over its wire [mm].
_LABEL_REACH = 1.6
#: From a link right at the pins of a device to its label, which stays 3 mm clear of the terminals' numbers [mm].
_LINK_REACH = 3.0
_REFERENCE = re.compile(rf"{SIGN} (\d+)/([A-Z]\d+|\d\d)(?: (.+))?")


class Reached(Struct, frozen=True):
    """What one end of a drawn line at x, y meets: a terminal, whose pin stands at `pin`, or a reference's words."""

    x: float
    y: float
    node: str = ""
    reference: str = ""
    pin: Point = (0.0, 0.0)


class DrawnLine(Struct, frozen=True):
    """One line of a wire on a sheet with what its two ends meet."""

    wire: str
    sheet: int
    ends: tuple[Reached, Reached]


def _key(x: float, y: float) -> tuple[int, int]:
    return round(x / _NEAR), round(y / _NEAR)


class _Joined:
    """Points that fans connect to pins."""

    def __init__(self, picture: Picture) -> None:
        self.root: dict[tuple[int, int], tuple[int, int]] = {}
        self.nodes: dict[tuple[int, int], str] = {}
        self.pins: dict[tuple[int, int], Point] = {}
        pins = [pin for part in picture.of("symbol") for pin in part.pins]
        for fan in picture.of("fan-out"):
            self._fan(fan)
        for pin in pins:
            key = self.find(_key(pin.x, pin.y))
            self.pins[key] = (pin.x, pin.y)
            self.nodes[key] = pin.node if self.nodes.get(key, pin.node) == pin.node else ""

    def find(self, key: tuple[int, int]) -> tuple[int, int]:
        while self.root.get(key, key) != key:
            key = self.root[key]
        return key

    def _union(self, a: tuple[float, float], b: tuple[float, float]) -> None:
        one, two = self.find(_key(*a)), self.find(_key(*b))
        if one != two:
            self.root[two] = one

    def _fan(self, fan: Part) -> None:
        strokes = fan.strokes
        for s in strokes:
            self._union((s.x1, s.y1), (s.x2, s.y2))
            for t in strokes:
                for x, y in ((t.x1, t.y1), (t.x2, t.y2)):
                    on_level = abs(s.y1 - s.y2) < _NEAR and abs(y - s.y1) < _NEAR and s.x1 <= x <= s.x2
                    on_level = on_level or (abs(s.y1 - s.y2) < _NEAR and abs(y - s.y1) < _NEAR and s.x2 <= x <= s.x1)
                    upright = abs(s.x1 - s.x2) < _NEAR and abs(x - s.x1) < _NEAR
                    if on_level or (upright and min(s.y1, s.y2) <= y <= max(s.y1, s.y2)):
                        self._union((s.x1, s.y1), (x, y))

    def met(self, x: float, y: float, reference: str) -> Reached:
        """What the end of a line at x, y meets."""
        key = self.find(_key(x, y))
        return Reached(x, y, self.nodes.get(key, ""), reference, self.pins.get(key, (0.0, 0.0)))


def drawn_lines(picture: Picture) -> list[DrawnLine]:
    """Every line of a wire on a sheet with what its ends meet."""
    joined = _Joined(picture)
    references = {
        _key(pin.x, pin.y): part.words[0].text for part in picture.of("reference") for pin in part.pins if part.words
    }
    found = []
    for part in picture.of("wire"):
        for chain in part.chains:
            ends = tuple(joined.met(x, y, references.get(_key(x, y), "")) for x, y in (chain[0], chain[-1]))
            found.append(DrawnLine(part.id, picture.number, (ends[0], ends[1])))
    return found


def _check_direct(line: DrawnLine, conductor: Conductor) -> str:
    wanted = sorted(named(end) for end in conductor.ends)
    got = sorted(end.node for end in line.ends)
    if "" in got:
        return "end that reaches no pin"
    return "" if got == wanted else "wire at a wrong pin"


def _halves(lines: Sequence[DrawnLine]) -> list[tuple[DrawnLine, Reached, Reached]] | None:
    """Each line of an interrupted wire with its terminal and its reference."""
    found = []
    for line in lines:
        at = [end for end in line.ends if end.node]
        to = [end for end in line.ends if end.reference]
        if len(at) != 1 or len(to) != 1:
            return None
        found.append((line, at[0], to[0]))
    return found


def _check_interrupted(lines: Sequence[DrawnLine], conductor: Conductor, paper: Paper) -> str:
    halves = _halves(lines)
    if halves is None:
        return "end that reaches no pin"
    if sorted(at.node for _, at, _ in halves) != sorted(named(end) for end in conductor.ends):
        return "wire at a wrong pin"
    for (_, at, to), (other, far, _) in ((halves[0], halves[1]), (halves[1], halves[0])):
        match = _REFERENCE.fullmatch(to.reference)
        other_end = conductor.b if named(conductor.a) == at.node else conductor.a
        place = (str(other.sheet), paper.zone(*far.pin))
        if match is None or (match[1], match[2]) != place or match[3] != target_text(other_end):
            return "reference not resolved"
    return ""


def _netlist_faults(
    pictures: Sequence[Picture], conductors: Mapping[str, Conductor], paper: Paper
) -> list[DrawingFault]:
    lines: dict[str, list[DrawnLine]] = {}
    for picture in pictures:
        for line in drawn_lines(picture):
            lines.setdefault(line.wire, []).append(line)
    faults = []
    for wire in sorted(set(lines) | set(conductors)):
        drawn = lines.get(wire, [])
        if wire not in conductors:
            problem = "wire that the plan does not have"
        elif len(drawn) == 1:
            problem = _check_direct(drawn[0], conductors[wire])
        elif len(drawn) == 2:
            problem = _check_interrupted(drawn, conductors[wire], paper)
        else:
            problem = "wire not drawn" if not drawn else "wire drawn more than once"
        if problem:
            at = drawn[0] if drawn else None
            x, y = (at.ends[0].x, at.ends[0].y) if at else (0.0, 0.0)
            faults.append(DrawingFault(problem, at.sheet if at else 0, wire, x, y))
    return faults


def _sibling_faults(pictures: Sequence[Picture], paper: Paper) -> list[DrawingFault]:
    """References between the units of one part must lead to a zone in which that part stands."""
    part_of = {part.id: part.data.get("part", "") for picture in pictures for part in picture.of("symbol")}
    zones: set[tuple[str, str, str]] = set()
    for picture in pictures:
        for part in picture.of("symbol"):
            for pin in part.pins:
                zones.add((part_of[part.id], str(picture.number), paper.zone(pin.x, pin.y)))
            if part.body is not None:
                zones.add((part_of[part.id], str(picture.number), paper.zone(part.body.x1, part.body.y1)))
    faults = []
    for picture in pictures:
        for group in picture.of("sibling", "words"):
            for words in group.words:
                match = _REFERENCE.fullmatch(words.text)
                if words.text.startswith(SIGN) and (
                    match is None or (part_of.get(group.id, ""), match[1], match[2]) not in zones
                ):
                    faults.append(
                        DrawingFault("reference not resolved", picture.number, group.id, words.box.x1, words.box.y2)
                    )
    return faults


def _label_faults(pictures: Sequence[Picture], conductors: Mapping[str, Conductor]) -> list[DrawingFault]:
    """Every label must be that of the wire right under it, and every line of a wire must have one."""
    faults = []
    for picture in pictures:
        every = [(part.id, s) for part in picture.of("wire") for s in part.strokes]
        strokes = [(wire, s) for wire, s in every if abs(s.y1 - s.y2) < 1e-6]
        upright = [(wire, s) for wire, s in every if abs(s.x1 - s.x2) < 1e-6]
        for label in picture.of("label"):
            words = label.words[0]
            told = WireLabel(words.text, label.words[1].text if len(label.words) > 1 else "")
            x = (words.box.x1 + words.box.x2) / 2
            under = {
                wire
                for wire, s in strokes
                if min(s.x1, s.x2) <= x <= max(s.x1, s.x2) and 0.0 <= s.y1 - words.box.y2 <= _LABEL_REACH
            }
            if len(label.words) < 2 or label.words[1].box.y2 > words.box.y2 + 1.0:  # beside an upright wire
                y = (words.box.y1 + words.box.y2) / 2
                under |= {
                    wire
                    for wire, s in upright
                    if min(s.y1, s.y2) <= y <= max(s.y1, s.y2) and 0.0 <= words.box.x1 - s.x1 <= _LABEL_REACH
                }
            last = label.words[-1].box.x2
            middle = (words.box.y1 + words.box.y2) / 2
            under |= {  # beside the link of two terminals of one device, whose wire is one short upright stroke
                wire
                for wire, s in upright
                if min(s.y1, s.y2) <= middle <= max(s.y1, s.y2)
                and (0.0 <= s.x1 - last <= _LINK_REACH or 0.0 <= words.box.x1 - s.x1 <= _LINK_REACH)
                and [other for other, _ in every].count(wire) == 1
            }
            conductor = conductors.get(label.id)
            if label.id not in under or conductor is None or told != wire_label(conductor):
                faults.append(DrawingFault("label at a wrong wire", picture.number, label.id, x, words.box.y2))
        labelled = {label.id for label in picture.of("label")}
        for part in picture.of("wire"):
            if part.id not in labelled and (part.id not in conductors or conductors[part.id].kind != "shield"):
                faults.append(DrawingFault("wire without label", picture.number, part.id, *part.chains[0][0]))
    return faults


def read_back(pictures: Sequence[Picture], conductors: Mapping[str, Conductor], paper: Paper) -> list[DrawingFault]:
    """Where the drawn sheets differ from the plan; empty when they say the same."""
    return [
        *_netlist_faults(pictures, conductors, paper),
        *_sibling_faults(pictures, paper),
        *_label_faults(pictures, conductors),
    ]
