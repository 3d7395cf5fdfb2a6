"""The glossary: one word for one thing, in the words and units of each rulebook."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiring.book_words import fahrenheit, feet, in_book, in_words, inches, largest_words, plain_figures
from wiring.design.load import load
from wiring.findings import Finding
from wiring.quantities import parse
from wiring.reports import render
from wiring.reports.budget import render_budget
from wiring.reports.words import figure
from wiring.rules.run import judge, rule_texts

ROOT = Path(__file__).parents[1]
UNITS = pint.UnitRegistry()
JUDGING, FAULTY = ROOT / "tests" / "judging", ROOT / "specs" / "faulty"
AMERICAN = [JUDGING / "second-na.yaml", FAULTY / "conductor-overloaded-press.yaml"]


@pytest.mark.parametrize(
    ("said", "american"),
    [
        ("Earth it: the unearthed frame, earthing", "Ground it: the ungrounded frame, grounding"),
        ("PROTECTIVE EARTH of the earthed side", "PROTECTIVE GROUND of the grounded side"),
        ("an earth-fault loop", "a ground-fault loop"),
        ("told by earth-missing, or `protective earth`", "told by earth-missing, or `protective earth`"),
        ("hearth and earthquake", "hearth and earthquake"),
        ("at 40 °C inside", "at 104 °F inside"),
        ("up to 45 to 60 °C, 25..254 mm", "up to 113 to 140 °F, 0.984..10 in"),
        ("0.1 to 1 m", "3.94 in to 3.28 ft"),
        ("the 75 °C column", "the 75 °C column"),
        ("a box of 500 x 400 x 210 mm", "a box of 19.7 x 15.7 x 8.27 in"),
        ("0.5 m long, 25.4 mm, 2.5 mm2, 200 mm/s, 60 m3/h", "1.64 ft long, 1 in, 2.5 mm2, 200 mm/s, 60 m3/h"),
        ("`ambient: 35 °C` and 35 °C", "`ambient: 35 °C` and 95 °F"),
    ],
)  # fmt: skip
def test_the_north_american_book_has_its_own_words_and_units(said: str, american: str) -> None:
    assert in_book(said, "na").replace("an ground", "a ground") == american
    assert in_book(said, "iec") == said


@given(st.floats(-100, 400))
def test_units_against_pint(value: float) -> None:
    told = fahrenheit(value)
    assert float(told.removesuffix(" °F")) == pytest.approx(
        UNITS.Quantity(value, "degC").to("degF").magnitude, abs=0.51
    )
    length = abs(value) + 0.01
    assert float(inches(length).removesuffix(" in")) == pytest.approx(
        UNITS.Quantity(length, "mm").to("inch").magnitude, rel=0.006
    )
    told = feet(length)
    unit = told.rpartition(" ")[2]
    assert float(told.split()[0]) == pytest.approx(UNITS.Quantity(length, "m").to(unit).magnitude, rel=0.006)


@pytest.mark.parametrize(
    ("said", "plain"),
    [
        ("1.4e+04 A flow", "14 kA flow"),
        ("3e+04 ohm", "30 kohm"),
        ("2e-05 s", "20 µs"),
        ("1.236e+08 K", "124000000 K"),
        ("e+12 and 1e5x", "e+12 and 1e5x"),
    ],
)
def test_a_figure_is_written_without_powers_of_ten(said: str, plain: str) -> None:
    assert plain_figures(said) == plain


@given(st.floats(1e-9, 1e12))
def test_no_printed_figure_has_a_power_of_ten(value: float) -> None:
    assert "e" not in figure(value, "wires").replace("wires", "")
    told = plain_figures(f"{value:.3g} A")
    assert "e+" not in told
    if 1e-6 < value < 1e5:
        assert parse(told, "current").value == pytest.approx(value, rel=0.006)


@pytest.mark.parametrize("path", AMERICAN, ids=lambda path: path.stem)
def test_a_north_american_report_never_says_earth_nor_celsius(path: Path) -> None:
    """Names of rules, the plan's own words and what stands in code are no words of ours."""
    found = load(path)
    assert found.design is not None
    report = judge(found.design)
    for finding in report.findings:
        for text in texts_of(finding):
            bare = re.sub(r"`[^`]*`|\S*-\S*", "", text)
            assert not re.search(r"\bearth|\d °C(?! column)|\d mm\b(?!2)", bare, re.IGNORECASE), text
    printed = render(report, {}, "text", width=100, rules=rule_texts(report), everything=True)
    ours = [line for line in printed.splitlines() if "{" not in line and "`" not in line]
    assert not [line for line in ours if re.search(r"\d °C(?! column)", line)]
    assert "°F" in render_budget(report, width=100, colour=False)


