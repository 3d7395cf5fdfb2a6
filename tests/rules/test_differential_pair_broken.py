"""Differential signals keep both halves (TIA/EIA-422-B: a balanced circuit)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "differential-pair-broken"


def encoder(wires: str) -> str:
    return plan(
        """
        G2: {kind: converter, input: 18..36 V DC, output: 5 V DC, rated: 1 A, isolated: false, wires_per_terminal: 3}
        B1: {kind: encoder, supply: {between: [5V, 0V], voltage: 5 V DC, current: 50 mA}, signals: [A+, A-, B+, B-]}
        A1: {kind: io-card, inputs: {EA+: encoder, EA-: encoder, EB+: encoder, EB-: encoder}}
        """,
        """
        - {wire: 1, from: X1:2, to: "G2:IN+"}
        - {wire: 2, from: X2:2, to: "G2:IN-"}
        - {wire: 3, from: "G2:V+", to: B1:5V}
        - {wire: 4, from: "G2:V-", to: B1:0V}
        """
        + wires.lstrip(),
    )


RIGHT = """
        - {wire: 5, from: "B1:A+", to: "A1:EA+"}
        - {wire: 6, from: "B1:A-", to: "A1:EA-"}
"""


def test_half_a_pair_is_open() -> None:
    assert_marked(encoder('        - {wire: 5, from: "B1:A+", to: "A1:EA+"}   #! differential-pair-broken\n'))


def test_half_a_pair_on_the_return() -> None:
    wires = (
        '        - {wire: 5, from: "B1:A+", to: "A1:EA+"}   #! differential-pair-broken\n'
        '        - {wire: 6, from: "B1:A-", to: X2:5}\n'
    )
    assert_marked(encoder(wires))


def test_crossed_halves() -> None:
    wires = (
        RIGHT.replace('"A1:EA+"}', '"A1:EX"}')
        .replace('"A1:EA-"}', '"A1:EA+"}   ')
        .replace('"A1:EX"}', '"A1:EA-"}   #! differential-pair-broken')
    )
    assert_marked(encoder(wires))


def test_whole_pairs_and_unused_ones_are_right() -> None:
    assert fired(SLUG, design(encoder(RIGHT))) == []
    assert fired(SLUG, design(encoder(""))) == []


@pytest.mark.parametrize("lost", ["P1+", "P1-"])
def test_a_card_with_differential_outputs(lost: str) -> None:
    ends = {"P1+": "STEP+", "P1-": "STEP-"}
    wires = "".join(
        f"        - {{wire: s{n}, from: 'A2:{half}', to: 'D1:{end}'}}\n"
        for n, (half, end) in enumerate(ends.items())
        if half != lost
    )
    body = plan(
        """
        A2: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA},
             outputs: {P1+: differential 5 V, P1-: differential 5 V}}
        D1: {kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}
        """,
        """
        - {wire: 1, from: X1:2, to: A2:24V}
        - {wire: 2, from: X2:2, to: A2:0V}
        """
        + wires.lstrip(),
    )
    assert len(fired(SLUG, design(body))) == 1


def test_what_it_says() -> None:
    """TIA/EIA-422-B: a balanced signal has two conductors."""
    [finding] = fired(SLUG, design(encoder('        - {wire: 5, from: "B1:A+", to: "A1:EA+"}\n')))
    assert_says(finding, "CAUTION", mend="to the same receiver")


def test_the_marking_of_the_giver_says_nothing_of_the_receiver() -> None:
    """A maker may number the terminals so that the wrong sign stands behind a half (common practice)."""
    swapped = encoder(RIGHT.replace("B1:A+", "B1:5-").replace("B1:A-", "B1:6+"))
    swapped = swapped.replace("signals: [A+", 'terminals: {"A+": "5-", "A-": "6+"}, signals: [A+')
    assert fired(SLUG, design(swapped)) == []
