"""Filling of ducts and conduits, areas by hand."""

from __future__ import annotations

from math import pi

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.quantities import parse_wire_size
from wiring.rulebooks.fill import fill_limit, outer_diameter, round_area_mm2

SLUG = "duct-overfilled"


def duct(count: int, size: str, inside: str, kind: str = "duct", enclosure: str = "") -> str:
    """So many single wires from a supply to its load, all in one duct."""
    wires = "\n".join(
        f"  - {{wire: {n}, from: G1:V{'+-'[n % 2]}, to: E{n // 2}:{n % 2 + 1}, size: {size}, length: 1 m, route: way}}"
        for n in range(count)
    )
    loads = "\n".join(f"  E{n}: {{kind: load, rated: 24 V DC 1 W}}" for n in range((count + 1) // 2))
    return f"""
{enclosure}
routes:
  way: {{kind: {kind}, size: {inside}}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}}
{loads}
wires:
{wires}
"""


# NFPA 70 chapter 9 table 5, approximate area of TW, from memory [mm2].
@pytest.mark.parametrize(
    ("size", "area_mm2"),
    [("14 AWG", 8.968), ("12 AWG", 11.68), ("10 AWG", 15.68), ("8 AWG", 28.19), ("6 AWG", 46.84), ("2 AWG", 86.0)],
)
def test_areas_of_table_5(size: str, area_mm2: float) -> None:
    assert round_area_mm2(outer_diameter(parse_wire_size(size)).value) == pytest.approx(area_mm2, rel=0.005)


# EN 50525-2-31 upper limits of the outer diameter, from memory: 2.5 mm2 is 4.1 mm, which is 13.2 mm2. Ten of them are
# 132 mm2; half of 20 x 13.1 mm is 131 mm2, half of 20 x 13.3 mm is 133 mm2 (common practice).
def test_half_of_a_duct_is_the_limit() -> None:
    assert fired(SLUG, design(duct(10, "2.5 mm2", "20 x 13.3 mm"))) == []
    [finding] = fired(SLUG, design(duct(10, "2.5 mm2", "20 x 13.1 mm")))
    assert finding.numbers[0].value == pytest.approx(100 * 10 * pi / 4 * 4.1**2 / (20 * 13.1), rel=1e-6)
    assert finding.limit is not None
    assert finding.limit.value == 50


def test_the_builders_own_figure_counts() -> None:
    own = "enclosure: {duct_fill: 30 %, protection: IP54}"
    assert fired(SLUG, design(duct(10, "2.5 mm2", "20 x 20 mm"))) == []
    [finding] = fired(SLUG, design(duct(10, "2.5 mm2", "20 x 20 mm", enclosure=own)))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(30)
    generous = own.replace("30 %", "90 %")
    assert fired(SLUG, design(duct(10, "2.5 mm2", "20 x 13.1 mm", enclosure=generous))) == []
    [held] = fired(SLUG, design(duct(10, "2.5 mm2", "20 x 13.1 mm", enclosure=generous), "na"))
    assert held.limit is not None
    assert held.limit.source.standard == "NFPA 79"  # 13.5, 50 %, from memory: no wish goes above it


@pytest.mark.parametrize(("count", "percent"), [(1, 53), (2, 31), (3, 40), (9, 40)])
def test_conduits_of_table_1(count: int, percent: float) -> None:
    """NFPA 70 chapter 9 table 1: 53 % for one conductor, 31 % for two, 40 % above (from memory)."""
    assert fill_limit("na", "conduit", count).value == percent


def test_a_conduit_is_round() -> None:
    """Four wires of 13.2 mm2 are 52.8 mm2; 40 % of a conduit of 13 mm (132.7 mm2) are 53.1, of 12.9 mm 52.3 mm2."""
    assert fired(SLUG, design(duct(4, "2.5 mm2", "13 x 13 mm", "conduit"))) == []
    [finding] = fired(SLUG, design(duct(4, "2.5 mm2", "12.9 x 12.9 mm", "conduit")))
    assert "at least 132 mm2" in finding.mend[0]  # 52.8 mm2 / 40 %


def test_a_chain_counts_once() -> None:
    """Five pieces of one chain lie behind each other: 13.2 mm2 in a duct of 40 mm2."""
    body = """
routes:
  way: {kind: duct, size: 8 x 5 mm}
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  E1: {kind: load, rated: 24 V DC 1 W}
  E2: {kind: load, rated: 24 V DC 1 W}
  E3: {kind: load, rated: 24 V DC 1 W}
wires:
  - {wire: 1, through: [G1:V+, E1:1, E2:1, E3:1], size: 2.5 mm2, length: 0.2 m, route: way}
"""
    assert fired(SLUG, design(body)) == []
    star = body.replace("through: [G1:V+, E1:1, E2:1, E3:1]", "star: {from: G1:V+, to: [E1:1, E2:1, E3:1]}")
    assert len(fired(SLUG, design(star))) == 1


CABLE = """
routes:
  way: {kind: duct, size: 15 x 15 mm}
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  E1: {kind: load, rated: 24 V DC 1 W}
cables:
  - {cable: C1, size: 1 mm2, length: 1 m, route: way, join: {1: [G1:V+, E1:1], 2: [G1:V-, E1:2]}}
"""


def test_a_cable_needs_its_diameter() -> None:
    plan = design(CABLE)
    assert fired(SLUG, plan) == []
    [item] = open_questions(SLUG, plan)
    assert item.subjects == ("way", "C1")
    assert "`diameter`" in item.missing
    # half of 15 x 15 mm is 112.5 mm2, the circle of 11.97 mm
    assert fired(SLUG, design(CABLE.replace("length: 1 m", "length: 1 m, diameter: 11.9 mm"))) == []
    assert len(fired(SLUG, design(CABLE.replace("length: 1 m", "length: 1 m, diameter: 12 mm")))) == 1


def test_a_cable_takes_at_least_the_room_of_its_cores() -> None:
    """Eight cores of 2.5 mm2 are 8 x 13.2 = 106 mm2; a conduit of 9 mm has 64 mm2, whatever the sheath takes."""
    cable = "cables:\n  - {cable: C1, cores: 8, size: 2.5 mm2, route: way, join: {JOIN}}\n"
    join = ", ".join(f"{n}: [X1:{n}, X2:{n}]" for n in range(1, 9))
    text = (
        "routes:\n  way: {kind: conduit, size: 9 x 9 mm}\n"
        "parts:\n  X1: {kind: terminals, points: 8}\n  X2: {kind: terminals, points: 8}\n" + cable.replace("JOIN", join)
    )
    assert len(fired(SLUG, design(text))) == 1
    assert fired(SLUG, design(text.replace("9 x 9 mm", "60 x 60 mm"))) == []


def test_a_duct_needs_its_size() -> None:
    [item] = open_questions(SLUG, design(CABLE.replace(", size: 15 x 15 mm", "")))
    assert item.subjects == ("way",)


def test_it_points_at_the_route() -> None:
    assert_marked("""
routes:
  wide: {kind: duct, size: 40 x 60 mm}
  slim: {kind: duct, size: 6 x 6 mm}   #! duct-overfilled
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  H1: {kind: lamp, rated: 24 V DC 20 mA}
  H2: {kind: lamp, rated: 24 V DC 20 mA}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, size: 1.5 mm2, colour: DBU, length: 1 m, route: slim}
  - {wire: 2, from: G1:V-, to: H1:X2, size: 1.5 mm2, colour: DBU, length: 1 m, route: slim}
  - {wire: 3, from: G1:V+, to: H2:X1, size: 1.5 mm2, colour: DBU, length: 1 m, route: slim}
  - {wire: 4, from: G1:V-, to: H2:X2, size: 1.5 mm2, colour: DBU, length: 1 m, route: wide}
""")


@given(st.integers(2, 12), st.integers(0, 6), st.floats(10, 40), st.floats(0, 20))
def test_more_wires_and_a_smaller_duct_never_mend_it(count: int, more: int, side: float, larger: float) -> None:
    few = fired(SLUG, design(duct(count, "2.5 mm2", f"{side:.3f} x 10 mm")))
    many = fired(SLUG, design(duct(count + more, "2.5 mm2", f"{side:.3f} x 10 mm")))
    wide = fired(SLUG, design(duct(count, "2.5 mm2", f"{side + larger:.3f} x 10 mm")))
    assert len(wide) <= len(few) <= len(many)


def test_what_it_says() -> None:
    """Common practice: half of a duct, 50 %; ten wires of 4.1 mm (EN 50525-2-31, from memory)."""
    [finding] = fired(SLUG, design(duct(10, "2.5 mm2", "20 x 13.1 mm")))
    assert_says(
        finding,
        "CAUTION",
        limit=(50.0, "%", "common practice filling of wiring ducts"),
        number=("filled", 100 * 10 * pi / 4 * 4.1**2 / (20 * 13.1), "%"),
        mend="25 x 40 mm",
    )


def test_the_sections_by_hand() -> None:
    """Ten wires of 4.1 mm (EN 50525-2-31, from memory) in 20 x 13.1 mm, in square metres."""
    [finding] = fired(SLUG, design(duct(10, "2.5 mm2", "20 x 13.1 mm")))
    figures = {number.name: number.value for number in finding.numbers}
    assert figures["conductors"] == pytest.approx(10 * pi / 4 * 4.1e-3**2)
    assert figures["section"] == pytest.approx(20e-3 * 13.1e-3)


def laid(size: str) -> str:
    """Thirty wires of 1.5 mm2 between two rows of terminals over one duct on the plate."""
    wires = "\n".join(f"  - {{wire: {n}, from: X1:{n}, to: X2:{n}, size: 1.5 mm2}}" for n in range(1, 31))
    return f"""
enclosure: {{size: 900 x 500 x 200 mm, ducts: {{low: {{at: 0 x 100 mm, length: 849 mm, size: {size}}}}}}}
parts:
  X1: {{kind: terminals, points: 30, size: 200 x 60 x 50 mm, position: 10 x 250 mm}}
  X2: {{kind: terminals, points: 30, size: 200 x 60 x 50 mm, position: 600 x 250 mm}}
wires:
{wires}
"""


def test_a_duct_on_the_plate_counts_at_its_fullest_place() -> None:
    """All thirty lie between the rows: 30 x pi/4 x 3.4^2 = 272.4 mm2 (EN 50525-2-31), and 50 % may be filled."""
    area = 30 * pi / 4 * 3.4**2
    assert not fired(SLUG, design(laid("20 x 30 mm")))
    [finding] = fired(SLUG, design(laid("20 x 25 mm")))
    assert finding.subjects == ("low",)
    [filled] = [one.value for one in finding.numbers if one.name == "filled"]
    assert filled == pytest.approx(100 * area / (20 * 25))
    assert "25 x 40 mm" in finding.mend[0]
