"""`wiring cabinet` as a person uses it: what it says, what it writes, and what it refuses."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from marked_plans import fired
from typer.testing import CliRunner

from tests.cabinet.laid_out import ROOT, SPECS, spec_study
from wiring.cabinet.given import given_layout
from wiring.cli import app
from wiring.design.load import load
from wiring.rules.run import judge

SPEC = ROOT / "specs" / "coil-winder.yaml"


def run(*arguments: object) -> tuple[int, str]:
    """The exit status and all that the command says."""
    result = CliRunner().invoke(app, ["cabinet", *map(str, arguments)], env={"COLUMNS": "80", "NO_COLOR": "1"})
    return result.exit_code, result.output


def test_it_says_that_the_parts_fit_and_what_to_cut() -> None:
    status, told = run(SPEC)
    assert status == 0
    assert told.startswith("Fits: cabinet 600 x 760 x 210 mm")
    assert max(map(len, told.splitlines())) <= 80
    assert "does not certify" in told
    for name in ("K1", "G1", "XPE", "rail-1", "duct-left"):
        assert name in told


def test_a_cabinet_that_is_too_small_is_refused_with_the_row(tmp_path: Path) -> None:
    small = tmp_path / "small.yaml"
    small.write_text(SPEC.read_text(encoding="utf-8").replace("600 x 760 x 210 mm", "500 x 500 x 210 mm"))
    status, told = run(small)
    assert status == 1
    words = " ".join(told.split())
    assert words.startswith("Does not fit: the row ")
    assert "mm too few" in words
    assert "Smallest usual cabinet that holds the parts: 600 x 760 x 210 mm" in words


def test_json_holds_every_part_with_its_place() -> None:
    status, told = run(SPEC, "--format", "json")
    data = json.loads(told)
    layout = spec_study("coil-winder").layout
    assert status == 0
    assert layout is not None
    assert {name: tuple(one["at_mm"]) for name, one in data["plate"].items()} == {
        name: (one.x, one.y) for name, one in layout.plate.items()
    }


def test_no_hash_seed_changes_a_layout() -> None:
    """This process has a hash seed of its own, drawn at random."""
    arguments = ("specs/stone-engraver.yaml", "--format", "json")
    told = subprocess.run(
        [sys.executable, "-m", "wiring", "cabinet", *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": "1", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=True,
        text=True,
    ).stdout
    assert json.loads(told) == json.loads(run(ROOT / arguments[0], *arguments[1:])[1])


@pytest.fixture(scope="module")
def placed(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """A spec with its positions written, once for all tests."""
    folder = tmp_path_factory.mktemp("placed")

    def write(name: str) -> Path:
        out: Path = folder / f"{name}.yaml"
        if not out.exists():
            status, told = run(ROOT / "specs" / f"{name}.yaml", "--write", out)
            assert status == 0, told
            assert str(out) in told.replace("\n", "")
        return out

    return write


def test_positions_are_written_and_read_back(placed: Callable[[str], Path]) -> None:
    """Written once, the plan holds the same layout, and a second run has nothing to write."""
    out = placed("coil-winder")
    design = load(out).design
    assert design is not None
    layout = spec_study("coil-winder").layout
    assert layout is not None
    given = given_layout(design.circuit)
    assert given.plate == layout.plate
    assert given.door == layout.door
    assert (given.rails, given.ducts, given.rows) == (layout.rails, layout.ducts, layout.rows)
    assert run(out)[0] == 0
    before = [line for line in SPEC.read_text(encoding="utf-8").splitlines() if "#" in line]
    assert [line for line in before if line.split("#")[1] not in out.read_text(encoding="utf-8")] == []


@pytest.mark.parametrize("name", SPECS)
def test_what_is_written_breaks_no_rule_on_positions(name: str, placed: Callable[[str], Path]) -> None:
    design = load(placed(name)).design
    assert design is not None
    for slug in ("part-in-the-way", "clearance-too-small", "bending-room-too-small", "cabinet-too-shallow"):
        assert fired(slug, design) == [], slug
    if name in ("coil-winder", "bench-press-feeder"):
        assert judge(design).verdict == "clear"


def test_in_place_keeps_the_old_plan_beside_it(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_bytes(SPEC.read_bytes())
    assert run(plan, "--in-place")[0] == 0
    assert (tmp_path / "plan.yaml.old").read_bytes() == SPEC.read_bytes()
    assert "position:" in plan.read_text(encoding="utf-8")


def test_a_part_that_came_later_finds_room_on_the_rails(tmp_path: Path, placed: Callable[[str], Path]) -> None:
    more = tmp_path / "more.yaml"
    text = placed("coil-winder").read_text(encoding="utf-8")
    more.write_text(
        text.replace("\nparts:\n", "\nparts:\n  K9: {kind: relay, coil: 24 V DC 1 W, contacts: {11-14: NO}}\n")
    )
    status, told = run(more, "--format", "json")
    assert status == 0, told
    data = json.loads(told)
    assert "K9" in data["plate"]
    assert any("K9" in row for row in data["rows"])


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--out", "picture.png"), "ends in .svg or .pdf"),
        (("--template", "holes.svg"), "ends in .pdf"),
        (("--out", "plan.yaml"), "ends in .svg"),
        (("--write", "copy.yaml", "--in-place"), "cannot go together"),
    ],
)
def test_what_cannot_be_written_is_refused(arguments: tuple[str, ...], words: str) -> None:
    status, told = run(SPEC, *arguments)
    assert status == 2
    assert words in " ".join(told.split())


def test_views_and_template_are_written(tmp_path: Path) -> None:
    svg, pdf, template = (tmp_path / name for name in ("views.svg", "sheets.pdf", "holes.pdf"))
    assert run(SPEC, "--out", svg, "--template", template)[0] == 0
    assert run(SPEC, "--out", pdf)[0] == 0
    assert svg.read_text(encoding="utf-8").startswith("<?xml")
    assert pdf.read_bytes()[:5] == template.read_bytes()[:5] == b"%PDF-"


def test_scales_and_crosses_of_the_template_measure_what_they_say(tmp_path: Path) -> None:
    """At 254 dots an inch a millimetre has ten dots: both scales are 1000 dots, crosses as far apart as their holes."""
    if subprocess.run(["which", "pdftoppm"], capture_output=True, check=False).returncode:
        pytest.skip("pdftoppm is not here")
    template = tmp_path / "holes.pdf"
    plan = tmp_path / "plan.yaml"
    plan.write_text(DRILLED, encoding="utf-8")
    assert run(plan, "--template", template)[0] == 0
    number, holes = _fullest_tile(plan)
    page = ["pdftoppm", "-r", "254", "-gray", "-f", number, "-l", number, str(template), str(tmp_path / "page")]
    subprocess.run(page, check=True, capture_output=True)
    [picture] = tmp_path.glob("page*.pgm")
    width, dark = _dark(picture.read_bytes())
    level = _runs(dark, width, across=True)
    upright = _runs(dark, width, across=False)
    assert any(abs(length - 1000) <= 3 for _, _, length in level)
    assert any(abs(length - 1000) <= 3 for _, _, length in upright)
    arms = [(x + length / 2, y) for y, x, length in level if abs(length - 102) <= 4]
    assert len(holes) >= 5
    first = min(holes, key=lambda hole: (hole[0], -hole[1]))
    seen = 0
    for origin in arms:
        offsets = [(10 * (x - first[0]) + origin[0], origin[1] - 10 * (y - first[1])) for x, y in holes]
        hits = sum(any(abs(x - ax) <= 2 and abs(y - ay) <= 2 for ax, ay in arms) for x, y in offsets)
        seen = max(seen, hits)
    assert seen >= 5


#: A drive whose own drawing gives five holes.
DRILLED = """
format: 1
machine: Drilled plate
rulebook: iec
enclosure: {size: 400 x 400 x 200 mm}
parts:
  D1: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 4.2 A peak, size: 60 x 120 x 80 mm, mount: plate,
       holes: [{at: 5 x 5 mm, diameter: 3.3 mm, thread: M4}, {at: 55 x 5 mm, diameter: 3.3 mm},
               {at: 5 x 115 mm, diameter: 3.3 mm}, {at: 55 x 115 mm, diameter: 3.3 mm},
               {at: 30 x 60 mm, diameter: 4 mm}]}
