"""Bare live terminals, against the sentences of IEC 60204-1, 6.2.2 and the end of extra-low voltage, 50 V AC."""

from __future__ import annotations

import pytest
from marked_plans import fired, open_questions, read
from says import assert_says

from wiring.design.design import Design

SLUG = "live-terminals-bare"
PLAN = """\
format: 1
machine: Box
rulebook: {book}
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
enclosure: {{material: painted-steel{opens}}}
parts:
  X0: {{kind: inlet, rated: 16 A, touch: IP2X}}
  Q1: {{kind: disconnector, poles: 2, rated: 16 A{switch}}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A{supply}}}
  T1: {{kind: transformer, primary: 230 V, secondary: 24 V, rated: 63 VA{transformer}}}
  H1: {{kind: lamp, rated: 24 V DC 1 W{lamp}}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1}}
  - {{wire: 2, from: X0:N, to: Q1:3}}
  - {{wire: 3, from: Q1:2, to: G1:L}}
  - {{wire: 4, from: Q1:4, to: G1:N}}
  - {{wire: 5, from: Q1:{before}, to: T1:1.1}}
  - {{wire: 6, from: Q1:4, to: T1:1.2}}
  - {{wire: 7, from: G1:V+, to: H1:X1}}
  - {{wire: 8, from: G1:V-, to: H1:X2}}
"""


def box(opens: str = "", before: str = "2", book: str = "iec", **touch: str) -> Design:
    """The box with its door, its transformer behind or before the main switch, and how parts are built."""
    parts = {
        name: f", touch: {touch[name]}" if name in touch else "" for name in ("switch", "supply", "transformer", "lamp")
    }
    return read(PLAN.format(opens=f", opens: {opens}" if opens else "", before=before, book=book, **parts))


@pytest.mark.parametrize("opens", ["tool", "interlock", "free", ""])
def test_what_stays_live_with_the_switch_off_is_covered_whatever_the_door(opens: str) -> None:
    """6.2.2, from a commentary on it: what is still live after disconnecting is at least IP2X. Mains of 230 V are above
    50 V AC (IEC 61140)."""
    [finding] = [
        one for one in fired(SLUG, box(opens, switch="bare", transformer="cover")) if "enclosure" not in one.subjects
    ]
    assert finding.subjects == ("Q1",)
    assert_says(
        finding,
        "WARNING",
        limit=(50.0, "V", "IEC 61140 4.2 and annex"),
        number=("voltage", 230.0, "V"),
        mend="Put a cover over the terminals of Q1",
    )
    covered = fired(SLUG, box(opens, switch="IP2X", transformer="cover"))
    assert all("enclosure" in one.subjects for one in covered)


@pytest.mark.parametrize(
    ("opens", "fires", "asks"),
    [("tool", False, False), ("interlock", False, False), ("free", True, False), ("", False, True)],
)
def test_what_the_switch_cuts_off_may_be_bare_behind_a_door_that_takes_care(
    opens: str, fires: bool, asks: bool
) -> None:
    """6.2.2 a) a key or tool, b) disconnection before the door opens, c) else IP2X for all."""
    design = box(opens, supply="bare", transformer="cover")
    assert bool(fired(SLUG, design)) is fires
    assert bool(open_questions(SLUG, design)) is asks


def test_extra_low_voltage_may_be_bare() -> None:
    """24 V DC is below 120 V (IEC 61140) and 60 V (NFPA 79, 6.2.3)."""
    for book in ("iec", "na"):
        found = fired(SLUG, box("free", book=book, lamp="bare", transformer="IP2X"))
        assert not any("H1" in one.subjects for one in found)


@pytest.mark.parametrize(
    ("opens", "before", "asks"), [("tool", "2", False), ("", "2", True), ("free", "2", True), ("tool", "1", True)]
)
def test_what_is_often_built_open_is_asked_for(opens: str, before: str, asks: bool) -> None:
    """A transformer with screws on top: behind the switch the door may take care of it, before it nothing does."""
    assert bool(open_questions(SLUG, box(opens, before))) is asks
    assert not open_questions(SLUG, box(opens, before, transformer="IP2X"))


@pytest.mark.parametrize(("book", "supply", "told"), [("iec", "", True), ("iec", "IP2X", False), ("na", "IP2X", True)])
def test_a_door_that_anyone_opens_is_told_for_the_cabinet(book: str, supply: str, told: bool) -> None:
    """IEC 60204-1, 6.2.2 c): without tool or disconnection all live parts are IP2X; NFPA 79, 6.2.3 has no such door."""
    touch = {"switch": "IP2X", "transformer": "cover"} | ({"supply": supply} if supply else {})
    found = fired(SLUG, box("free", book=book, **touch))
    assert [one.subjects[0] for one in found] == (["enclosure"] if told else [])
    if told:
        assert "opens freely while" in found[0].summary
        assert "230 V" in found[0].summary


@pytest.mark.parametrize(("opens", "book", "count"), [("tool", "iec", 1), ("interlock", "iec", 0), ("tool", "na", 0)])
def test_what_hangs_on_the_door_is_covered_though_a_tool_opens_it(opens: str, book: str, count: int) -> None:
    """IEC 60204-1, 6.2.2 a) (from memory): live parts on the inside of doors are at least IP1X."""
    found = fired(SLUG, box(opens, book=book, supply="bare, at: door", transformer="IP2X"))
    assert [one.subjects for one in found] == [("G1",)] * count
    assert all("inside of the door" in one.summary and one.signal == "CAUTION" for one in found)
