"""Contacts that close on more than they make."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions

SLUG = "inrush-welds-contact"


def behind(contact: str, first: str, second: str, inrush: str = ", inrush: 40 A") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  K1: {contact}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, class: II{inrush}}}
wires:
  - {{wire: 1, from: X0:L, to: "K1:{first}"}}
  - {{wire: 2, from: "K1:{second}", to: G1:L}}
  - {{wire: 3, from: "X0:N", to: "G1:N"}}
"""


def contactor(data: str) -> str:
    return f"{{kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode{data}}}"


# IEC 60947-4-1, table 7: AC-1 makes 1.5 times, AC-3 ten times the rated current; the part's own marking counts first.
@pytest.mark.parametrize(
    ("data", "fires"),
    [
        (", rated: 4.1 A, category: AC-3", False),
        (", rated: 3.9 A, category: AC-3", True),
        (", rated: 27 A, category: AC-1", False),
        (", rated: 26 A, category: AC-1", True),
        (", rated: 3.9 A, category: AC-3, making: 40 A", False),
    ],
)
def test_the_limit_of_a_contactor(data: str, fires: bool) -> None:
    found = fired(SLUG, design(behind(contactor(data), "1", "2")))
    assert [item.subjects for item in found] == ([("K1", "G1")] if fires else [])


def test_a_main_switch_by_its_marking() -> None:
    switch = "{{kind: disconnector, poles: 1, rated: 10 A, making: {} A}}"
    assert fired(SLUG, design(behind(switch.format(39), "1", "2")))
    assert not fired(SLUG, design(behind(switch.format(41), "1", "2")))


def test_the_finding_points_at_what_it_can_make() -> None:
    found = fired(SLUG, design(behind(contactor(", rated: 3 A, category: AC-3"), "1", "2")))
    assert found[0].place is not None
    assert found[0].place.line == 8


def test_a_contactor_without_data_is_not_judged() -> None:
    found = design(behind(contactor(""), "1", "2"))
    assert not fired(SLUG, found)
    assert "making" in open_questions(SLUG, found)[0].missing
    assert not open_questions(SLUG, design(behind(contactor(""), "1", "2", ", inrush: 0 A")))
