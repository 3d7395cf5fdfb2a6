"""The feed from the building, by published examples and tables of the building's wiring."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from published_rows import worked
from says import assert_says

from wiring.rulebooks.conductors import MM2_PER_CIRCULAR_MIL

SLUG = "building-feed-too-small"


def body(feed: str, rating: float, system: str = "three-phase", marked: str = "", kind: str = "breaker") -> str:
    three = system == "three-phase"
    poles = "[L1, L2, L3, N, PE]" if three else "[L, N, PE]"
    device = f"{{kind: {kind}, rating: {rating} A{', curve: C' if kind == 'breaker' else ', class: gG'}}}"
    return f"""
mains: {{inlet: X0, system: {system}, voltage: {400 if three else 230} V, upstream: {device}, feed: {{{feed}}}}}
parts:
  X0: {{kind: inlet, poles: {poles}{marked}}}
"""


MARKED_75 = ", terminal_temperature: 75 °C"


# Worked examples of NFPA 70 310.16 with corrections: 2 AWG at 100 °F 101.2 A, 1 AWG among seven at 88 °F 97.44 A,
# 10 AWG among twenty-four 18 A, for which 240.4(D) and the next standard size leave 20 A.
@pytest.mark.parametrize(
    ("example", "feed", "next_standard", "too_large"),
    [
        ("B01", "size: 2 AWG, insulation: THWN, ambient: 100 °F", 110, 125),
        ("B03", "size: 1 AWG, insulation: RHH, ambient: 88 °F, grouped_with: 2", 100, 110),
    ],
)
def test_worked_examples_of_table_310_16(example: str, feed: str, next_standard: float, too_large: float) -> None:
    row = worked("ampacity")[example]
    assert fired(SLUG, design(body(feed, next_standard, marked=MARKED_75), "na")) == []
    [finding] = fired(SLUG, design(body(feed, too_large, marked=MARKED_75), "na"))
    [ampacity] = [number.value for number in finding.numbers if number.name == "ampacity"]
    assert abs(ampacity - row.expected["ampacity_A"]) <= row.limit(row.expected["ampacity_A"])


# IEC 60364-5-52 B.52.2 and B.52.4, PVC, copper, 30 °C: B2 two loaded 1.5 mm2 16.5 A, 2.5 mm2 23 A; C 19.5 and 27 A;
# three loaded B2 15 and 20 A.
@pytest.mark.parametrize(
    ("size", "method", "system", "carries"),
    [
        ("1.5 mm2", "B2", "single-phase", 16.5),
        ("2.5 mm2", "B2", "single-phase", 23.0),
        ("1.5 mm2", "C", "single-phase", 19.5),
        ("2.5 mm2", "C", "single-phase", 27.0),
        ("1.5 mm2", "B2", "three-phase", 15.0),
        ("2.5 mm2", "B2", "three-phase", 20.0),
    ],
)
def test_the_tables_of_the_building(size: str, method: str, system: str, carries: float) -> None:
    feed = f"size: {size}, insulation: pvc-70, method: {method}, ambient: 30 °C"
    assert fired(SLUG, design(body(feed, carries, system))) == []
    [finding] = fired(SLUG, design(body(feed, carries + 0.5, system)))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(carries)


def test_a_fuse_that_lets_more_pass_is_smaller() -> None:
    """IEC 60364-4-43 433.1: gG 20 A lets 32 A pass, above 1.45 times 20 A; 16 A lets 25.6 A pass."""
    feed = "size: 2.5 mm2, insulation: pvc-70, method: B2, ambient: 30 °C"
    assert fired(SLUG, design(body(feed, 20, kind="fuse")))
    assert fired(SLUG, design(body(feed, 16, kind="fuse"))) == []


# NFPA 70 table 250.122: 10 AWG to 60 A, 8 AWG to 100 A; IEC 60364-5-54 table 54.2: as the line to 16 mm2.
@pytest.mark.parametrize(
    ("book", "feed", "rating", "fires"),
    [
        ("na", "size: 6 AWG, insulation: THWN, protective_size: 10 AWG", 60, False),
        ("na", "size: 4 AWG, insulation: THWN, protective_size: 10 AWG", 80, True),
        ("na", "size: 4 AWG, insulation: THWN, protective_size: 8 AWG", 80, False),
        ("iec", "size: 6 mm2, insulation: pvc-70, method: C, protective_size: 4 mm2", 25, True),
        ("iec", "size: 6 mm2, insulation: pvc-70, method: C", 25, False),
    ],
)
def test_the_protective_conductor_of_the_feed(book: str, feed: str, rating: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(body(feed, rating, marked=MARKED_75), book))) is fires


# NFPA 70 250.122(B), printed examples: 300 A, lines grown from 250 to 350 kcmil, 4 AWG grows to 58,436 circular mils
# or 2 AWG; 40 A, lines grown from 8 to 6 AWG, 10 AWG grows to 16,504 circular mils or 8 AWG.
@pytest.mark.parametrize(
    ("example", "feed", "rating", "fits", "thinner"),
    [
        ("D03", "size: 350 kcmil, insulation: THW", 300, "2 AWG", "3 AWG"),
        ("D04", "size: 6 AWG, insulation: THW", 40, "8 AWG", "10 AWG"),
    ],
)
def test_the_protective_conductor_grows_with_the_line(
    example: str, feed: str, rating: float, fits: str, thinner: str
) -> None:
    row = worked("protective_conductor")[example]
    marked = MARKED_75 if rating > 100 else ""
    assert f"{row.expected['egc_awg']} AWG" == fits
    assert fired(SLUG, design(body(f"{feed}, protective_size: {fits}", rating, marked=marked), "na")) == []
    [finding] = fired(SLUG, design(body(f"{feed}, protective_size: {thinner}", rating, marked=marked), "na"))
    assert finding.limit is not None
    assert "250.122(B)" in finding.limit.source.clause
    assert finding.limit.value / MM2_PER_CIRCULAR_MIL == pytest.approx(
        row.expected["needed_cmil"], rel=0.006
    )  # of the gauges
    assert fits in finding.mend[0]


def test_the_protective_conductor_is_never_thicker_than_the_line() -> None:
    """NFPA 70 250.122(A): beside 2 AWG instead of 14 AWG the ratio of 16 asks for the size of the line and no more."""
    feed = "size: 2 AWG, insulation: THW, protective_size: 2 AWG"
    assert fired(SLUG, design(body(feed, 15, marked=MARKED_75), "na")) == []


@pytest.mark.parametrize(
    ("book", "feed"),
    [
        ("iec", "size: 2.5 mm2, insulation: pvc-70, method: B2, ambient: 95 °C, grouped_with: 0"),
        ("na", "size: 12 AWG, insulation: THWN, ambient: 95 °C, grouped_with: 0"),
    ],
)
def test_a_feed_in_air_hotter_than_its_insulation_bears_carries_nothing(book: str, feed: str) -> None:
    """No current is left where the air alone is hotter than the insulation may be, 70 and 75 °C, and none is rounded up
    to a standard rating (derivation: nothing may flow that heats it further)."""
    [finding] = fired(SLUG, design(body(feed, 16, system="single-phase", marked=MARKED_75), book))
    assert finding.limit is not None
    assert finding.limit.value == 0.0
    assert "cooler" in finding.mend[0]


def test_what_is_missing_is_asked() -> None:
    assert "size" in open_questions(SLUG, design(body("length: 10 m", 16)))[0].missing
    asked = [one.missing for one in open_questions(SLUG, design(body("size: 2.5 mm2", 16)))]
    assert [word in one for word, one in zip(("lies together", "laid"), asked, strict=True)] == [True, True]


def test_what_it_says() -> None:
    """NFPA 70 table 310.16: 2 AWG at 75 °C 115 A, at 100 °F 0.88 of that: 101.2 A, and 110 A is the next standard
    rating (240.6(A))."""
    [finding] = fired(SLUG, design(body("size: 2 AWG, insulation: THWN, ambient: 100 °F", 125, marked=MARKED_75), "na"))
    assert_says(
        finding,
        "WARNING",
        limit=(110.0, "A", "NFPA 70 table 310.16"),
        number=("ampacity", 115 * 0.88, "A"),
        mend="110 A or less",
    )


def test_the_limit_of_a_device_that_lets_more_pass_is_the_other_condition() -> None:
    """IEC 60364-4-43 433.1: 32 A surely opens a gG 20 A, against 1.45 times the 20 A of three loaded 2.5 mm2."""
    feed = "size: 2.5 mm2, insulation: pvc-70, method: B2, ambient: 30 °C"
    [finding] = fired(SLUG, design(body(feed, 20, kind="fuse")))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(1.45 * 20)


@pytest.mark.parametrize(
    ("inlet", "device", "connection", "count"),
    [
        ("15 A", "20 A", "polarised plug", 0),
        ("15 A", "25 A", "polarised plug", 1),
        ("20 A", "20 A", "reversible plug", 0),
        ("20 A", "30 A", "reversible plug", 1),
        ("40 A", "50 A", "polarised plug", 1),
        ("50 A", "40 A", "polarised plug", 0),
        ("15 A", "30 A", "fixed", 0),
        ("15 A", "30 A", "", 0),
    ],
)
def test_a_receptacle_is_rated_for_its_branch_circuit(inlet: str, device: str, connection: str, count: int) -> None:
    """NFPA 70, table 210.21(B)(3) (from memory): circuits of 15, 20, 30, 40 and 50 A have receptacles of 15, 15 or 20,
    30, 40 or 50, and 50 A."""
    given = f", connection: {connection}" if connection else ""
    plan = design(
        f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: {device}}}{given}}}
parts:
  X0: {{kind: inlet, rated: {inlet}}}
""",
        "na",
    )
    assert [one.subjects for one in fired(SLUG, plan)] == [("X0",)] * count
    assert bool(open_questions(SLUG, plan)) is (not connection)
