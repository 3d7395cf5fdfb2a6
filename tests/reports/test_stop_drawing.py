"""The circuit of one fault, drawn thick on the sheets that show it."""

from __future__ import annotations

import re
import sys
from pathlib import Path

from helpers import design

from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.drawing.shapes import STROKE, Pen
from wiring.drawing.story_sheets import story_drawing

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL


def test_a_welded_pole_feeds_the_heater_over_three_wires() -> None:
    """From L over wire 1, the pole, wire 2 to E1, and over wire 3 back to N: Kirchhoff's current law by eye."""
    machine = design(SEAL)
    told = account(machine.stopping, full_proof(machine.stopping, fault="weld:K1:1-2"), everything=True)
    circuit = told.stops[0].circuit_of("weld:K1:1-2")
    assert {name for name in circuit if name in machine.circuit.conductor} == {"1", "2", "3"}
    assert "K1:1-2" in circuit
    text = story_drawing(machine, circuit, "weld", lambda what, done, count: None)
    wide = f'stroke-width="{STROKE[Pen.STORY][0]}"'
    groups = re.findall(r'<g class="wire" data-id="([^"]+)"[^>]*>(.*?)</g>', text, re.DOTALL)
    assert {name for name, body in groups if wide in body} == {"1", "2", "3"}
    assert {name for name, body in groups if wide not in body} >= {"4", "5"}


def test_no_sheet_without_a_conductor_of_the_circuit() -> None:
    assert story_drawing(design(SEAL), frozenset({"no such"}), "none", lambda what, done, count: None) == ""
