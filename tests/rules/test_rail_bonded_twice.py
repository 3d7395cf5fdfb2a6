"""One bond a rail (IEC 60204-1, 9.4.3.1.2, from memory): a second one lets return current flow through the earth."""

from __future__ import annotations

from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "rail-bonded-twice"


def test_the_second_bond_is_the_one() -> None:
    assert_marked(plan(wires="- {wire: PE9, from: X2:11, to: XPE:7}   #! rail-bonded-twice"))


def test_a_shield_between_rail_and_earth_is_a_bond() -> None:
    assert_marked(
        plan(
            "B1: {kind: sensor, supply: 10..30 V DC, output: pnp NC}\n"
            "A9: {kind: io-card, inputs: {I1: sink}, input_type: 3, input_voltage: 24 V DC, common: COM}\n"
            "BED: {kind: metalwork, points: 2}",
            "- {wire: PE9, from: XPE:7, to: BED:1}\n- {wire: 9, from: A9:COM, to: X2:4}",
            """
            - cable: C1
              join: {1: [X1:2, B1:1], 2: [X2:2, B1:3], 3: [A9:I1, B1:4]}
              shield: {ends: [X2:3, BED:2]}   #! rail-bonded-twice
            """,
        )
    )


def test_two_rails_with_one_bond_each_are_right() -> None:
    body = plan(
        "G2: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 5 A, class: II, wires_per_terminal: 2}",
        '- {wire: PE9, from: "G2:V-", to: XPE:7}',
    )
    assert fired(SLUG, design(body)) == []


def test_two_bonded_rails_that_somebody_joins_are_bonded_twice() -> None:
    body = plan(
        "G2: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 5 A, class: II, wires_per_terminal: 2}",
        '- {wire: PE9, from: "G2:V-", to: XPE:7}\n- {wire: 9, from: "G2:V-", to: X2:5}',
    )
    [finding] = fired(SLUG, design(body))
    assert {"PE9", "b6"} <= set(finding.subjects)


@given(st.integers(0, 6))
def test_bonds_are_counted(extra: int) -> None:
    wires = "\n".join(f"- {{wire: P{n}, from: 'X2:{n + 2}', to: 'XPE:{n + 3}'}}" for n in range(extra))
    found = fired(SLUG, design(plan(wires=wires)))
    assert [finding.numbers[0].value for finding in found] == ([extra + 1.0] if extra else [])


def test_a_bond_of_two_conductors_in_parallel_is_one_bond() -> None:
    assert fired(SLUG, design(plan(wires="- {wire: P1, from: 'X2:12', to: 'XPE:2'}"))) == []


def test_what_it_says() -> None:
    """IEC 60204-1 6.4.1: one point; the rail has 2 bonds."""
    [finding] = fired(SLUG, design(plan(wires="- {wire: PE9, from: X2:11, to: XPE:7}")))
    assert_says(finding, "CAUTION", number=("bonds", 2.0, ""), mend="take PE9 away")
