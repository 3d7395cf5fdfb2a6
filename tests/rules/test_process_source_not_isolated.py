"""What can be touched while it is live must be extra-low voltage and separated (IEC 60204-1, 6.4, from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "process-source-not-isolated"
WIRE = "E5: {kind: heater, rated: 24 V DC 60 W, metal: false}"


def hot_wire(more: str = "", feed: str = "X0:L X0:N", mark: str = "") -> str:
    line, back = feed.split()
    ends = ("L", "N") if line.startswith("X0") else ("IN+", "IN-")
    volts = "230 V AC" if line.startswith("X0") else "24 V DC"
    return plan(
        f"G5: {{kind: process-source, input: {volts}, output: 24 V DC, rated: 4 A{more}}}{mark}\n{WIRE}",
        f"""
        - {{wire: 51, from: {line}, to: 'G5:{ends[0]}', size: 1.5 mm2, length: 1 m}}
        - {{wire: 52, from: {back}, to: 'G5:{ends[1]}', size: 1.5 mm2, length: 1 m}}
        - {{wire: P5, from: XPE:5, to: G5:PE, size: 1.5 mm2, length: 1 m}}
        - {{wire: 53, from: 'G5:OUT+', to: 'E5:1', size: 1.5 mm2, length: 1 m}}
        - {{wire: 54, from: 'G5:OUT-', to: 'E5:2', size: 1.5 mm2, length: 1 m}}
        """,
    )


def test_a_hot_wire_on_the_mains() -> None:
    assert_marked(hot_wire(", isolated: false", mark="   #! process-source-not-isolated"))


@pytest.mark.parametrize(
    ("more", "feed", "fires"),
    [
        ("", "X0:L X0:N", False),
        (", isolated: false", "X0:L X0:N", True),
        (", isolated: false", "X1:5 X2:5", False),  # a supply with separate windings stands between
    ],
)
def test_only_a_source_that_ties_its_output_to_the_mains(more: str, feed: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(hot_wire(more, feed)))) is fires


def test_contacts_and_fuses_on_the_way_are_no_barrier() -> None:
    body = plan(
        f"G5: {{kind: process-source, input: 230 V AC, output: 24 V DC, rated: 4 A, isolated: false}}\n{WIRE}\n"
        "Q5: {kind: disconnector, poles: 2}",
        """
        - {wire: 51, from: X0:L, to: "Q5:1"}
        - {wire: 52, from: X0:N, to: "Q5:3"}
        - {wire: 53, from: "Q5:2", to: G5:L}
        - {wire: 54, from: "Q5:4", to: G5:N}
        - {wire: 55, from: "G5:OUT+", to: "E5:1"}
        """,
    )
    assert len(fired(SLUG, design(body))) == 1


def test_an_output_that_nothing_is_wired_to_hurts_nobody() -> None:
    body = hot_wire(", isolated: false").replace("'G5:OUT+'", "'X1:6'").replace("'G5:OUT-'", "'X2:6'")
    assert fired(SLUG, design(body)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 6.4.1: separate windings; the mains have 230 V."""
    [finding] = fired(SLUG, design(hot_wire(", isolated: false")))
    assert_says(finding, "DANGER", number=("mains", 230.0, "V"), mend="whose output is isolated")
