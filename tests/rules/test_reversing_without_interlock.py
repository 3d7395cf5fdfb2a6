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
from wiring.design.supply.levels import worst_volts
from wiring.findings import Signal
from wiring.parts.elements import Draw
from wiring.rules.run import judge

SLUG = "reversing-without-interlock"


@pytest.mark.parametrize(
    ("lock", "ways"), [("none", 2), ("one way", 1), ("other way", 1), ("both ways", 0), ("buttons", 0)]
)
def test_each_contactor_must_keep_the_other_one_dead(lock: str, ways: int) -> None:
    found = fired(SLUG, design(body(lock)))
    assert sum(one.summary.count("can be fed while") for one in found) == ways
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
    assert bool(found) == shorted


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


@pytest.mark.parametrize("locked", [("K1", "K2"), ("K2", "K1")])
def test_a_mechanical_lock_is_one(locked: tuple[str, str]) -> None:
    """IEC 60204-1, 9.3.4 asks for an interlock and not for an electrical one."""
    one, other = locked
    text = body("none").replace(f"  {one}: {{kind: contactor, ", f"  {one}: {{kind: contactor, interlock: {other}, ")
    assert fired(SLUG, design(text)) == []


def by_program(lock: str, second: str = "O2") -> str:
    """The same with outputs of a program in the place of the buttons, and states that say whether the motor runs."""
    text = body(lock).replace(
        "wires:\n", "wires:\n  - {wire: 80, from: G1:V+, to: A1:24V}\n  - {wire: 81, from: G1:V-, to: A1:0V}\n"
    )
    supply = "supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA}"
    card = f"A1: {{kind: controller, {supply}, outputs: {{O1: pnp, O2: pnp}}}}"
    text = text.replace("parts:\n", f"states: {{turning: {{M1: run}}, still: {{M1: off}}}}\nparts:\n  {card}\n", 1)
    return text.replace("S1:14", "A1:O1").replace("S2:14", f"A1:{second}")


@pytest.mark.parametrize("lock", ["none", "one way", "both ways"])
def test_a_program_has_one_of_two_in_and_none_where_the_motor_is_off(lock: str) -> None:
    """No state is meant to short the lines: that it could is told by what it is, and not as a motor that is dead."""
    plan = design(by_program(lock))
    assert [{"K1", "K2"} & {name for name, _ in point.attracted} for point in plan.states.values()] == [{"K1"}, set()]
    assert [one.signal for one in fired(SLUG, plan)] == ([] if lock == "both ways" else [Signal.CAUTION])
    assert fired("state-not-fed", plan) == []


def test_both_on_one_output_short_the_lines_as_soon_as_it_is_on() -> None:
    plan = design(by_program("none", "O1"))
    [finding] = fired(SLUG, plan)
    assert finding.signal is Signal.WARNING
    assert "at once in state turning" in finding.summary
    [dead] = [one for one in judge(plan).findings if one.rule == "state-not-fed"]
    assert SLUG in {root.rule for root in dead.explained_by}


STAR = """mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  Q1: {{kind: disconnector, poles: 3}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  S2: {{kind: push-button, contacts: {{13-14: NO}}}}
  K1: {{kind: contactor, poles: 3, coil: 230 V AC 3 W, contacts: {{21-22: NC}}}}
  K2: {{kind: contactor, poles: 3, coil: 230 V AC 3 W, contacts: {{21-22: NC}}}}
  M1: {{kind: device, points: {{U1: through, V1: through, W1: through, U2: through, V2: through, W2: through}}}}
wires:
  - {{wire: 1, through: [X0:L1, Q1:1]}}
  - {{wire: 2, through: [X0:L2, Q1:3]}}
  - {{wire: 3, through: [X0:L3, Q1:5]}}
  - {{wire: 4, through: [Q1:2, M1:U1, K1:1, S1:13, S2:13]}}
  - {{wire: 5, through: [Q1:4, M1:V1, K1:3]}}
  - {{wire: 6, through: [Q1:6, M1:W1, K1:5]}}
  - {{wire: 7, through: [K1:2, M1:W2, K2:1]}}
  - {{wire: 8, through: [K1:4, M1:U2, K2:3]}}
  - {{wire: 9, through: [K1:6, M1:V2, K2:5]}}
  - {{wire: 10, through: [K2:2, K2:4, K2:6]}}
  - {{wire: 11, through: [X0:N, K1:A2, K2:A2]}}
  - {{wire: 12, from: S1:14, to: {star}}}
  - {{wire: 13, from: S2:14, to: {delta}}}
{more}
"""


def test_star_and_delta_short_the_lines_together() -> None:
    """K1 closes the delta, K2 the star: each line then meets the star point at the far end of another winding."""
    [finding] = fired(SLUG, design(STAR.format(star="K1:A1", delta="K2:A1", more="")))
    assert finding.subjects == ("K1", "K2")
    more = "  - {wire: 14, from: K2:22, to: K1:A1}\n  - {wire: 15, from: K1:22, to: K2:A1}"
    assert fired(SLUG, design(STAR.format(star="K2:21", delta="K1:21", more=more))) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(body("none")))
    assert_says(finding, "CAUTION", mend="break contact of K1 in series with the coil of K2")
