"""Draw the sheets of every plan in specs/, and that of a described machine which the README shows, into diagrams/:
`python -m tests.drawing.update_diagrams`.

The sheets show the plans without findings, so that they change with a plan or with the drawing and with nothing else.
"""

from __future__ import annotations

from pathlib import Path

from tests.drawing.drawn import ROOT, SPECS, spec_design
from wiring.describe.reading import read_description
from wiring.describe.settling import composed
from wiring.drawing.draw import draw
from wiring.drawing.export import file_name
from wiring.drawing.paper import PAPERS
from wiring.drawing.svg import svg_of
from wiring.outputs import save

DIAGRAMS = ROOT / "diagrams"
DESCRIBED = "tray-sorter"


def diagram_files() -> dict[Path, bytes]:
    """Every file that belongs into diagrams/, with what it should hold."""
    files = {}
    for name in SPECS:
        design = spec_design(name)
        paper = PAPERS["tabloid" if design.plan.rulebook == "na" else "A3"]
        for sheet in draw(design, None, paper):
            files[DIAGRAMS / name / file_name(sheet, "svg")] = svg_of(sheet).encode("utf-8")
    return files | _of_description()


def _of_description() -> dict[Path, bytes]:
    """The sheet with the mains and inputs of the machine whose description the README begins with."""
    found = read_description(ROOT / "specs" / "machines" / f"{DESCRIBED}.yaml")
    assert found.description is not None
    assert found.tree is not None
    made = composed(found.description, found.tree, f"{DESCRIBED}.yaml")
    sheet = next(one for one in draw(made.design, None, PAPERS["A3"]) if "Mains" in one.title)
    return {DIAGRAMS / DESCRIBED / file_name(sheet, "svg"): svg_of(sheet).encode("utf-8")}


def main() -> None:
    """Write what differs and remove what no longer belongs."""
    files = diagram_files()
    for path in DIAGRAMS.rglob("*.svg"):
        if path not in files:
            path.unlink()
    for path, data in files.items():
        if not path.exists() or path.read_bytes() != data:
            path.parent.mkdir(parents=True, exist_ok=True)
            save(path, data)


if __name__ == "__main__":
    main()
