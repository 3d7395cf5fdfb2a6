"""No contact and no fuse in the protective earth (IEC 60204-1, 8.2.4, from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "earth-conductor-switched"


def test_a_bond_through_a_contact() -> None:
    assert_marked(
        plan(
            """
            G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A, class: II, wires_per_terminal: 2}
            S9: {kind: key-switch, contacts: {13-14: NO}}
            E1: {kind: load, rated: 24 V DC 5 W}
            """,
            """
            - {wire: 1, from: "G2:V+", to: E1:1}
            - {wire: 2, from: "G2:V-", to: E1:2}
            - {wire: 3, from: "G2:V-", to: S9:13}
            - {wire: PE9, from: S9:14, to: XPE:5}   #! earth-conductor-switched
            - {wire: 4, from: X0:L, to: G2:L}
            - {wire: 5, from: X0:N, to: G2:N}
            """,
        )
    )


@pytest.mark.parametrize("kind", ["fuse, rating: 6 A", "breaker, rating: 6 A", "disconnector"])
def test_every_kind_of_pole_counts(kind: str) -> None:
    body = plan(
        f"Q9: {{kind: {kind}, poles: 1}}\nXSH: {{kind: earth-bar, points: 3}}",
        "- {wire: PE1, from: XPE:5, to: Q9:1}\n- {wire: PE2, from: Q9:2, to: XSH:1}",
    )
    assert [finding.subjects[0] for finding in fired(SLUG, design(body))] == ["Q9"]


def test_metal_that_loses_its_earth_is_told_at_the_switched_conductor() -> None:
    assert_marked(
        plan(
            "S9: {kind: key-switch, contacts: {1-2: NO}}\nBED: {kind: metalwork}",
            "- {wire: PE1, from: XPE:5, to: S9:1}   #! earth-conductor-switched\n- {wire: PE2, from: S9:2, to: BED:1}",
        )
    )


def test_a_contact_in_an_earthed_rail_is_none() -> None:
    """The 0 V of the small machine is earthed: a contact behind it switches a rail and no protective conductor."""
    body = plan(
        "S1: {kind: push-button, contacts: {13-14: NO}}\nH1: {kind: lamp, rated: 24 V DC 1 W}",
        "- {wire: 1, from: X2:2, to: S1:13}\n- {wire: 2, from: S1:14, to: H1:X2}\n- {wire: 3, from: X1:2, to: H1:X1}",
    )
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 8.2.3: no device opens a protective conductor."""
    [finding] = fired(
        SLUG,
        design(
            plan(
                "Q9: {kind: fuse, rating: 6 A, poles: 1}\nXSH: {kind: earth-bar, points: 3}",
                "- {wire: PE1, from: XPE:5, to: Q9:1}\n- {wire: PE2, from: Q9:2, to: XSH:1}",
            )
        ),
    )
    assert_says(finding, "WARNING", mend="join both sides by one conductor")
