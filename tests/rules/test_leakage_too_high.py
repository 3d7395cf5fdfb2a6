"""Leakage: 10 mA and 10 mm2 (IEC 60204-1:2016, 8.2.6), 3.5 mA for a drive (makers), 30 % of an RCD (from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.parts.key_texts import key_text
from wiring.parts.kinds import KIND_NAMES, kind_model
from wiring.rules.leakage_too_high import requirements

SLUG = "leakage-too-high"


def body(leak_ma: float, size: str = "2.5 mm2", second: str = "", branch: str = "10 mm2") -> str:
    return f"""
parts:
  X0: {{kind: inlet}}
  Z1: {{kind: filter, leakage: {leak_ma} mA}}
  XPE: {{kind: earth-bar, points: 6}}
wires:
  - {{wire: 1, from: X0:L, to: Z1:L}}
  - {{wire: 2, from: X0:N, to: Z1:N}}
  - {{wire: PE1, from: X0:PE, to: XPE:1, size: {size}}}   #! leakage-too-high
  - {{wire: PE2, from: XPE:2, to: Z1:PE, size: {branch}}}
{second}"""


def test_a_thin_single_protective_conductor() -> None:
    assert_marked(body(12.0))


@pytest.mark.parametrize(
    ("leak_ma", "size", "fires"),
    [(10.0, "2.5 mm2", False), (10.1, "2.5 mm2", True), (50.0, "10 mm2", False), (50.0, "6 mm2", True)],
)
def test_the_limits_of_8_2_6(leak_ma: float, size: str, fires: bool) -> None:
    """IEC 60204-1:2016, 8.2.6: above 10 mA a protective conductor of 10 mm2 copper, or a second one."""
    assert bool(fired(SLUG, design(body(leak_ma, size)))) is fires


@pytest.mark.parametrize(
    ("leak_ma", "branch", "fires"),
    [(10.0, "2.5 mm2", False), (10.1, "2.5 mm2", True), (50.0, "6 mm2", True), (50.0, "10 mm2", False)],
)
def test_every_section_on_the_way_counts(leak_ma: float, branch: str, fires: bool) -> None:
    """IEC 60204-1:2016, 8.2.6: the integrity of each section of the associated protective conductor (from memory)."""
    assert bool(fired(SLUG, design(body(leak_ma, "10 mm2", branch=branch)))) is fires


def test_a_second_conductor_beside_a_thin_one_is_a_measure() -> None:
    second = "  - {wire: PE3, from: XPE:3, to: Z1:PE, size: 2.5 mm2}\n"
    assert not fired(SLUG, design(body(50.0, "10 mm2", second, branch="2.5 mm2")))


def test_two_thin_sections_of_one_way_are_one_finding() -> None:
    [finding] = fired(SLUG, design(body(50.0, "2.5 mm2", branch="2.5 mm2")))
    assert finding.subjects == ("PE1", "PE2", "Z1")


@pytest.mark.parametrize(
    ("connection", "method", "branch", "named"),
    [
        ("fixed", "B1", "10 mm2", ()),
        ("fixed", "C", "10 mm2", ("PE1", "Z1")),
        ("polarised plug", "B1", "10 mm2", ("PE1", "Z1")),
        ("fixed", "B1", "2.5 mm2", ("PE2", "Z1")),
    ],
)
def test_a_way_that_cabinet_and_conduit_enclose(
    connection: str, method: str, branch: str, named: tuple[str, ...]
) -> None:
    """IEC 60204-1:2016, 8.2.6 a): completely enclosed for its whole length (from memory); B1 is conduit, C a cable on
    the wall (IEC 60364-5-52, table A.52.3)."""
    mains = (
        f"mains: {{inlet: X0, system: single-phase, voltage: 230 V, connection: {connection}, "
        f"feed: {{size: 2.5 mm2, method: {method}}}}}\n"
    )
    assert [one.subjects for one in fired(SLUG, design(mains + body(12.0, branch=branch)))] == (
        [named] if named else []
    )


def drive(leak_ma: float) -> str:
    return f"""
