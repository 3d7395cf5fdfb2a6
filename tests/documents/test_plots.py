"""The pictures of the budget: lengths on paper against figures worked out by hand."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.helpers import design
from wiring.documents.plots import Bar, Plot, plot_svg, plots

SPACE = "{http://www.w3.org/2000/svg}"
PLAN = """
site: {ambient: 35 °C}
mains: {inlet: X0, system: single-phase, voltage: 230 V}
enclosure: {size: 500 x 500 x 210 mm, material: painted-steel, mounting: wall}
states: {on: {}, idle: {E1: off}}
parts:
  X0: {kind: inlet, poles: [L, N, PE], rated: 16 A}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, efficiency: 90 %}
  E1: {kind: load, rated: 24 V DC 2.5 A, behaviour: current}
wires:
  - {wire: 1, from: X0:L, to: G1:L, size: 1 mm2, length: 1 m}
  - {wire: 2, from: X0:N, to: G1:N, size: 1 mm2, length: 1 m}
  - {wire: 3, from: G1:V+, to: E1:1, size: 1 mm2, length: 1 m}
  - {wire: 4, from: E1:2, to: G1:V-, size: 1 mm2, length: 1 m}
"""


def bars(svg: str) -> list[float]:
    """The widths of the filled bars [mm]."""
    root = ElementTree.fromstring(svg)
    return [float(one.attrib["width"]) for one in root.iter(f"{SPACE}rect") if one.attrib["fill"] == "#777"]


def axis(svg: str) -> tuple[float, float]:
    """Where the axis begins and ends [mm], from its first and last figure."""
    root = ElementTree.fromstring(svg)
    places = [float(t.attrib["x"]) for t in root.iter(f"{SPACE}text") if re.fullmatch(r"[\d.]+", t.text or "")]
    return min(places), max(places)


def test_a_bar_is_as_long_as_its_value_on_the_axis() -> None:
    """100 is the end of the axis, so 25 is a quarter of it and 50 the half."""
    svg = plot_svg(Plot("P", "%", (Bar("a", "", 25.0), Bar("b", "", 50.0)), "says", 100.0))
    start, end = axis(svg)
    assert bars(svg) == [pytest.approx((end - start) / 4, abs=0.02), pytest.approx((end - start) / 2, abs=0.02)]


def test_supply_loading_and_temperature_of_a_small_plan() -> None:
    """2.5 A of 5 A is half in state on and nothing in state idle; 60 W at 90 % leave 6.7 W in the cabinet."""
    found = {plot.title: plot for plot in plots(design(PLAN))}
    loading = {bar.label: bar.value for bar in found["Supply loading"].bars}
    assert loading["G1 on"] == pytest.approx(50.0, rel=0.01)
    assert loading["G1 idle"] == pytest.approx(0.0, abs=0.1)
    inside = {bar.label: bar.value for bar in found["Cabinet temperature"].bars}
    assert found["Cabinet temperature"].line == 35.0
    assert inside["on"] is not None
    assert inside["idle"] is not None
    assert inside["on"] > inside["idle"] >= 35.0


def test_the_voltage_at_a_drive_stands_within_what_it_allows() -> None:
    from wiring.design.load import load

    found = load(Path(__file__).parents[2] / "specs" / "coil-winder.yaml").design
    assert found is not None
    plot = next(plot for plot in plots(found) if plot.title == "Voltage at the drives")
    for bar in plot.bars:
        assert bar.allowed is not None
        assert all(bar.allowed[0] <= volts <= bar.allowed[1] for volts in bar.points)
        assert max(bar.points) == pytest.approx(36.0, rel=0.02)


def test_names_in_a_picture_are_escaped() -> None:
    svg = plot_svg(Plot("<b>&\"'", "V", (Bar("<i>\x07\u202e", "</svg>", 1.0),), '" onload="x'))
    root = ElementTree.fromstring(svg)
    assert {one.tag for one in root.iter()} == {SPACE + name for name in ("svg", "text", "rect", "line")}
    assert "onload" not in root.attrib