"""


def _fullest_tile(plan: Path) -> tuple[str, list[tuple[float, float]]]:
    """The page of the template with most holes, and these: cells of 170 x 230 mm from above, each row from the left."""
    data = json.loads(run(plan, "--format", "json")[1])
    cells: dict[tuple[int, int], list[tuple[float, float]]] = {}
    for hole in data["holes"]:
        if hole["board"] == "plate":
            x, y = hole["at_mm"]
            cells.setdefault((-int(y // 230), int(x // 170)), []).append((x, y))
    fullest = max(sorted(cells), key=lambda cell: len(cells[cell]))
    return str(sorted(cells).index(fullest) + 1), cells[fullest]


def _dark(data: bytes) -> tuple[int, list[bytes]]:
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    assert head is not None
    width, height = int(head[1]), int(head[2])
    body = data[head.end() :]
    return width, [body[n * width : (n + 1) * width] for n in range(height)]


def _runs(lines: list[bytes], width: int, *, across: bool) -> list[tuple[int, int, int]]:
    """Dark runs of 40 dots and more: line, start and length; the thickness of a stroke is one run by its first line."""
    if not across:
        lines = [bytes(line[x] for line in lines) for x in range(width)]
    found: list[tuple[int, int, int]] = []
    for n, line in enumerate(lines):
        for run in re.finditer(rb"[\x00-\x90]{40,}", line):
            near = [one for one in found[-60:] if abs(one[0] - n) <= 3 and abs(one[1] - run.start()) <= 3]
            if not near:
                found.append((n, run.start(), run.end() - run.start()))
    return found
