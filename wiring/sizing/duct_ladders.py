"""The ladders of wiring ducts: those of the routes, and those on the plate of the cabinet.

On the plate a duct grows deeper before it grows wider, upwards and to the right from where it is, as far as nothing
stands there. Conduits have no ladder: their sizes are those of a system and of their fittings.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from wiring.cabinet.box import mm
from wiring.cabinet.conflicts import lies_over
from wiring.design.design import Design
from wiring.plan.edits import Path, SetValue
from wiring.plan.records import Pair
from wiring.requirement import Quantity
from wiring.rulebooks.steps import DUCTS_MM
from wiring.sizing.ladder import Ladder, Sort, Step, ladder_of


def duct_ladders(design: Design) -> Iterator[Ladder]:
    """Every duct of known section; a route that is called as a duct on the plate has none."""
    ducts = design.plan.enclosure.ducts if design.plan.enclosure else {}
    for name, route in design.plan.routes.items():
        if route.kind == "duct" and route.size is not None and name not in ducts:
            yield _ladder(("routes", name, "size"), route.size, DUCTS_MM)
    layout = design.machine.laid.layout if design.machine.laid else None
    for piece in layout.ducts if layout else ():
        path = ("enclosure", "ducts", piece.name, "size")
        free, misfits = [], []
        for width, depth in ((min(section), max(section)) for section in DUCTS_MM):
            over = lies_over(layout, replace(piece, width=width)) if layout else ""
            if over:
                misfits.append((width * depth, f"one of {width:g} x {depth:g} mm would lie over {over}"))
            else:
                free.append((width, depth))
        yield replace(_ladder(path, ducts[piece.name].size, free), misfits=tuple(misfits))


def _ladder(path: Path, size: Pair, sections: Iterable[tuple[float, float]]) -> Ladder:
    now, *others = (_step(path, *one) for one in ((mm(size.width), mm(size.height)), *sections))
    return replace(ladder_of(Sort.DUCT, Quantity.SECTION, str(path[-2]), now, others), path=path)


def _step(path: Path, width: float, height: float) -> Step:
    text = f"{width:g} x {height:g} mm"
    return Step(width * height, width * height, text, edits=(SetValue(path, text),))