parts:
  X0: {{kind: inlet}}
  T1: {{kind: inverter, supply: 230 V AC, rated: 1 kW, leakage: {leak_ma} mA}}
wires:
  - {{wire: 1, from: X0:L, to: T1:L}}
  - {{wire: 2, from: X0:N, to: T1:N}}
  - {{wire: PE1, from: X0:PE, to: T1:PE, size: 2.5 mm2}}
"""


@pytest.mark.parametrize(("leak_ma", "fires"), [(3.5, False), (3.6, True)])
def test_a_drive_counts_from_three_and_a_half_milliamperes(leak_ma: float, fires: bool) -> None:
    """Drive makers, after IEC 61800-5-1: above 3.5 mA AC."""
    assert bool(fired(SLUG, design(drive(leak_ma)))) is fires


def behind_rcd(leak_ma: float) -> str:
    return f"""
parts:
  X0: {{kind: inlet}}
  F1: {{kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}}   #! leakage-too-high
  Z1: {{kind: filter, leakage: {leak_ma} mA}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1}}
  - {{wire: 2, from: X0:N, to: F1:3}}
  - {{wire: 3, from: F1:2, to: Z1:L}}
  - {{wire: 4, from: F1:4, to: Z1:N}}
  - {{wire: PE1, from: X0:PE, to: Z1:PE, size: 2.5 mm2}}
"""


def test_too_much_behind_a_residual_current_device() -> None:
    assert_marked(behind_rcd(9.5))


def test_what_a_relay_that_is_off_lets_through_flows_on_through_its_load() -> None:
    """By Kirchhoff's first law what passes the open contact returns by the neutral: the device sees no difference."""
    text = """
parts:
  X0: {kind: inlet}
  XPE: {kind: earth-bar, points: 3}
  F1: {kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}
  K1: {kind: solid-state-relay, control: 4..32 V DC, rated: 10 A, rated_voltage: 24..280 V AC, leakage: 12 mA}
  E1: {kind: heater, rated: 230 V AC 500 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1}
  - {wire: 2, from: "X0:N", to: F1:3}
  - {wire: 3, from: F1:2, to: K1:1}
  - {wire: 4, from: K1:2, to: E1:1}
  - {wire: 5, from: F1:4, to: E1:2}
  - {wire: PE1, from: X0:PE, to: XPE:1, size: 2.5 mm2}
  - {wire: PE2, from: XPE:2, to: E1:PE, size: 2.5 mm2}
"""
    assert not fired(SLUG, design(text))


def leaking_kinds() -> list[str]:
    return [kind for kind in KIND_NAMES if "leakage" in kind_model(kind).model_fields]


def test_kinds_leak_to_earth_or_through_an_output_that_is_off() -> None:
    assert {"filter", "inverter", "supply", "solid-state-relay", "sensor"} <= set(leaking_kinds())


@pytest.mark.parametrize("kind", leaking_kinds())
def test_a_kind_says_where_its_leakage_flows(kind: str) -> None:
    """What a person reads of the key is what the rule takes it for."""
    way = "protective conductor" if kind_model(kind).leaks_to_earth else "while it is off"
    assert way in key_text(kind, "leakage")


@pytest.mark.parametrize(("leak_ma", "fires"), [(9.0, False), (9.1, True)])
def test_thirty_percent_of_the_residual_current(leak_ma: float, fires: bool) -> None:
    """0.3 times 30 mA is 9 mA (IEC 60364-5-53, 531.3.2, from memory)."""
    assert bool(fired(SLUG, design(behind_rcd(leak_ma)))) is fires


def test_a_filter_without_a_figure_is_not_judged() -> None:
    text = body(1.0).replace(", leakage: 1.0 mA", "")
    assert "leakage" in open_questions(SLUG, design(text))[0].missing