def texts_of(finding: Finding) -> list[str]:
    remarks = [number.remark for number in finding.numbers]
    return [finding.summary, finding.harm, *finding.mend, *remarks, *([finding.limit.note] if finding.limit else [])]


@pytest.mark.parametrize("path", [*AMERICAN, JUDGING / "second-iec.yaml"], ids=lambda path: path.stem)
def test_no_sentence_holds_a_list_as_python_writes_it(path: Path) -> None:
    found = load(path)
    assert found.design is not None
    report = judge(found.design)
    said = [text for finding in report.findings for text in texts_of(finding)]
    said += [entry.missing for entry in report.not_judged]
    assert [text for text in said if re.search(r"\[\s*'|\(\s*'|\bNone\b|frozenset|\d\.\d{6}", text)] == []


def test_the_power_up_sheet_keeps_the_units_that_readings_are_written_in() -> None:
    data = {"a": ["earth at 35 °C", {"b": "unearthed"}], "c": 3}
    assert in_words(data, "na") == {"a": ["ground at 35 °C (95 °F)", {"b": "ungrounded"}], "c": 3}
    assert in_words(data, "iec") == data


#: Words for which the project has another one, with where they may stand.
GLOSSARY = {
    r"\bhot (?:side|leg|lead)s?\b": "live or ungrounded conductor: hot is said of temperature",
    r"\b[Ee]-stop\b": "emergency stop",
    r"\b(?:MCB|VFD|PSU|RCCB|SSR|SMPS)s?\b": "the name of the kind: breaker, inverter, supply, rcd, solid-state relay",
}


@pytest.mark.parametrize("word", GLOSSARY)
def test_no_sentence_of_ours_uses_another_word(word: str) -> None:
    """Texts of the code, names by which a person may search left out."""
    assert [f"{place}: {text[:80]}" for place, text in sentences() if re.search(word, text)] == [], GLOSSARY[word]


@cache
def sentences() -> tuple[tuple[str, str], ...]:
    """Every text of the code with its place."""
    return tuple(
        (f"{path.name}:{node.lineno}", node.value)
        for path in sorted((ROOT / "wiring").rglob("*.py"))
        if path.name != "library_search.py"
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    )


def test_the_article_goes_with_the_word() -> None:
    """English: an before a vowel alone."""
    assert in_book("An earth fault of an earthed, an unearthed and an earthing part", "na") == (
        "A ground fault of a grounded, an ungrounded and a grounding part"
    )
    assert in_book("an earth fault", "iec") == "an earth fault"


@pytest.mark.parametrize(
    ("said", "american"),
    [
        ("takes 0.2..2.5 mm2", "takes 24..14 AWG"),
        ("takes 0.75 to 10 mm2.", "takes 18 to 8 AWG."),
        ("`sizes: 0.5..4 mm2`", "`sizes: 20..12 AWG`"),
        ("1.0 to 1.1 mm2", "1.0 to 1.1 mm2"),
    ],
)
def test_a_range_of_sizes_is_told_by_the_gauges_within_it(said: str, american: str) -> None:
    """ASTM B258: 24 AWG 0.205, 20 AWG 0.518, 18 AWG 0.823, 14 AWG 2.08, 12 AWG 3.31, 8 AWG 8.37 mm2."""
    assert in_book(said, "na") == american
    assert in_book(said, "iec") == said


def test_the_largest_size_is_the_thickest_gauge_of_it() -> None:
    assert largest_words("2.5 mm2", 2.5, "na") == "14 AWG"
    assert largest_words("2.5 mm2", 2.5, "iec") == "2.5 mm2"
    assert largest_words("10 AWG", 5.26, "na") == "10 AWG"
