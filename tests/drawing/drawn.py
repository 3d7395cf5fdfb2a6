"""Drawn sheets for the tests, with their pictures and faults; each set is drawn once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.drawing.lint import DrawingFault, lint
from tests.drawing.picture import Picture, read_picture
from tests.drawing.read_back import read_back
from wiring.design.design import Design
from wiring.design.load import load
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS, Paper
from wiring.drawing.shapes import Sheet
from wiring.drawing.svg import svg_of
from wiring.rules.run import judge

ROOT = Path(__file__).parents[2]
SPECS = sorted(path.stem for path in (ROOT / "specs").glob("*.yaml"))


@dataclass(frozen=True)
class Drawn:
    """A design with its sheets on one paper."""

    design: Design
    sheets: tuple[Sheet, ...]
    paper: Paper

    @property
    def pictures(self) -> list[Picture]:
        """The sheets as they are read back."""
        return [_KEPT[id(sheet)][1] if id(sheet) in _KEPT else read_picture(svg_of(sheet)) for sheet in self.sheets]

    def faults(self) -> list[DrawingFault]:
        """Everything that is wrong with the set."""
        return faults_of(self.sheets, self.design, self.paper)


def _seen(sheet: Sheet) -> tuple[Picture, list[DrawingFault]]:
    picture = read_picture(svg_of(sheet))
    return picture, lint(picture)


#: Pictures and faults of the sheets of specs, by identity; the sheet is kept so that the identity stays its own.
_KEPT: dict[int, tuple[Sheet, Picture, list[DrawingFault]]] = {}


def faults_of(sheets: Sequence[Sheet], design: Design, paper: Paper) -> list[DrawingFault]:
    """Faults of sheets against the design they show; a sheet of `drawn_spec` is looked at once only."""
    found = [_KEPT[id(sheet)][1:] if id(sheet) in _KEPT else _seen(sheet) for sheet in sheets]
    geometry = [fault for _, faults in found for fault in faults]
    return [*geometry, *read_back([picture for picture, _ in found], design.circuit.conductor, paper)]


@cache
def spec_design(name: str) -> Design:
    """The design of a plan in specs/."""
    loaded = load(ROOT / "specs" / f"{name}.yaml")
    assert loaded.design is not None, [str(fault) for fault in loaded.faults]
    return loaded.design


@cache
def drawn_spec(name: str, paper: str = "A3") -> Drawn:
    """The sheets of a plan in specs/ with its findings."""
    design = spec_design(name)
    sheets = draw(design, judge(design), PAPERS[paper])
    _KEPT.update({id(sheet): (sheet, *_seen(sheet)) for sheet in sheets})
    return Drawn(design, sheets, PAPERS[paper])