def test_an_unknown_size_is_not_judged() -> None:
    text = body(12.0).replace(", size: 2.5 mm2}   #!", "}   #!")
    assert "size" in open_questions(SLUG, design(text))[0].missing


@given(st.floats(0.1, 30.0), st.floats(0.0, 10.0))
def test_more_leakage_never_helps(leak_ma: float, more_ma: float) -> None:
    first, second = (bool(fired(SLUG, design(body(round(x, 2))))) for x in (leak_ma, leak_ma + more_ma))
    assert second or not first


def test_what_it_says() -> None:
    """IEC 60204-1 8.2.6: above 10 mA a conductor of 10 mm2."""
    [finding] = fired(SLUG, design(body(10.1)))
    assert_says(
        finding,
        "WARNING",
        limit=(10 / 1000, "A", "IEC 60204-1 8.2.6"),
        number=("leakage", 10.1 / 1000, "A"),
        mend="Make PE1 of 10 mm2",
    )


@pytest.mark.parametrize(("residual", "fires"), [("30 mA", True), ("300 mA", False)])
def test_the_device_of_the_building_bears_three_tenths_too(residual: str, fires: bool) -> None:
    """9.5 mA are more than 0.3 x 30 mA and less than 0.3 x 300 mA (common practice, as above)."""
    text = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, rcd: {{residual: {residual}, type: A}}}}
parts:
  X0: {{kind: inlet}}
  Z1: {{kind: filter, leakage: 9.5 mA}}
wires:
  - {{wire: 1, from: X0:L, to: Z1:L}}
  - {{wire: 2, from: "X0:N", to: "Z1:N"}}
  - {{wire: PE1, from: X0:PE, to: Z1:PE, size: 10 mm2}}
"""
    assert bool(fired(SLUG, design(text))) is fires


@pytest.mark.parametrize(
    ("leak_ma", "more", "wanted"),
    [
        (3.6, "", ["PE1"]),
        (3.5, "", []),
        (3.6, "  - {wire: PE2, from: X0:PE, to: T1:PE, size: 2.5 mm2}\n", []),
    ],
)
def test_the_one_protective_conductor_of_a_drive_is_asked_for(leak_ma: float, more: str, wanted: list[str]) -> None:
    """Drive makers, after IEC 61800-5-1: above 3.5 mA 10 mm2 of copper, or a second conductor."""
    asked = list(requirements(design(drive(leak_ma) + more)))
    assert [one.item for one in asked] == wanted
    assert all(one.least == 10.0 for one in asked)


@pytest.mark.parametrize(
    ("supply", "fires"),
    [
        ("input: 230 V AC", True),
        ("input: 230 V AC, leakage: 1 mA", False),
        ("input: 230 V AC, class: II", False),
        ("input: 100..400 V DC", False),
    ],
)
def test_supplies_that_say_nothing_may_leak_what_class_i_may(supply: str, fires: bool) -> None:
    """Class I leaks up to 3.5 mA (IEC 62368-1, 5.7.6, from memory): three are 10.5 mA, of which 0.3 x 30 mA are too
    little. Without a path to earth, and on direct current, nothing leaks at the frequency of the mains."""
    text = """
parts:
  X0: {kind: inlet}
  F1: {kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}
""" + "".join(f"  G{n}: {{kind: supply, {supply}, output: 24 V DC, rated: 2 A}}\n" for n in (1, 2, 3))
    ends = ("IN+", "IN-") if supply.endswith("V DC") else ("L", "N")
    text += "wires:\n  - {wire: 1, from: X0:L, to: F1:1}\n  - {wire: 2, from: X0:N, to: F1:3}\n"
    for n in (1, 2, 3):
        for point, end in zip(("F1:2", "F1:4"), ends, strict=True):
            text += f"  - {{wire: {n}{end[-1]}, from: {point}, to: 'G{n}:{end}'}}\n"
    assert bool(open_questions(SLUG, design(text))) is fires
