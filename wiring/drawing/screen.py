"""The circuits as sheets for a screen: no frame, one sheet a function, every stroke with what it carries.

Layout is what takes long, so blocks are kept from one plan to the next: by everything that a layout follows from, and
not by the place in the file or by values that no word of the drawing shows.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence

from msgspec.structs import replace

from wiring.cabinet.layout import KeptLayouts
from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.drawing.bands import Measure
from wiring.drawing.block import Block
from wiring.drawing.body import Artist
from wiring.drawing.cabinet_sheets import cabinet_contents
from wiring.drawing.compose import Composer
from wiring.drawing.conductor_words import ANYWHERE
from wiring.drawing.distribute import blocks_of
from wiring.drawing.draw import places_of
from wiring.drawing.functions import AT_RING, rank_of, title_of
from wiring.drawing.labels import Names, cable_label
from wiring.drawing.layout import Layouter
from wiring.drawing.pack import Page, pack
from wiring.drawing.paper import PAPERS
from wiring.drawing.potentials import has_dc, potential_names
from wiring.drawing.prepare import prepare, problem_of
from wiring.drawing.problem import Problem
from wiring.drawing.shapes import Box, Group, Sheet, Text, moved_all, text_width
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.through import Parts, Ways, parts_at, ways_through, with_ways

#: Width that reads well beside a column on a screen, and a height that never cuts a block [mm].
_WIDTH, _HEIGHT = 260.0, 5000.0
#: Blocks that are kept: the functions of a large machine in some three versions of it.
_MOST_KEPT = 90


class KeptBlocks:
    """Blocks laid out and put on pages before, the oldest forgotten first."""

    def __init__(self) -> None:
        self._found: dict[Hashable, list[Page]] = {}
        self._ways: dict[Hashable, Ways] = {}
        self.layouts = KeptLayouts()

    def ways(self, groups: Sequence[Group], area: Box, parts: Parts) -> Ways:
        """The ways of wires through a sheet, sought anew where nothing as large stood at the same places before."""
        ends = tuple(parts[group.id] for group in groups if group.kind == "reference")
        key = (area.x2, area.y2, tuple(_outline(group) for group in groups), ends)
        ways = self._ways.pop(key, None)
        self._ways[key] = ways = ways_through(groups, area, parts) if ways is None else ways
        if len(self._ways) > _MOST_KEPT:
            del self._ways[next(iter(self._ways))]
        return ways

    def pages(
        self, layouter: Layouter, problem: Problem, function: str, book: str, name: Callable[[Node], str]
    ) -> list[Page]:
        """The pages of a problem, laid out anew where nothing equal was before."""
        key = (book, problem, _words(problem, layouter.measure.names), _potentials(problem, layouter, name))
        pages = self._found.pop(key, None) or _pages(blocks_of(problem, function, layouter, name), layouter.measure)
        self._found[key] = pages
        if len(self._found) > _MOST_KEPT:
            del self._found[next(iter(self._found))]
        return pages


def _pages(blocks: Sequence[Block], measure: Measure) -> list[Page]:
    return pack([blocks], _area(), Composer(measure, ANYWHERE).cells)


def _outline(group: Group) -> Hashable:
    """What a group takes of a sheet: its strokes, and the room of its words whatever they say."""
    shapes = tuple(
        (shape.x, shape.y, text_width(shape.text, shape.size), shape.size, shape.anchor)
        if isinstance(shape, Text)
        else shape
        for shape in group.shapes
    )
    return (group.kind, group.id, shapes, ("line", "on") in group.data)


def _potentials(problem: Problem, layouter: Layouter, name: Callable[[Node], str]) -> Hashable:
    """The names that the lines of a problem may carry."""
    wires = dict.fromkeys([join.wire for join in problem.joins] + [stub.end[0] for stub in problem.stubs])
    return tuple(name(end) for wire in wires for end in layouter.measure.names.conductors[wire].ends)


def _words(problem: Problem, names: Names) -> Hashable:
    """What a layout takes from names: the words at wires and units, and where the far ends are."""
    wires = dict.fromkeys([join.wire for join in problem.joins] + [stub.end[0] for stub in problem.stubs])
    found: list[Hashable] = []
    for wire in wires:
        one = names.conductors[wire]
        spots = (names.spots[wire, 0], names.spots[wire, 1])
        words = (names.label((wire, 0)), names.label((wire, 1)), cable_label(one) if one.cable else "")
        there = (names.at_ring.get((wire, 0)), names.at_ring.get((wire, 1)))
        found.append((wire, one.ends, one.kind, one.cable, one.cable in names.shielded, words, spots, there))
    siblings = tuple(tuple(names.siblings.get(unit.id, ())) for unit in problem.units)
    contacts = tuple(tuple(names.contacts.get(unit.id, ())) for unit in problem.units)
    return (tuple(found), siblings, contacts)


def screen_sheets(design: Design, kept: KeptBlocks) -> tuple[Sheet, ...]:
    """A sheet for each function of a design, in order, cropped; findings are not marked on them."""
    prepared = prepare(design, None)
    paths = {frozenset((path.a, path.b)): path.id for path in design.circuit.inner}
    book = design.plan.rulebook
    measure = Measure(Artist(SymbolSet(book), paths), prepared.names)
    layouter = Layouter(measure, _WIDTH, _HEIGHT)
    name = potential_names(design)
    functions = sorted({unit.sheet for unit in prepared.units} - {AT_RING}, key=rank_of)
    order = {function: n for n, function in enumerate(functions)}
    problems = [(function, problem_of(prepared, function, order)) for function in functions]
    pages = [page for function, one in problems for page in kept.pages(layouter, one, function, book, name)]
    composer = Composer(measure, places_of(pages, lambda x, y: "", 1))
    titles = {name: part.data.title for name, part in design.parts.items()}
    named = [title_of(page.functions[0], titles, has_dc=has_dc(design)) for page in pages]
    return tuple(_sheet(n, page, composer, named[n - 1], kept) for n, page in enumerate(pages, 1))


def cabinet_on_screen(design: Design, first: int, kept: KeptBlocks) -> tuple[Sheet, ...]:
    """The plate and the door of the cabinet, each part in a group of its own, numbered from `first`."""
    area = PAPERS["A3"].area
    found = []
    for number, content in enumerate(cabinet_contents(design, PAPERS["A3"], kept.layouts), first):
        groups = tuple(replace(group, shapes=moved_all(group.shapes, -area.x1, -area.y1)) for group in content.groups)
        found.append(Sheet(number, content.title, content.kind, area.width, area.height, groups))
    return tuple(found)


def _area() -> Box:
    return Box(0.0, 0.0, _WIDTH, _HEIGHT)


def _sheet(number: int, page: Page, composer: Composer, title: str, kept: KeptBlocks) -> Sheet:
    width = max(placed.x + placed.block.width for placed in page.placed)
    height = max(placed.y + placed.block.height for placed in page.placed)
    composed = composer.page(page)
    groups = with_ways(composed, kept.ways(composed, Box(0.0, 0.0, width, height), parts_at(composer.names)))
    return Sheet(number, title, "circuit", width, height, tuple(groups))
