"""No device floats, and no circuit is torn over two sheets one of which has room for it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from tests.drawing.drawn import SPECS, drawn_spec, spec_design
from tests.drawing.picture import Part, Picture, Pin
from tests.drawing.whole_circuits import floating, torn
from wiring.circuit.model import Conductor
from wiring.drawing.consumers import consumers
from wiring.drawing.paper import PAPERS
from wiring.drawing.prepare import prepare
from wiring.drawing.shapes import Point
from wiring.drawing.units import Form


def _own_paper(name: str) -> str:
    return "tabloid" if spec_design(name).plan.rulebook == "na" else "A3"


@pytest.mark.parametrize("name", SPECS)
def test_no_device_floats_and_no_circuit_is_torn(name: str) -> None:
    """A terminal point may stand alone: its strip has a sheet of its own."""
    drawn = drawn_spec(name, _own_paper(name))
    pictures = [picture for picture in drawn.pictures if picture.of("symbol")]
    prepared = prepare(drawn.design, None)
    units = {unit.id: unit for unit in prepared.units}
    circuit = drawn.design.circuit
    alone = [symbol for picture in pictures for symbol in floating(picture, pictures, circuit.conductors)]
    assert [symbol for symbol in alone if units[symbol].form is not Form.POINTS] == []
    assert [unit.id for unit in prepared.units if unit.emblem == "screen"] == []  # each shield leaves its cable's ring
    feeders = {unit: one.feeder for one in consumers(prepared) for unit in one.units}
    functions = {unit.id: feeders.get(unit.id, unit.sheet) for unit in units.values()}
    assert torn(pictures, functions, circuit.conductor, drawn.paper) == []


def _part(kind: str, name: str, *points: Point, pins: tuple[Pin, ...] = ()) -> Part:
    return Part(kind, name, {}, (points,), (), (), pins)


def _device(name: str, x: float, y: float, node: str) -> Part:
    return _part("symbol", name, (x - 10.0, y - 5.0), (x, y + 5.0), pins=(Pin(x, y, node),))


def _end(x: float, y: float) -> list[Part]:
    return [_part("wire", "1", (x, y), (x + 10.0, y)), _part("reference", "1", (x + 10.0, y), (x + 12.0, y))]


def _sheet(number: int, *parts: Part) -> Picture:
    return Picture(number, 420.0, 297.0, parts)


_WIRE = spec_design("tray-mover").circuit.conductors[0]
_NODES = [f"{end[0]}:{end[1]}" for end in _WIRE.ends]
_WIRES: dict[str, Conductor] = {"1": _WIRE}


def test_a_circuit_on_two_sheets_with_room_is_found() -> None:
    first = _sheet(5, _device("S1", 60.0, 60.0, _NODES[0]), *_end(60.0, 60.0))
    second = _sheet(6, _device("K1", 60.0, 60.0, _NODES[1]), *_end(60.0, 60.0))
    wall = [_part("wire", "1", (20.0, y), (410.0, y)) for y in range(10, 290, 5)]
    functions = {"S1": "stop", "K1": "stop"}
    assert torn([first, second], functions, _WIRES, PAPERS["A3"]) == [("stop", 5, 6), ("stop", 6, 5)]
    full = _sheet(6, *second.parts, *wall)
    assert ("stop", 5, 6) not in torn([first, full], functions, _WIRES, PAPERS["A3"])


def test_a_part_that_only_references_hold_is_found() -> None:
    wires = [replace(_WIRE, id="1")]
    one, two = _device("S1", 60.0, 60.0, _NODES[0]), _device("K1", 160.0, 60.0, _NODES[1])
    cut = _sheet(5, one, two, *_end(60.0, 60.0), *_end(160.0, 60.0))
    assert floating(cut, [cut], wires) == ["S1", "K1"]
    drawn = _sheet(5, one, two, _part("wire", "1", (60.0, 60.0), (160.0, 60.0)))
    assert floating(drawn, [drawn], wires) == []
