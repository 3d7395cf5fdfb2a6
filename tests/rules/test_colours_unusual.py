"""Colours that a book advises: IEC 60204-1:2016 13.2.4 and NFPA 79 13.2.4 (each read in two places)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired
from says import assert_says

from wiring.findings import Signal
from wiring.plan.colours import COLOURS

SLUG = "colours-unusual"


def wires(colour: str, load: str = "lamp, rated: 24 V DC 20 mA", ends: tuple[str, str] = ("X1", "X2")) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  H1: {{kind: {load}}}
wires:
  - {{wire: 1, from: G1:V+, to: H1:{ends[0]}, size: 1 mm2, colour: {colour}, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: H1:{ends[1]}, size: 1 mm2, colour: {colour}, length: 1 m}}
"""


HEATER = ("heater, rated: 24 V DC 20 W, metal: false", ("1", "2"))


@pytest.mark.parametrize("colour", ["DBU", "BU"])
def test_blue_is_advised_for_dc_control(colour: str) -> None:
    assert fired(SLUG, design(wires(colour))) == []


@pytest.mark.parametrize("colour", ["BK", "RD", "WH", "GN", "LBU"])
def test_other_colours_of_dc_control(colour: str) -> None:
    [finding] = fired(SLUG, design(wires(colour)))
    assert finding.signal is Signal.NOTICE
    assert finding.subjects == ("1", "2")


def test_black_is_advised_for_dc_power() -> None:
    assert fired(SLUG, design(wires("BK", *HEATER))) == []
    assert len(fired(SLUG, design(wires("DBU", *HEATER)))) == 1


def test_north_american_grounded_side() -> None:
    """White with blue for the grounded DC control conductor, blue for the other (13.2.4)."""
    back = "to: H1:X2, size: 1 mm2, colour: "
    body = wires("BU").replace(f"{back}BU", f"{back}WHBU")
    assert fired(SLUG, design(body, "na")) == []
    assert len(fired(SLUG, design(wires("RD"), "na"))) == 1


def test_one_notice_for_the_whole_plan() -> None:
    more = wires("YE").split("wires:\n")[1].replace("wire: 1", "wire: 3").replace("wire: 2", "wire: 4")
    [finding] = fired(SLUG, design(wires("RD") + more))
    assert finding.subjects == ("1", "2", "3", "4")


def test_what_binds_is_told_by_the_other_rule() -> None:
    assert fired(SLUG, design(wires("GNYE"))) == []


@given(st.sampled_from(sorted(COLOURS)), st.sampled_from(["iec", "na"]))
def test_it_never_says_more_than_a_notice(colour: str, book: str) -> None:
    assert {finding.signal for finding in fired(SLUG, design(wires(colour), book))} <= {Signal.NOTICE}


def test_what_it_says() -> None:
    """IEC 60204-1 13.2.4 advises dark blue for DC control; both wires, 2, are black."""
    [finding] = fired(SLUG, design(wires("BK")))
    assert_says(finding, "NOTICE", number=("wires", 2.0, ""), mend="Take the advised colours")
