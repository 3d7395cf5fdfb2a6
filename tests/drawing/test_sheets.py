"""The drawn specs: no fault on any paper, the netlist as in the plan, and the bars of the drawing."""

from __future__ import annotations

import os

import pytest

from tests.drawing.drawn import SPECS, drawn_spec, spec_design
from tests.drawing.lint import crossings, straight_runs
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS

GANTRY = "foam-gantry"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", SPECS)
def test_no_fault_and_the_netlist_of_the_plan(name: str, paper: str) -> None:
    faults = drawn_spec(name, paper).faults()
    assert not faults, "\n".join(str(fault) for fault in faults[:20])


def test_gantry_has_few_crossings_and_straight_wires() -> None:
    pictures = drawn_spec(GANTRY).pictures
    runs = [straight_runs(picture) for picture in pictures]
    assert sum(crossings(picture) for picture in pictures) <= 20
    assert sum(straight for straight, _ in runs) >= 0.6 * sum(count for _, count in runs) > 0


def test_gantry_fits_twelve_circuit_sheets() -> None:
    circuits = [sheet for sheet in drawn_spec(GANTRY).sheets if sheet.kind == "circuit"]
    assert 1 <= len(circuits) <= 12


def _processor_s() -> float:
    """Time of the processor that this process and the engines it called have used."""
    used = os.times()
    return used.user + used.system + used.children_user + used.children_system


def test_a_sheet_takes_no_more_than_150_ms() -> None:
    """Counted in time of the processor, so that other work on the machine does not fail it."""
    design = spec_design(GANTRY)
    drawn_spec(GANTRY)  # libraries are loaded
    start = _processor_s()
    sheets = draw(design, None, PAPERS["A3"])
    assert 0.0 < (_processor_s() - start) / len(sheets) <= 0.150


@pytest.mark.parametrize("name", SPECS)
def test_every_wired_terminal_stands_on_the_sheets(name: str) -> None:
    drawn = drawn_spec(name)
    pins = {pin.node for picture in drawn.pictures for part in picture.of("symbol") for pin in part.pins}
    wired = {f"{a}:{b}" for c in drawn.design.circuit.conductors for a, b in c.ends}
    assert wired <= pins


@pytest.mark.parametrize("name", SPECS)
def test_order_of_the_set_and_its_cautions(name: str) -> None:
    sheets = drawn_spec(name).sheets
    assert [sheet.number for sheet in sheets] == list(range(1, len(sheets) + 1))
    overviews = [sheet.kind for sheet in sheets if any(group.kind == "overview" for group in sheet.groups)]
    assert sheets[0].kind == "cover"
    assert overviews in (["cover"], ["overview"])  # a small one stands on the cover
    words = " ".join(words.text for part in drawn_spec(name).pictures[0].parts for words in part.words)
    for caution in ("assists and does not certify", "authority having jurisdiction", "prove dead", "capacitors"):
        assert caution in words


def test_every_finding_stands_at_its_symbol_and_in_the_strip() -> None:
    """Each placed finding has a mark with its number, and the strip of that sheet begins a line with it."""
    for name in SPECS:
        drawn = drawn_spec(name)
        marked = 0
        for picture in drawn.pictures:
            numbers = {part.id for part in picture.of("finding")}
            lines = [words.text for part in picture.of("strip") for words in part.words]
            marked += len(numbers)
            for number in numbers:
                assert any(line.startswith(f"{number} ") for line in lines) or any("more here" in x for x in lines)
        if name == "bench-press-feeder":
            assert marked > 0
