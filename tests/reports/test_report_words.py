"""Figures, words and the exit status."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from report_cases import FILE, FUSE_FINDING, REPORT, SHIELD_FINDING
from rich.cells import cell_len

from wiring.findings import Report, Signal
from wiring.reports import exit_status, render
from wiring.reports.lines import cells, clean, shortened, wrapped
from wiring.reports.words import CAUTIONS, figure, limit_words
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.wording import natural


@pytest.mark.parametrize(
    ("value", "unit", "told"),
    [
        (4.8, "A", "4.8 A"),
        (0.0124, "V", "12.4 mV"),
        (1.5e-6, "m2", "1.5 mm2"),
        (1.5, "mm2", "1.5 mm2"),
        (35.0, "°C", "35 °C"),
        (80.0, "%", "80 %"),
        (12.5, "K", "12.5 K"),
        (61.0, "W", "61 W"),
        (1200.0, "A", "1.2 kA"),
        (3.0, "", "3"),
        (3.0, "wires", "3 wires"),
        (123456789.0, "K", "123000000 K"),
        (float("nan"), "A", "not known"),
        (float("inf"), "wires", "not known"),
        (None, "V", "not known"),
    ],
)
def test_figures_for_people(value, unit, told):
    assert figure(value, unit) == told


PINT = pint.UnitRegistry()


@given(st.floats(1e-4, 1e6), st.sampled_from(["A", "V", "W", "ohm", "s", "J", "Hz", "m", "m2", "mm2"]))
def test_a_printed_figure_is_the_value_to_three_digits(value, unit):
    def spelt(name: str) -> str:
        return name.replace("m2", "m**2")

    number, shown = figure(value, unit).split()
    told = PINT.Quantity(float(number), spelt(shown)).m_as(spelt(unit))
    assert told == pytest.approx(value, rel=6e-3)


def test_a_limit_tells_clause_standing_and_note():
    source = Source("IEC 60204-1", "2016", "12.4", Standing.ONE_SOURCE)
    assert limit_words(Limit(7.0, "A", source, "the next edition differs")) == (
        "IEC 60204-1:2016, 12.4 (one source); the next edition differs"
    )
    assert limit_words(Limit(7.0, "A", Source("", "", "", Standing.COMMON_PRACTICE))) == "common practice"


@pytest.mark.parametrize(
    ("signal", "fail_on", "status"),
    [
        ("DANGER", "WARNING", 1),
        ("WARNING", "WARNING", 1),
        ("CAUTION", "WARNING", 0),
        ("CAUTION", "CAUTION", 1),
        ("NOTICE", "CAUTION", 0),
        ("NOTICE", "NOTICE", 1),
        ("WARNING", "DANGER", 0),
    ],
)
def test_the_exit_status_follows_what_stands(signal, fail_on, status):
    finding = replace(FUSE_FINDING, signal=Signal(signal))
    assert exit_status(Report(FILE, "na", (finding,), ()), Signal(fail_on)) == status
    accepted = replace(finding, accepted="tried on the bench")
    assert exit_status(Report(FILE, "na", (accepted,), ()), Signal(fail_on)) == 0


def test_a_crashed_rule_fails_whatever_stands():
    assert exit_status(Report(FILE, "na", (), (), crashed=("x",)), Signal.DANGER) == 1
    assert exit_status(Report(FILE, "na", (SHIELD_FINDING,), REPORT.not_judged)) == 0


def test_a_style_that_does_not_exist_is_an_error_of_the_caller():
    with pytest.raises(ValueError, match="colourful"):
        render(REPORT, {}, "colourful")


def test_the_cautions_end_the_report():
    printed = " ".join(render(REPORT, {}, "text", width=80).split())
    assert printed.endswith(" - ".join(CAUTIONS))
    for words in ("does not certify", "authority having jurisdiction", "licensed", "lock off", "capacitors", "dead"):
        assert words in printed


def test_names_sort_as_people_count():
    names = ["F10", "F2", "F1", "200.10", "200.2", "X", ""]
    assert sorted(names, key=natural) == ["", "200.2", "200.10", "F1", "F2", "F10", "X"]


@given(st.text(max_size=200), st.integers(4, 60))
def test_wrapped_lines_fit_and_keep_every_letter(text, room):
    cleaned = clean(text)
    lines = wrapped(cleaned, room)
    assert all(cells(line) <= room for line in lines)
    assert "".join("".join(lines).split()) == "".join(cleaned.split())


@pytest.mark.parametrize("room", range(8, 20))
def test_a_number_stays_with_its_unit(room):
    lines = wrapped("the load of 12.5 A exceeds 75 % of it, 35 °C.", room)
    assert all(any(pair in line for line in lines) for pair in ("12.5 A", "75 %", "35 °C."))


@pytest.mark.parametrize("room", [4, 9, 24])
def test_a_shortened_name_says_so(room):
    assert shortened("N" * 300, room) == "N" * (room - 3) + "..."
    assert cells(shortened("箱" * 300, room)) <= room
    assert shortened("N" * room, room) == "N" * room


def test_no_character_is_taken_for_narrower_than_it_is_drawn():
    for number in range(0x20, 0x30000):  # against the width table of a general terminal library
        shown = clean(f"a{chr(number)}")
        assert cells(shown) >= cell_len(shown), hex(number)
