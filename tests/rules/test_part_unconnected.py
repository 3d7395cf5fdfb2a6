"""A part of the plan that nobody wired."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "part-unconnected"


@pytest.mark.parametrize(
    "part",
    [
        "B1: {kind: limit-switch, contacts: {11-12: NC}}",
        "B1: {kind: guard-switch, contacts: {11-12: NC}}",
        "B1: {kind: float-switch, contacts: {11-12: NC}}",
        "Y1: {kind: brake, rated: 24 V DC 10 W}",
        "F1: {kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}",
        "M1: {kind: stepper-motor, phase_current: 2 A peak, metal: false}",
        "E1: {kind: heater, rated: 24 V DC 50 W, metal: false}",
    ],
)
def test_what_protects_and_what_can_hurt_is_a_caution(part: str) -> None:
    assert_marked(plan(f"{part}   #! part-unconnected"))


@pytest.mark.parametrize(
    ("at", "counted", "signal"),
    [
        ("cabinet", True, "CAUTION"),
        ("machine", True, "NOTICE"),
        ("cabinet", False, "NOTICE"),
        ("door", True, "CAUTION"),
    ],
)
def test_a_fan_of_a_cabinet_that_counts_on_it_is_a_caution(at: str, counted: bool, signal: str) -> None:
    """One at the machine moves no air of the cabinet."""
    more = f"enclosure: {{size: 400 x 400 x 200 mm{', fan: {airflow: 50 m3/h}' if counted else ''}}}"
    found = fired(SLUG, design(plan(f"E1: {{kind: fan, at: {at}, rated: 24 V DC 5 W}}", more=more)))
    assert [(one.signal, one.subjects) for one in found] == [(signal, ("E1",))]


def test_the_rest_is_one_notice() -> None:
    [finding] = fired(SLUG, design(plan("H1: {kind: lamp, rated: 24 V DC 1 W}\nH2: {kind: lamp, rated: 24 V DC 1 W}")))
    assert finding.signal is Signal.NOTICE
    assert finding.subjects == ("H1", "H2")
    assert finding.summary == "H1, H2 are joined to nothing"


@pytest.mark.parametrize(
    "part",
    ["X9: {kind: terminals, points: 2}", "X9: {kind: earth-bar, points: 2}", "X9: {kind: connector, contacts: [A]}"],
)
def test_rows_and_bars_may_be_spare(part: str) -> None:
    assert fired(SLUG, design(plan(part))) == []


def test_a_device_of_a_stop_is_judged_with_the_stop() -> None:
    body = plan(
        "S1: {kind: emergency-stop, contacts: {11-12: NC}}", more="stops: {emergency: {devices: [S1], category: 0}}"
    )
    assert [finding.signal for finding in fired(SLUG, design(body))] == [Signal.NOTICE]


def test_what_it_says() -> None:
    """IEC 60204-1 17.2: the plan shows how each part is connected."""
    [finding] = fired(SLUG, design(plan("H1: {kind: lamp, rated: 24 V DC 1 W}\nH2: {kind: lamp, rated: 24 V DC 1 W}")))
    assert_says(finding, "NOTICE", mend="Wire H1, H2")
