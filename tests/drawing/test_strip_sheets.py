"""Sheets of strips and cables against the plan: points in their order, every conductor once on its side, every core."""

from __future__ import annotations

import pytest

from tests.drawing.drawn import SPECS, Drawn, drawn_spec, faults_of
from wiring.design.load import load_text
from wiring.drawing.draw import draw
from wiring.drawing.labels import target_text, wire_label
from wiring.drawing.paper import PAPERS


def _rows(drawn: Drawn, kind: str) -> list[tuple[str, list[str]]]:
    return [(p.id, [words.text for words in p.words]) for picture in drawn.pictures for p in picture.of(kind)]


@pytest.mark.parametrize("name", SPECS)
def test_points_stand_in_their_physical_order_with_every_conductor(name: str) -> None:
    drawn = drawn_spec(name)
    rows = _rows(drawn, "terminal")
    circuit = drawn.design.circuit
    parts = {node.split(":")[0] for node, _ in rows}
    wired = {
        part.name
        for part in drawn.design.parts.values()
        if part.kind in ("terminals", "connector", "earth-bar")
        and any(circuit.conductors_at((part.name, point)) for point in part.terminals)
    }
    assert parts == wired
    for strip in parts:
        order = [f"{strip}:{point}" for point in drawn.design.parts[strip].terminals]
        assert list(dict.fromkeys(node for node, _ in rows if node.split(":")[0] == strip)) == order
        for point in drawn.design.parts[strip].terminals:
            texts = [text for node, words in rows if node == f"{strip}:{point}" for text in words]
            conductors = circuit.conductors_at((strip, point))
            for conductor in conductors:
                assert texts.count(wire_label(conductor).number) >= 1
                far = target_text(conductor.other((strip, point)))
                assert any(text.startswith(f"{far} ▷ ") for text in texts), (conductor.id, texts)
            assert ("spare" in texts) == (not conductors)


@pytest.mark.parametrize("name", SPECS)
def test_every_core_stands_in_the_block_of_its_cable(name: str) -> None:
    drawn = drawn_spec(name)
    rows = _rows(drawn, "core")
    cores = {c.id: c for c in drawn.design.circuit.conductors if c.cable}
    assert sorted(core for core, _ in rows) == sorted(cores)
    for core, texts in rows:
        for end in cores[core].ends:
            assert any(text.startswith(target_text(end)) for text in texts)


@pytest.mark.parametrize("name", SPECS)
def test_a_cable_leads_from_the_cabinet_at_the_left_to_the_machine_at_the_right(name: str) -> None:
    """Whichever way round the plan writes a core; what is bonded at the machine leads there from the ring."""
    drawn = drawn_spec(name)
    circuit, parts = drawn.design.circuit, drawn.design.parts
    cores = {c.id: c for c in circuit.conductors if c.cable}
    for core, texts in _rows(drawn, "core"):
        at = {end: parts[end[0]].data.at if end[0] in parts else "ring" for end in cores[core].ends}
        inside = [end for end, place in at.items() if place in ("cabinet", "door")]
        outside = [end for end, place in at.items() if place in ("machine", "outside")]
        near, far = (inside or [end for end in at if end not in outside]), outside
        if len(near) == 1:
            assert texts[0].startswith(f"{target_text(near[0])} ▷ "), (core, texts)
        if len(far) == 1:
            assert texts[-1].startswith(f"{target_text(far[0])} ▷ "), (core, texts)


@pytest.mark.parametrize("name", SPECS)
def test_no_cable_is_torn_over_two_columns(name: str) -> None:
    headed = [words for _, words in _rows(drawn_spec(name), "words") if words[-1] == "continued"]
    cables = {c.cable for c in drawn_spec(name).design.circuit.conductors}
    assert not [words for words in headed if words[0] in cables]


def test_a_long_designation_stands_beside_the_title_of_its_strip() -> None:
    head = "format: 1\nmachine: Bench\nrulebook: iec\nmains: {inlet: X0, system: single-phase, voltage: 230 V}\n"
    parts = "parts:\n  X0: {kind: inlet}\n"
    for title in ("''", "upper frame of the machine"):
        parts += f"  X{len(title)}ExtraordinarilyLongDesignation: {{kind: terminals, points: 3, title: {title}}}\n"
    wire = "wires:\n  - {wire: 1, from: 'X2ExtraordinarilyLongDesignation:1', to: "
    text = head + parts + wire + "'X26ExtraordinarilyLongDesignation:1', size: 1 mm2}\n"
    design = load_text(text, "plan.yaml").design
    assert design is not None
    for paper in (PAPERS["A3"], PAPERS["letter"]):
        assert not faults_of(draw(design, None, paper), design, paper)
