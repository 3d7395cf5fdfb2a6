"""IEC 60204-1, 9.3.4: contactors that turn a motor round are locked against each other, each by a contact of the other.

Which pairs short the lines is checked against networkx: with both closed two lines of the mains are one component.
"""

from __future__ import annotations

from itertools import permutations

import networkx
import pytest
from helpers import design
from marked_plans import fired
from reversing import body
from says import assert_says

from wiring.circuit.reversing import reversals
from wiring.design.levels import worst_volts
from wiring.parts.elements import Draw

SLUG = "reversing-without-interlock"


@pytest.mark.parametrize(
    ("lock", "ways"), [("none", 2), ("one way", 1), ("other way", 1), ("both ways", 0), ("buttons", 0)]
)
def test_each_contactor_must_keep_the_other_one_dead(lock: str, ways: int) -> None:
    found = fired(SLUG, design(body(lock)))
    assert sum(len(one.mends) for one in found) == ways
    assert all(one.subjects == ("K1", "K2") for one in found)


def test_a_relay_with_two_throws_feeds_one_coil_or_the_other() -> None:
    """K3 at rest feeds K1, attracted K2: no position feeds both."""
    assert fired(SLUG, design(body("relay"))) == []


@pytest.mark.parametrize("poles", sorted(permutations("246")))
def test_a_pair_is_one_that_shorts_lines_when_both_are_closed(poles: tuple[str, str, str]) -> None:
    """networkx: K1 joins line n to phase n, K2 line n to the phase of its pole; a short is two lines in one piece."""
    joined = networkx.Graph([("L1", "U"), ("L2", "V"), ("L3", "W")])
    joined.add_edges_from((f"L{'246'.index(pole) + 1}", phase) for pole, phase in zip(poles, "UVW", strict=True))
    shorted = any(len({"L1", "L2", "L3"} & piece) > 1 for piece in networkx.connected_components(joined))
    found = reversals(design(body(swapped=poles)).circuit)
    # A full turn of all three phases shorts them too, but turns nothing round: each pole then meets two others.
    assert bool(found) == (shorted and any(pole == same for pole, same in zip(poles, "246", strict=True)))


def test_no_rail_passes_both_contactors() -> None:
    """A heater on L1 and N beside the motor gets 230 V, not the 400 V that both contactors closed would bring."""
    text = body().replace(
        "wires:\n", "wires:\n  - {wire: 90, from: 'X0:L1', to: 'E1:1'}\n  - {wire: 91, from: 'E1:2', to: 'X0:N'}\n"
    )
    plan = design(text.replace("  M1:", "  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}\n  M1:"))
    assert {rail.source for rail in plan.roles.rails["M1", "U"]} == {"L1", "L3"}
    assert {rail.source for rail in plan.roles.rails["K1", "1"]} == {"L1"}
    assert fired("part-voltage-exceeded", plan) == []
    shaft = plan.parts["M1"].of(Draw)[0]
    assert worst_volts(plan.operation, plan.parts["M1"], shaft, "AC")[0] == pytest.approx(400.0, rel=0.01)


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(body("none")))
    assert_says(finding, "CAUTION", mend="break contact of K1 in series with the coil of K2")
