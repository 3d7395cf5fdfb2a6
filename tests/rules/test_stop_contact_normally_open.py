"""A stop opens its circuit: break contacts by direct opening (IEC 60204-1:2016, 10.7.2 and 9.2.3.4.2, from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "stop-contact-normally-open"


def chain(first: str, second: str, mark: str = "", report: str = "") -> str:
    """Two stop devices in series ahead of a contactor's coil; the first may report to a card as well."""
    return plan(
        f"""
        S1: {{kind: emergency-stop, contacts: {{11-12: "{first}", 23-24: "NO"}}}}{mark}
        S2: {{kind: emergency-stop, contacts: {{11-12: "{second}"}}}}
        K1: {{kind: contactor, poles: 1, rated: 9 A, coil: 24 V DC 3 W, suppressor: diode}}
        A1: {{kind: io-card, inputs: {{I1: sink}}, input_type: 3, input_voltage: 24 V DC, common: COM}}
        """,
        f"""
        - {{wire: 1, from: X1:2, to: S1:11}}
        - {{wire: 2, from: S1:12, to: S2:11}}
        - {{wire: 3, from: S2:12, to: K1:A1}}
        - {{wire: 4, from: K1:A2, to: X2:2}}
        - {{wire: 5, from: A1:COM, to: X2:3}}
        {report}
        """,
        more="stops: {emergency: {devices: [S1, S2], category: 0}}",
    )


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [("NC", "NC", []), ("NO", "NC", ["S1"]), ("NC", "NO", ["S2"]), ("NO", "NO", ["S1", "S2"])],
)
def test_every_device_in_the_chain_counts(first: str, second: str, told: list[str]) -> None:
    assert [finding.subjects[0] for finding in fired(SLUG, design(chain(first, second)))] == told


def test_a_make_contact_that_reports_is_right() -> None:
    report = "- {wire: 6, from: X1:3, to: S1:23}\n        - {wire: 7, from: S1:24, to: A1:I1}"
    assert fired(SLUG, design(chain("NC", "NC", report=report))) == []


def test_a_button_that_is_no_stop_device_may_close() -> None:
    body = chain("NC", "NO").replace("devices: [S1, S2]", "devices: [S1]")
    assert fired(SLUG, design(body)) == []


def test_both_channels_of_a_stop_relay_are_one_finding() -> None:
    body = plan(
        """
        S1: {kind: emergency-stop, contacts: {11-12: "NO", 21-22: "NO"}}   #! stop-contact-normally-open
        K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], reset: S33-S34, outputs: [13-14]}
        S2: {kind: push-button, colour: BU, contacts: {13-14: "NO"}}
        H1: {kind: lamp, rated: 24 V DC 1 W}
        """,
        """
        - {wire: 1, through: [X1:2, K0:A1, K0:13]}
        - {wire: 2, through: [X2:2, K0:A2, H1:X2]}
        - {wire: 3, from: K0:S11, to: S1:11}
        - {wire: 4, from: S1:12, to: K0:S12}
        - {wire: 5, from: K0:S21, to: S1:21}
        - {wire: 6, from: S1:22, to: K0:S22}
        - {wire: 7, from: K0:S33, to: S2:13}
        - {wire: 8, from: S2:14, to: K0:S34}
        - {wire: 9, from: K0:14, to: H1:X1}
        """,
        more="stops: {emergency: {devices: [S1], category: 0, reset: S2}}",
    )
    assert_marked(body)


def test_what_it_says() -> None:
    """IEC 60204-1 10.7.2: direct opening."""
    [finding] = fired(SLUG, design(chain("NO", "NC")))
    assert_says(finding, "WARNING", mend="`NC direct`")
