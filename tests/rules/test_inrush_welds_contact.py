"""Contacts that close on more than they make."""

from __future__ import annotations

import pytest
from helpers import HEAD, design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says

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


def rail(contact: str = ", making: 60 A", way_m: float = 1.0, parts: str = "", wires: str = "") -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A}}
  K1: {{kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode{contact}}}
  D1: {{kind: stepper-drive, supply: 24..60 V DC, phase_current: 4.2 A peak, bus_capacitance: 1000 µF}}
{parts}wires:
  - {{wire: 1, from: G1:V+, to: "K1:1", size: 2.5 mm2, length: {way_m} m}}
  - {{wire: 2, from: "K1:2", to: D1:V+, size: 2.5 mm2, length: {way_m} m}}
  - {{wire: 3, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: {2 * way_m} m}}
{wires}"""


# By hand: 48 V over 4.8 milliohm of the supply (0.1 % of 48 V at 10 A), 3 milliohm of the pole and 4 m of 2.5 mm2 at
# 7.98 mohm/m (IEC 60228, class 5): 39.72 milliohm, 1208 A.
PEAK_A = 48.0 / (0.0048 + 0.003 + 4 * 0.00798)


@pytest.mark.parametrize("book", ["iec", "na"])
@pytest.mark.parametrize(("factor", "fires"), [(1.01, False), (0.99, True)])
def test_empty_capacitors_behind_a_contact(factor: float, fires: bool, book: str) -> None:
    found = fired(SLUG, design(rail(f", making: {factor * PEAK_A:.1f} A"), book))
    assert [item.subjects for item in found] == ([("K1", "D1")] if fires else [])


def test_a_category_says_nothing_of_capacitors() -> None:
    found = design(rail(", rated: 200 A, category: DC-1"))
    assert not fired(SLUG, found)
    assert [item.subjects for item in open_questions(SLUG, found)] == [("K1",)]


def test_a_resistor_round_the_contact_fills_them_first() -> None:
    parts = "  R1: {kind: resistor, resistance: 47 ohm}\n"
    wires = '  - {wire: 4, from: "K1:1", to: "R1:1"}\n  - {wire: 5, from: "R1:2", to: "K1:2"}\n'
    found = design(rail(parts=parts, wires=wires))
    assert not fired(SLUG, found)
    assert not open_questions(SLUG, found)


def test_two_drives_share_the_wires_to_the_contact() -> None:
    """A second drive adds what its own wire lets through, and both never more than the wires up to the contact do."""
    parts = "  D2: {kind: stepper-drive, supply: 24..60 V DC, phase_current: 4.2 A peak, bus_capacitance: 1 mF}\n"
    wires = '  - {wire: 4, from: "K1:2", to: D2:V+, size: 2.5 mm2, length: 1 m}\n'
    wires += "  - {wire: 5, from: G1:V-, to: D2:V-, size: 2.5 mm2, length: 2 m}\n"
    (row,) = design(rail(parts=parts, wires=wires)).transients.capacitor_inrushes
    assert row.parts == ("D1", "D2")
    assert PEAK_A < row.amps <= 48.0 / (0.0048 + 0.003 + 0.00798) * 1.001


def test_the_finding_on_capacitors_points_at_the_marking() -> None:
    body = rail().replace(
        "  K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, making: 60 A}",
        "  K1:\n    kind: contactor\n    poles: 1\n    coil: 24 V DC 3 W\n    suppressor: diode\n"
        f"    making: 60 A      #! {SLUG}",
    )
    found = fired(SLUG, design(body))
    assert [item.place.line for item in found if item.place] == [
        n + HEAD.count("\n") for n, line in enumerate(body.splitlines(), 1) if "#!" in line
    ]


@given(st.floats(0.1, 20.0), st.floats(1.01, 5.0))
def test_longer_wires_never_raise_the_peak(way_m: float, factor: float) -> None:
    near, far = (design(rail(way_m=way)).transients.capacitor_inrushes[0].amps for way in (way_m, way_m * factor))
    assert far < near


@pytest.mark.parametrize(("microfarads", "fires"), [(220, False), (1700, False), (1800, True), (10000, True)])
def test_a_spark_of_less_than_a_joule_welds_nothing(microfarads: int, fires: bool) -> None:
    """Half of C times V squared: 0.1 J in 220 µF and 1.04 J in 1,800 µF at 34 V (the bound of a joule is our own)."""
    plan = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 34 V DC, rated: 20 A, output_capacitance: 4 mF}}
  K1: {{kind: contactor, poles: 1, coil: 24 V DC 3 W, making: 50 A, suppressor: zener}}
  D1: {{kind: stepper-drive, supply: 18..50 V DC, phase_current: 2 A peak, bus_capacitance: {microfarads} µF}}
wires:
  - {{wire: 1, from: G1:V+, to: "K1:1", size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "K1:2", to: D1:V+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}}
"""
    found = [one for one in fired(SLUG, design(plan)) if "D1" in one.subjects]
    assert bool(found) is fires


def test_what_it_says() -> None:
    """IEC 60947-4-1 table 7: AC-3 makes ten times 3.9 A; the supply draws 40 A. 9 A is the smallest contactor sold."""
    [finding] = fired(SLUG, design(behind(contactor(", rated: 3.9 A, category: AC-3"), "1", "2")))
    assert_says(
        finding,
        "CAUTION",
        limit=(10 * 3.9, "A", "IEC 60947-4-1 table 7"),
        number=("inrush", 40.0, "A"),
        mend="contactor of 9 A",
    )
