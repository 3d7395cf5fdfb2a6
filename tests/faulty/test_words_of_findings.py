"""Laws of the words of every finding on every faulty plan: lists, verbs, figures, units, and no earth to take off.

They are read from what the cases of this folder are told, which is judged once for all tests here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from plain_plans import Plan
from test_faulty_edits import CASES, edited, judged_cases, report_of

from wiring.findings import Finding

#: A name of a part, with a terminal or without, or the number of a conductor.
_NAME = r"(?:[A-Z]{1,4}\d+(?::[\w+-]+)?|\d{1,3}(?:\.\d)?)"
_LIST = re.compile(rf"{_NAME}(?:, {_NAME})+(?![\w.:])")
_ONE = "is|has|takes|carries|opens|closes|stands|leaks|delivers|stays|draws|starts|bears|gets|loses|feeds|asks|returns"
_SEVERAL = "are|have|take|carry|open|close|stand|leak|deliver|stay|draw|start|bear|get|lose|feed|ask|return"
#: A subject stands at the head of a sentence or of a part of one.
_HEAD = r"(?:^|; |: |, and )"
_FALSE_ONE = re.compile(rf"{_HEAD}{_LIST.pattern} (?:{_ONE})\b")
_FALSE_SEVERAL = re.compile(rf"(?:^|; ){_NAME} (?:{_SEVERAL})\b")
_ONE_OF_MANY = re.compile(r"(?<![\w.])1 (?:(?:faults|parts|conductors|wires|names)\b|more are\b)")
_UNITS = "A|V|W|ohm|kA|kW|mA|mV|s|ms|%|°C|°F|J|Hz|µF|mm2"
_FIGURE = re.compile(rf"(?<![\w.:/-])(\d+(?:\.\d+)?) ?(?:{_UNITS})(?!\w)")
_TAKEN_OFF = re.compile(rf"(?:[Ww]ithout|Take|take) ({_NAME}(?:(?:, | and | or ){_NAME})*)(?: away|,? it )")


def texts(finding: Finding) -> Iterator[str]:
    """All that a finding says in words."""
    yield from (finding.summary, finding.harm, *finding.mend)
    yield from (cause.remark for cause in finding.because)
    yield from (number.remark for number in finding.numbers)
    if finding.limit is not None:
        yield finding.limit.note


def said(name: str) -> list[tuple[Finding, str]]:
    return [(finding, text) for finding in report_of(name).findings for text in texts(finding)]


def digits(figure: str) -> int:
    """The significant digits of a figure; zeros at the end of a whole number are none."""
    bare = figure.replace(".", "").lstrip("0")
    return len(bare if "." in figure else bare.rstrip("0"))


def earths(plan: Plan) -> set[str]:
    """The conductors that the plan gives the colour of the protective earth."""
    kinds = plan.get("wire_types", {})
    coloured = (one for one in plan["wires"] if {**kinds.get(one.get("type"), {}), **one}.get("colour") == "GNYE")
    return {one["wire"] for one in coloured}


@pytest.mark.parametrize("name", judged_cases())
def test_no_name_stands_twice_in_one_list(name: str) -> None:
    for finding, text in said(name):
        assert len(set(finding.subjects)) == len(finding.subjects)
        for found in _LIST.findall(text):
            assert len(set(found.split(", "))) == len(found.split(", ")), text


@pytest.mark.parametrize("name", judged_cases())
def test_verbs_go_with_the_number_of_names(name: str) -> None:
    told = [*(text for _, text in said(name)), *(one.missing for one in report_of(name).not_judged)]
    assert [text for text in told if any(law.search(text) for law in (_FALSE_ONE, _FALSE_SEVERAL, _ONE_OF_MANY))] == []


@pytest.mark.parametrize("name", judged_cases())
def test_figures_have_three_digits_and_the_units_of_the_rulebook(name: str) -> None:
    book, text = report_of(name).rulebook, "\n".join(text for _, text in said(name))
    assert [one for one in _FIGURE.findall(text) if digits(one) > 3] == []
    assert not re.search(r"mm2|°C(?! column)" if book == "na" else r" AWG|°F", text)


@pytest.mark.parametrize("name", judged_cases())
def test_no_sentence_takes_an_earth_off(name: str) -> None:
    held = earths(edited(CASES[name]))
    for _, text in said(name):
        kept = text.startswith("Keep ")  # a second bond of a rail, where another one stays
        taken = {one for found in _TAKEN_OFF.findall(text) for one in re.findall(_NAME, found) if not kept}
        assert not taken & held, text


@pytest.mark.parametrize(
    ("text", "law"),
    [
        ("S1, S2, B1 takes 3 mA", _FALSE_ONE),
        ("K1 open late", _FALSE_SEVERAL),
        ("a solution in numbers for 1 faults", _ONE_OF_MANY),
        ("M3 stays fed; without 29 or G1, it would not", _TAKEN_OFF),
        ("Take 12 away.", _TAKEN_OFF),
    ],
)
def test_the_laws_see_what_they_forbid(text: str, law: re.Pattern[str]) -> None:
    assert law.search(text)
    assert digits("42.0952") == 6
    assert digits("3770") == 3
