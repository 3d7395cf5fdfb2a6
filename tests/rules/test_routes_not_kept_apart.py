"""Distances between routes along the real way, by hand."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.design.design import Design

SLUG = "routes-not-kept-apart"


def shared(end_mm: float, apart: str = "200 mm") -> Design:
    """Two wires in one duct from relays at the left, whose terminals are at 10 mm, to relays 20 mm wide at `end_mm`."""
    relay = "kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO}, size: 20 x 60 x 60 mm"
    places = {"K1": "0 x 300", "K2": "0 x 100", "K3": f"{end_mm} x 300", "K4": f"{end_mm} x 100"}
    parts = "\n".join(f"  {name}: {{{relay}, position: {spot} mm}}" for name, spot in places.items())
    return design(
        f"""
enclosure: {{size: 1.6 x 0.5 x 0.2 m, ducts: {{mid: {{at: 0 x 200 mm, length: 1500 mm, size: 40 x 60 mm}}}}}}
routes: {{loud: {{kind: duct}}, quiet: {{kind: duct, apart: {{loud: {apart}}}}}}}
parts:
{parts}
wires:
  - {{wire: 1, from: "K1:14", to: "K3:14", size: 1 mm2, route: loud}}
  - {{wire: 2, from: "K2:13", to: "K4:13", size: 1 mm2, route: quiet}}
"""
    )


@pytest.mark.parametrize(("end", "fires"), [(1000.0, False), (1020.0, True)])
def test_a_metre_side_by_side_needs_no_distance(end: float, fires: bool) -> None:
    assert bool(fired(SLUG, shared(end))) is fires


def test_no_distance_is_no_demand() -> None:
    assert not fired(SLUG, shared(1300.0, "0 mm"))


def test_what_it_says() -> None:
    """The relays stand 1300 mm apart, and so far the wires share the duct; runs of 1 m need no distance."""
    [finding] = fired(SLUG, shared(1300.0))
    assert finding.subjects == ("loud", "quiet")
    assert_says(
        finding,
        "NOTICE",
        limit=(1, "m", "Trade practice parallel runs of cables"),
        number=("together", 1300 / 1000, "m"),
        mend="take other ducts",
    )
