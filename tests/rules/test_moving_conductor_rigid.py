"""Moving conductors are of class 5 or 6 (IEC 60204-1 12.2 from memory, NFPA 79 12.2 one source; IEC 60228 classes)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "moving-conductor-rigid"


def cable(conductor_class: str, kind: str = "chain", flexing: str = "") -> str:
    given_class = f", conductor_class: {conductor_class}" if conductor_class else ""
    return f"""
routes:
  way: {{kind: {kind}, at: machine}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}}
  H1: {{kind: lamp, at: machine, rated: 24 V DC 20 mA}}
cables:
  - {{cable: C1, size: 1 mm2{given_class}, length: 3 m, route: way{flexing},
     join: {{1: [G1:V+, H1:X1], 2: [G1:V-, H1:X2]}}}}
"""


@pytest.mark.parametrize(("conductor_class", "count"), [("1", 1), ("2", 1), ("5", 0), ("6", 0)])
@pytest.mark.parametrize(("kind", "flexing"), [("chain", ""), ("tray", ", flexing: true")])
def test_classes(conductor_class: str, count: int, kind: str, flexing: str) -> None:
    found = fired(SLUG, design(cable(conductor_class, kind, flexing)))
    assert [finding.subjects for finding in found] == [("C1",)] * count


@pytest.mark.parametrize("flexing", ["", ", flexing: false"])
def test_a_cable_that_lies_still_may_be_rigid(flexing: str) -> None:
    assert fired(SLUG, design(cable("1", "tray", flexing))) == []


def test_an_unknown_class_is_asked_for() -> None:
    plan = design(cable(""))
    assert fired(SLUG, plan) == []
    [item] = open_questions(SLUG, plan)
    assert item.subjects == ("C1",)
    assert "`conductor_class: 5`" in item.missing


def test_wires_to_the_door_bend_with_it() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  H1: {kind: lamp, at: door, rated: 24 V DC 20 mA}
  H2: {kind: lamp, at: door, rated: 24 V DC 20 mA}
wire_types:
  soft: {size: 1 mm2, colour: DBU, length: 1 m, conductor_class: 5}
  hard: {size: 1 mm2, colour: DBU, length: 1 m, conductor_class: 2}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, type: soft}
  - {wire: 2, from: G1:V-, to: H1:X2, type: soft, conductor_class: 1}   #! moving-conductor-rigid
  - {wire: 3, from: H1:X1, to: H2:X1, type: hard}
  - {wire: 4, from: H1:X2, to: H2:X2, type: hard}
""")


def test_it_points_at_the_class_of_the_cable() -> None:
    assert_marked("""
routes:
  way: {kind: chain, at: machine}
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}
  H1: {kind: lamp, at: machine, rated: 24 V DC 20 mA}
cables:
  - cable: C1
    size: 1 mm2
    conductor_class: 1   #! moving-conductor-rigid
    length: 3 m
    route: way
    join: {1: [G1:V+, H1:X1], 2: [G1:V-, H1:X2]}
""")


@given(st.sampled_from(["1", "2", "5", "6"]), st.sampled_from(["chain", "tray", "loom", "conduit", "open"]))
def test_movement_only_adds(conductor_class: str, kind: str) -> None:
    still = fired(SLUG, design(cable(conductor_class, kind)))
    moving = fired(SLUG, design(cable(conductor_class, kind, ", flexing: true")))
    assert len(still) <= len(moving)


def test_what_it_says() -> None:
    """IEC 60204-1 12.2 and table D.4: class 5 or 6 where it moves."""
    [finding] = fired(SLUG, design(cable("1")))
    assert_says(finding, "CAUTION", mend="class 5")


def test_every_single_wire_of_a_rigid_type_is_pointed_at() -> None:
    body = """
routes:
  way: {kind: chain, at: machine}
wire_types:
  rigid: {size: 1 mm2, conductor_class: 1, length: 3 m, route: way}
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}
  H1: {kind: lamp, at: machine, rated: 24 V DC 20 mA}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, type: rigid}
  - {wire: 2, from: G1:V-, to: H1:X2, type: rigid}
"""
    [finding] = fired(SLUG, design(body))
    assert finding.subjects == ("1", "2")
    assert [one.remark for one in finding.because] == ["solid (class 1)"]
