"""Parts of the power circuit against the short-circuit current of the supply, by the North American book."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "panel-rating-too-small"


def fed(part: str, ends: str, fault: str = "5 kA", given: bool = True) -> str:
    """One part between the inlet and a load; `ends` are its two terminals."""
    first, second = ends.split()
    current = f", fault_current: {fault}" if given else ""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, frequency: 60 Hz, earthing: TN-S{current},
        upstream: {{kind: fuse, rating: 15 A, class: J}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 15 A}}
  Q1: {part}
  E1: {{kind: load, rated: 120 V AC 100 W}}
wires:
  - {{wire: 1, from: X0:L, to: "Q1:{first}", size: 12 AWG, insulation: thhn, length: 1 ft}}
  - {{wire: 2, from: "X0:N", to: E1:2, size: 12 AWG, insulation: thhn, length: 4 ft, colour: WH}}
  - {{wire: 3, from: "Q1:{second}", to: E1:1, size: 12 AWG, insulation: thhn, length: 3 ft}}
"""


SWITCH = "{kind: disconnector, poles: 1, rated: 20 A}"


def test_the_finding_points_at_the_weakest_part() -> None:
    terminals = "{kind: terminals, points: 2, bridged: [1-2]}   #! " + SLUG
    assert_marked(fed(terminals, "1 2", "12 kA"), "na")


# UL 508A, supplement SB, table SB4.1: switch unit 5 kA, motor controller up to 50 hp 5 kA, terminals 10 kA.
@pytest.mark.parametrize(
    ("part", "ends", "fault", "fires"),
    [
        (SWITCH, "1 2", "5 kA", False),
        (SWITCH, "1 2", "5.1 kA", True),
        ("{kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode}", "1 2", "5 kA", False),
        ("{kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode}", "1 2", "5.1 kA", True),
        ("{kind: terminals, points: 2, bridged: [1-2]}", "1 2", "10 kA", False),
        ("{kind: terminals, points: 2, bridged: [1-2]}", "1 2", "10.1 kA", True),
        ("{kind: fuse, rating: 10 A, class: CC}", "1 2", "10 kA", False),
        ("{kind: fuse, rating: 10 A, class: CC}", "1 2", "10.1 kA", True),
    ],
)
def test_the_default_of_each_kind(part: str, ends: str, fault: str, fires: bool) -> None:
    assert [item.subjects for item in fired(SLUG, design(fed(part, ends, fault), "na"))] == ([("Q1",)] if fires else [])


def test_the_iec_book_has_no_such_rating() -> None:
    assert not fired(SLUG, design(fed(SWITCH, "1 2", "20 kA"), "iec"))


def test_without_a_fault_current_nothing_is_judged() -> None:
    found = design(fed(SWITCH, "1 2", given=False), "na")
    assert not fired(SLUG, found)
    assert "fault_current" in open_questions(SLUG, found)[0].missing


@pytest.mark.parametrize(("rating", "fires"), [("9 kA", False), ("8.9 kA", True)])
def test_a_marking_counts_before_the_default(rating: str, fires: bool) -> None:
    part = f"{{kind: disconnector, poles: 1, rated: 20 A, short_circuit_rating: {rating}}}"
    assert bool(fired(SLUG, design(fed(part, "1 2", "9 kA"), "na"))) is fires


def test_parts_that_the_mains_do_not_reach_do_not_count() -> None:
    body = fed("{kind: terminals, points: 2, bridged: [1-2]}", "1 2", "9 kA")
    assert not fired(SLUG, design(body.replace("  E1:", f"  Q2: {SWITCH}\n  E1:"), "na"))


def test_every_part_below_is_named_the_weakest_first() -> None:
    """UL 508A table SB4.1: an overload relay and a contactor 5 kA, a fuse holder 10 kA; Q1 is marked 9 kA."""
    body = fed("{kind: disconnector, poles: 1, rated: 20 A, short_circuit_rating: 9 kA}", "1 2", "12 kA")
    more = """  K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W}
  F1: {kind: motor-protector, poles: 1, setting: 1 A, magnetic: false, contacts: {95-96: NC}}
  F2: {kind: fuse, rating: 10 A, class: CC}
  F3: {kind: motor-protector, poles: 1, setting: 1 A, breaking: 50 kA}
  X1: {kind: terminals, points: 2, short_circuit_rating: 20 kA}
"""
    ends = ["Q1:2>F2:1", "F2:2>K1:1", "K1:2>F1:1", "F1:2>F3:1", "F3:2>X1:1"]
    body += "".join(
        f"  - {{wire: 9{n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    [finding] = fired(SLUG, design(body.replace("  E1:", f"{more}  E1:"), "na"))
    assert finding.subjects == ("F1", "K1", "Q1", "F2")


def test_what_it_says() -> None:
    """UL 508A table SB4.1: 5000 A for a switch that is not marked; the supply gives 5100 A, and parts are
    marked 6 kA."""
    [finding] = fired(SLUG, design(fed(SWITCH, "1 2", "5.1 kA"), "na"))
    assert_says(
        finding,
        "WARNING",
        limit=(5000.0, "A", "UL 508A supplement SB, table SB4.1"),
        number=("fault current", 5100.0, "A"),
        mend="6 kA or more",
    )
