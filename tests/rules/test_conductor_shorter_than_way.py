"""Lengths given against the way, by hand."""

from __future__ import annotations

import pytest
from laid_plates import plate
from marked_plans import fired
from says import assert_says

from wiring.design.design import Design

SLUG = "conductor-shorter-than-way"


def wired(length: str, kind: str = "") -> Design:
    """F1:2 and K1:2 over a duct whose middle line is at 220 mm; both look down.

    F1 stands at 50 x 300: terminal 2 in its middle, 60. K1 at 230 x 300: A2, 2, 4 and 6 share its lower edge, so that
    2 is at three eighths of 45 mm. The way is 80 down, 230 + 16.875 - 60 along, 80 up: 346.9 mm.
    """
    own = f", length: {length}" if length else ""
    rest = f"""wire_types: {{t: {{size: 1 mm2, length: {kind or "1 m"}}}}}
wires:
  - {{wire: 1, from: "F1:2", to: "K1:2", type: t{own}}}
"""
    duct = ", ducts: {low: {at: 0 x 200 mm, length: 349 mm, size: 40 x 60 mm}}"
    return plate({"F1": "50 x 300 mm", "K1": "230 x 300 mm"}, enclosure=duct, rest=rest)


WAY_M = (80 + 230 + 45 * 3 / 8 - 60 + 80) / 1000


@pytest.mark.parametrize(("length", "fires"), [("343 mm", False), ("340 mm", True)])
def test_the_bare_way_is_the_bound(length: str, fires: bool) -> None:
    assert bool(fired(SLUG, wired(length))) is fires


def test_the_length_of_a_type_gives_way_to_the_way() -> None:
    """100 mm at each end and 5 % on top, in whole centimetres upwards."""
    found = wired("", "0.1 m")
    assert not fired(SLUG, found)
    metres = found.circuit.conductor["1"].length_m
    assert metres is not None
    assert 0.0 <= metres - (WAY_M + 0.2) * 1.05 <= 0.01
    assert wired("0.7 m").circuit.conductor["1"].length_m == 0.7


@pytest.mark.parametrize(("length", "fires"), [("80 mm", False), ("60 mm", True)])
def test_neighbours_are_joined_straight_over(length: str, fires: bool) -> None:
    """Terminal 2 of F1 at 60 mm, that of K1 at 110 + 16.875: 66.9 mm, less the 5 mm that are let pass."""
    duct = ", ducts: {low: {at: 0 x 200 mm, length: 349 mm, size: 40 x 60 mm}}"
    wire = f'wires:\n  - {{wire: 1, from: "F1:2", to: "K1:2", size: 1 mm2, length: {length}}}\n'
    near = plate({"F1": "50 x 300 mm", "K1": "110 x 300 mm"}, enclosure=duct, rest=wire)
    assert bool(fired(SLUG, near)) is fires


def test_what_it_says() -> None:
    """0.2 m as the plan gives it."""
    [finding] = fired(SLUG, wired("0.2 m"))
    assert finding.subjects == ("1",)
    assert_says(
        finding,
        "NOTICE",
        limit=(WAY_M, "m", "Trade practice wires lie in ducts"),
        number=("length", 0.2, "m"),
        mend="Leave the length of 1 out",
    )
