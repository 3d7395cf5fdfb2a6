"""Above extra-low voltage (60 V DC, 25 V AC: IEC 60204-1:2016, 6.4.1) nothing reaches control but through a barrier."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

from wiring.findings import Signal

SLUG = "process-voltage-on-control"


def arc(volts: float, way: str, open_circuit: str = "", mark: str = "") -> str:
    parts = {
        "divider": "R5: {kind: resistor, resistance: 100 kohm}",
        "contact": "S5: {kind: key-switch, contacts: {1-2: NO}}",
        "isolator": "T5: {kind: isolator, input_voltage: 400 V DC, output_voltage: 24 V DC}",
        "wire": "",
    }[way]
    ends = {
        "divider": ("'R5:1'", "'R5:2'"),
        "contact": ("S5:1", "S5:2"),
        "isolator": ("'T5:IN+'", "'T5:OUT+'"),
        "wire": ("A5:I1", ""),
    }[way]
    second = f"- {{wire: 54, from: {ends[1]}, to: A5:I1}}{mark}" if ends[1] else ""
    extra = (
        "- {wire: 56, from: 'G5:OUT-', to: 'T5:IN-'}\n- {wire: 57, from: X2:6, to: 'T5:OUT-'}"
        if way == "isolator"
        else ""
    )
    return plan(
        f"""
        G5: {{kind: process-source, input: 230 V AC, output: {volts} V DC, rated: 40 A{open_circuit}}}
        A5: {{kind: io-card, inputs: {{I1: sink}}, input_voltage: 24 V DC, input_type: 3, common: COM}}
        {parts}
        """,
        f"- {{wire: 51, from: X0:L, to: G5:L}}\n- {{wire: 52, from: X0:N, to: G5:N}}\n"
        f"- {{wire: P5, from: XPE:5, to: G5:PE}}\n"
        f"- {{wire: 53, from: 'G5:OUT+', to: {ends[0]}}}{mark if way == 'wire' else ''}\n{second}\n"
        f"- {{wire: 55, from: X2:5, to: A5:COM}}\n{extra}",
    )


@pytest.mark.parametrize("way", ["divider", "contact", "wire"])
def test_every_way_of_metal_counts(way: str) -> None:
    assert_marked(arc(120.0, way, mark="   #! process-voltage-on-control"))


def test_an_isolator_is_a_barrier() -> None:
    assert fired(SLUG, design(arc(120.0, "isolator"))) == []


@pytest.mark.parametrize(("volts", "fires"), [(60.0, False), (60.5, True)])
def test_the_limit_is_extra_low_voltage(volts: float, fires: bool) -> None:
    found = fired(SLUG, design(arc(volts, "divider")))
    assert bool(found) is fires
    assert all(finding.signal is Signal.DANGER for finding in found)


def test_the_voltage_at_no_load_counts() -> None:
    """A source of 40 V at work that stands at 280 V without its arc."""
    assert len(fired(SLUG, design(arc(40.0, "divider", ", open_circuit: 280 V DC")))) == 1


@given(st.floats(20.0, 400.0))
def test_it_fires_exactly_above_sixty_volts(volts: float) -> None:
    volts = round(volts, 1)
    assert bool(fired(SLUG, design(arc(volts, "wire")))) is (volts > 60.0)


def test_mains_on_an_input() -> None:
    body = plan(
        """
        A5: {kind: io-card, inputs: {I1: sink}, input_voltage: 24 V DC, input_type: 3, common: COM}
        S5: {kind: push-button, contacts: {13-14: NO}}
        """,
        """
        - {wire: 51, from: X0:L, to: S5:13}
        - {wire: 52, from: S5:14, to: A5:I1}   #! process-voltage-on-control
        - {wire: 53, from: X2:5, to: A5:COM}
        """,
    )
    assert_marked(body)


def test_an_input_made_for_the_mains_may_have_it() -> None:
    body = plan(
        "A5: {kind: io-card, inputs: {I1: sink}, input_voltage: 230 V AC}\n"
        "S5: {kind: push-button, contacts: {13-14: NO}}",
        "- {wire: 51, from: X0:L, to: S5:13}\n- {wire: 52, from: S5:14, to: A5:I1}",
    )
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 6.4.1: 60 V DC in dry places; the source has 60.5 V."""
    [finding] = fired(SLUG, design(arc(60.5, "divider")))
    assert_says(
        finding,
        "DANGER",
        limit=(60.0, "V ripple-free", "IEC 60204-1 6.4.1"),
        number=("source", 60.5, "V"),
        mend="rated 60.5 V or more",
    )
