"""Sheets of strips and cables against the plan: points in their order, every conductor once on its side, every core."""

from __future__ import annotations

import pytest

from tests.drawing.drawn import SPECS, Drawn, drawn_spec
from wiring.drawing.labels import target_text, wire_label


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
