"""The coil winder is read as it stands. Expected figures are read off the file by eye and converted by hand."""

from __future__ import annotations

from math import isclose
from pathlib import Path

from wiring.plan.conductors import Wire, segments
from wiring.plan.ratings import Voltage
from wiring.plan.read import Reading, read
from wiring.plan.records import Box, Pair, TerminalRef
from wiring.plan.source import Place
from wiring.plan.whereabouts import Whereabouts

PLAN = Path(__file__).parents[2] / "specs" / "coil-winder.yaml"


def reading() -> Reading:
    found = read(PLAN)
    assert [str(fault) for fault in found.faults] == []
    return found


def test_head() -> None:
    plan = reading().plan_or_raise()
    assert (plan.format, plan.machine, plan.revision, plan.rulebook) == (1, "Bench coil winder", "A", "iec")
    assert (plan.site.ambient, plan.site.altitude) == (35.0, 250.0)
    mains = plan.mains
    assert mains is not None
    assert mains.upstream is not None
    assert (mains.inlet, mains.system, mains.voltage, mains.frequency) == ("X0", "single-phase", Voltage(230.0), 50.0)
    assert (mains.earthing, mains.fault_current) == ("TN-S", 1000.0)
    assert (mains.upstream.kind, mains.upstream.rating, mains.upstream.curve) == ("breaker", 10.0, "B")
    enclosure = plan.enclosure
    assert enclosure is not None
    assert enclosure.size == Box(0.6, 0.76, 0.21)
    assert (enclosure.material, enclosure.mounting, enclosure.protection) == ("painted-steel", "wall", "IP54")


def test_states_and_stops() -> None:
    plan = reading().plan_or_raise()
    assert list(plan.states) == ["ready", "winding", "fast"]
    assert plan.states["ready"]["M1"].mode == "hold"
    fast = plan.states["fast"]["M1"]
    assert isclose(fast.speed or 0, 94.24777960769379)  # 900 rpm = 30 pi rad/s
    assert (fast.torque, fast.duty, fast.mode) == (0.6, 0.8, None)
    stop = plan.stops["emergency"]
    assert (stop.devices, stop.category, stop.reset, stop.removes) == (("S1", "S2"), 0, "S3", "hazards")


def test_parts_keep_their_data_untouched() -> None:
    plan = reading().plan_or_raise()
    assert len(plan.parts) == 33
    assert plan.parts["F4"].kind == "fuse"
    fuse = {"rating": "3.15 A", "class": "T", "rated_voltage": "60 V DC", "breaking": "1.5 kA"}
    assert plan.parts["F4"].data == fuse
    assert plan.parts["K1"].data["contacts"] == {"21-22": "NC mirror"}


def test_wires_take_over_their_type() -> None:
    plan = reading().plan_or_raise()
    assert len(plan.wires) == 56
    by_id = {wire.wire: wire for wire in plan.wires}
    first = by_id["100"]
    assert first.size is not None
    assert (first.size.area_mm2, first.colour, first.insulation, first.rated) == (2.5, "BK", "pvc-70", 500.0)
    assert (first.length, first.route, first.start, first.to) == (
        0.4,
        "duct-mains",
        TerminalRef("X0", "L"),
        TerminalRef("Q1", "1"),
    )
    assert by_id["310"].length == 1.2
    assert by_id["PE6"].length == 2.5
    assert by_id["PE6"].route is None


def test_segments() -> None:
    by_id = {wire.wire: wire for wire in reading().plan_or_raise().wires}
    assert segments(by_id["200"]) == [
        ("200.1", TerminalRef("G1", "V+"), TerminalRef("F3", "1")),
        ("200.2", TerminalRef("F3", "1"), TerminalRef("F4", "1")),
    ]
    assert segments(by_id["201"]) == [("201", TerminalRef("F3", "2"), TerminalRef("D1", "V+"))]
    assert [piece.name for piece in segments(by_id["353"])] == [f"353.{n}" for n in range(1, 7)]
    star = Wire.model_validate({"wire": "9", "star": {"from": "X1:1", "to": ["A:1", "B:1"]}})
    assert segments(star) == [
        ("9.1", TerminalRef("X1", "1"), TerminalRef("A", "1")),
        ("9.2", TerminalRef("X1", "1"), TerminalRef("B", "1")),
    ]


def test_cables_and_routes() -> None:
    plan = reading().plan_or_raise()
    first = plan.cables[0]
    assert first.shield is not None
    assert (first.cable, first.title, first.cores, first.length) == ("C1", "spindle motor", 5, 2.5)
    assert first.join["GNYE"] == (TerminalRef("XPE", "11"), TerminalRef("M1", "PE"))
    assert first.shield.ends == (TerminalRef("XPE", "12"),)
    assert first.size_of("1").area_mm2 == 1.0
    assert plan.routes["duct-dc"].size == Pair(0.04, 0.06)
    assert plan.routes["bench-signal"].apart == {"bench-power": 0.1}


def by_eye(line_start: str, text: str, after: str = "") -> Place:
    """Where `text` stands in the one line that begins so, behind `after`."""
    lines = PLAN.read_text(encoding="utf-8").split("\n")
    [number] = [n for n, line in enumerate(lines) if line.startswith(line_start)]
    column = lines[number].index(text, lines[number].index(after))
    return Place(str(PLAN), number + 1, column + 1, len(text))


def test_places() -> None:
    found = reading()
    assert found.place("parts", "F4", "rating") == by_eye("  F4:", "3.15 A")
    assert found.place("parts", "F4") == by_eye("  F4:", "F4")
    assert found.place("parts", "F4", "breaking") == by_eye("  F4:", "1.5 kA")
    assert found.place("parts", "F4", "resistance") == by_eye("  F4:", "F4")
    assert found.place("wires", 0, "to") == by_eye("  - {wire: 100,", "Q1:1")
    assert found.place("wires", 2, "through", 1) == by_eye("  - {wire: 102,", "F1:1")
    assert found.place("wires", 0, "size") == by_eye("  - {wire: 100,", "{")
    assert found.place("mains") == by_eye("mains:", "mains")
    assert found.place("nowhere").line == 3
    assert found.place("stops", "emergency", "devices", 1) == by_eye("    devices:", "S2")
    assert found.node("parts", "F4", "resistance") is None
    whereabouts = Whereabouts(found.sources)
    assert whereabouts.line(found.place("mains")) == "mains:"
    for path, words in {
        ("mains",): "mains",
        ("parts", "F4", "rating"): "F4 › rating",
        ("parts", "F4"): "F4",
        ("wires", 0, "to"): "wire 100 › to",
        ("wires", 0, "size"): "wire 100",
        ("stops", "emergency", "devices", 1): "stop emergency › devices › item 2",
        ("cables", 0, "join", "1"): "cable C1 › core 1",
        ("states", "winding", "M1"): "state winding › M1",
        ("wire_types", "motor", "size"): "wire type motor › size",
        ("site", "ambient"): "site › ambient",
    }.items():
        assert whereabouts.words(found.place(*path)) == words
