"""The report in full: whole expected blocks, every width, hostile text, colour and encodings."""

import io
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from report_cases import FIGURES, FILE, FUSE_FINDING, NOT_JUDGED, REPORT, RULES, SOURCES, WIRE, source_of
from rich.cells import cell_len

from wiring.findings import Cause, Finding, Mend, NotJudged, Number, Report, Signal
from wiring.plan.source import Place, Source
from wiring.reports import render
from wiring.reports.page import wants_colour

ESCAPE = re.compile(r"\x1b\[[0-9;]*m")

HEAD = """\
Verdict: STOP. Keep the power off: mend every DANGER and WARNING, or accept each
with its reason. 3 checks could not be made.
1 WARNING. 1 accepted. 41 rules quiet.

"""

ONE_FINDING = """\
WARNING  Fuse is larger than its wire allows                     fuse-above-wire
         Wire 202 of 18 AWG lies behind F4 of 10 A; the most that may protect it
         is 7 A.

  Names  202, F4
  At     wire 202 › size, line 118
           - {wire: 202, from: F4:2, to: D2:V+, size: 18 AWG, length: 2 m}
         F4 › rating, line 41: opens here at the earliest
           F4: {kind: fuse, rating: 10 A, class: CC}
  Fuse     10 A  F4, class CC
  Load   4.81 A  computed, state fast
  Limit   7.0 A  NFPA 79:2021, 12.6.1.2 (from memory); power circuit without
                 motor
  Harm   A fault just below the fuse rating keeps flowing and can set the wire's
         insulation on fire.
  Mend   Set F4 to 7 A, which carries the load.
  or     Make wire 202 16 AWG (limit 10 A).
  Read   wiring rule fuse-above-wire

"""

THE_REST = """\
Supplies; available means after derating
  Supply  State     Load       Peak  Available  Headroom
  G2      ready  12.3 mA  not known     4.25 A    99.7 %
  G2      fast     3.5 A      5.2 A     4.25 A    17.6 %
  G10     fast     1.0 A  not known      4.0 A      75 %

Not judged: 3 checks for want of data. Not judged does not mean safe.
  inrush-trips-breaker (1)
    - F1: the inrush current of G1 (line 3, column 1)
  voltage-drop (2)
    - 200.1: the length of the wire
    - 200.2: the length of the wire

Accepted by the builder, not mended:
  - NOTICE shield-ends, C1: The shield of cable C1 is bonded at neither end.
    Reason: Bench test only, cable of 0.2 m.

- This tool assists; it does not certify. A clear report is no proof that a
  machine is safe.
- Local electrical code decides, and the authority having jurisdiction has the
  last word on it.
- Where the law asks for a qualified or licensed person, leave mains work,
  verification and commissioning to one.
- Before touching anything: isolate, lock off, wait for capacitors to discharge,
  prove every conductor dead.
"""


def text(report: Report, **options) -> str:
    sources, everything = options.pop("sources", SOURCES), options.pop("everything", True)
    return render(report, sources, "text", rules=RULES, everything=everything, **options)


def alone(finding: Finding, **others) -> Report:
    return Report(FILE, "na", (finding,), **({"not_judged": ()} | others))


def test_prints_the_whole_report_at_80_columns():
    assert text(REPORT, width=80) == HEAD + ONE_FINDING + THE_REST


def test_the_summary_is_the_title_of_a_rule_without_one():
    lines = render(REPORT, SOURCES, "text", width=80, everything=True).splitlines()
    assert lines[4:8] == [
        "WARNING  Wire 202 of 18 AWG lies behind F4 of 10 A; the most     fuse-above-wire",
        "         that may protect it is 7 A.",
        "",
        "  Names  202, F4",
    ]


def test_a_narrow_page_cuts_the_entry_around_the_place():
    lines = text(alone(FUSE_FINDING), width=40).splitlines()
    assert lines[lines.index("  At     wire 202 › size, line 118") + 1] == " " * 11 + "...size: 18 AWG, length: 2 m}"


@pytest.mark.parametrize("width", [32, 40, 61, 80, 120, 200])
def test_no_line_is_wider_than_the_page(width):
    for colour in (False, True):
        printed = ESCAPE.sub("", text(REPORT, width=width, colour=colour))
        assert max(map(cell_len, printed.splitlines())) <= width


def test_prints_the_worst_first_then_by_file_and_line():
    def finding(signal, line, file=FILE):
        return Finding("rule", signal, (), f"{signal} {file} {line}.", Place(file, line, 1, 3))

    scattered = (
        Finding("rule", Signal.WARNING, (), "WARNING without a place."),
        finding(Signal.NOTICE, 1),
        finding(Signal.DANGER, 9),
        finding(Signal.CAUTION, 2),
        finding(Signal.DANGER, 2, "z.csv"),
        finding(Signal.WARNING, 1),
        finding(Signal.DANGER, 3),
    )
    printed = text(Report(FILE, "iec", scattered, ()), width=80, everything=True)
    heads = [re.split("  +", line)[1] for line in printed.splitlines() if re.match("[A-Z]{6,7}  ", line)]
    assert heads == [
        "DANGER winder.yaml 3.",
        "DANGER winder.yaml 9.",
        "DANGER z.csv 2.",
        "WARNING winder.yaml 1.",
        "WARNING without a place.",
        "CAUTION winder.yaml 2.",
        "NOTICE winder.yaml 1.",
    ]


def test_colour_only_repeats_the_signal_word():
    plain, coloured = text(REPORT, width=80), text(REPORT, width=80, colour=True)
    assert "\x1b" not in plain
    assert ESCAPE.sub("", coloured) == plain
    assert re.findall(r"\x1b\[[0-9;]+m([^\x1b]*)\x1b\[0m", coloured) == ["WARNING"]


class Terminal(io.StringIO):
    def isatty(self):
        return True


def test_colour_follows_the_stream_and_the_environment():
    assert wants_colour(Terminal(), {"TERM": "xterm"})
    assert wants_colour(Terminal(), {"NO_COLOR": ""})  # an empty value does not count, as no-color.org has it
    assert not wants_colour(Terminal(), {"NO_COLOR": "1"})
    assert not wants_colour(Terminal(), {"TERM": "dumb"})
    assert not wants_colour(io.StringIO(), {})


def test_the_environment_of_the_process_changes_nothing(monkeypatch):
    before = text(REPORT, width=80, colour=True)
    for name, value in {"NO_COLOR": "1", "COLUMNS": "20", "TERM": "dumb", "FORCE_COLOR": "1"}.items():
        monkeypatch.setenv(name, value)
    assert text(REPORT, width=80, colour=True) == before


def test_an_encoding_without_the_signs_gets_their_plain_spelling():
    finding = Finding(
        "heat",
        Signal.CAUTION,
        ("Gehäuse",),
        "Inside 61 °C at 470 µF, 0.6 N·m, 1.5 mm², 2 Ω – too warm… 箱",
        numbers=(Number("inside", 61.0, "°C"),),
    )
    printed = text(alone(finding), width=80, encoding="ascii")
    assert printed.isascii()
    assert "Inside 61 degC at 470 uF, 0.6 N.m, 1.5 mm2, 2 ohm - too warm..." in " ".join(printed.split())
    assert "Gehause" in printed
    assert "<U+7BB1>" in printed
    assert re.search(r"Inside +61 degC", printed)
    assert "61 °C" in text(alone(finding), width=80, encoding="latin-1")
    assert text(alone(finding), width=80, encoding="no-such-encoding") == printed


HOSTILE = {
    "markup": "[bold red]x[/bold red] [link=file:///]y[/] :smile:",
    "escape": "\x1b[2J\x1b]0;title\x07red\x9b31m",
    "right to left": "abc\u202edcba\u2066\u200f",
    "zero width": "a\u200bb\ufeffc\ufe0f",
    "newlines": "one\ntwo\r\nthree\u2028four\x0bfive\x85six",
    "long": "N" * 300,
    "wide": "配線" * 150,
    "surrogate": "\ud800",
    "empty": "",
}


def hostile_report(bad: str) -> tuple[Report, dict]:
    line = f"{bad}  F4: {bad}"
    finding = Finding(
        bad,
        Signal.DANGER,
        (bad, bad),
        bad,
        Place(bad, 1, 3, 5),
        (Cause(Place(bad, 1, 1, 400), bad), Cause(Place("gone.yaml", 7, 1), bad)),
        (Number(bad, 1.0, bad, bad), Number(bad, float("nan"), "A")),
        FUSE_FINDING.limit,
        bad,
        (Mend(bad), Mend(bad)),
    )
    figures = {"supplies": {bad: {bad: {"current_a": 1.0, "available_a": None, "headroom": None}}}}
    entries = (NotJudged(bad, (bad,), bad, Place(bad, 1, 1)),)
    both = (finding, replace(finding, accepted=bad))
    return Report(bad, bad, both, entries, figures, (bad,)), {bad: Source(bad, (line.replace("\n", " "),))}


@pytest.mark.parametrize("bad", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.parametrize("width", [40, 80, 120])
def test_hostile_text_stays_text_within_the_page(bad, width):
    report, sources = hostile_report(bad)
    for everything in (False, True):
        printed = render(report, sources, "text", width=width, everything=everything)
        assert not [letter for letter in printed if not letter.isprintable() and letter != "\n"]
        assert max(map(cell_len, printed.splitlines())) <= width
        printed.encode("utf-8")


def test_markup_and_escapes_are_shown_as_written():
    printed = text(alone(replace(FUSE_FINDING, summary="Part [bold]F4[/bold] \x1b[31m")), width=80)
    assert "Part [bold]F4[/bold] <U+001B>[31m" in printed


@given(st.text(max_size=60), st.integers(32, 130))
def test_no_text_of_a_plan_breaks_the_page(bad, width):
    report, sources = hostile_report(bad)
    printed = render(report, sources, "text", width=width)
    assert max(map(cell_len, printed.splitlines())) <= width
    assert all(letter.isprintable() or letter == "\n" for letter in printed)


def test_a_tab_takes_one_column():
    finding = replace(FUSE_FINDING, place=Place("p.yaml", 1, 7, 2), because=(), limit=None)
    printed = text(alone(finding), width=80, sources={"p.yaml": Source("p.yaml", ("\t\tF4:\tx",))})
    assert "  At     line 1, column 7 of p.yaml\n           F4: x\n" in printed


def test_a_place_beyond_the_text_and_a_finding_without_a_place_are_told_in_words():
    finding = replace(FUSE_FINDING, place=Place(FILE, 9999, 1), because=(Cause(Place("w.xlsx", 4, 2), "from here"),))
    printed = text(alone(finding), width=80)
    assert "  At     line 9999, column 1\n         row 4, column 2 of w.xlsx: from here\n" in printed
    homeless = text(alone(replace(finding, place=None, because=(), subjects=())), width=80)
    assert "is 7 A.\n\n  Fuse" in homeless


def test_two_places_in_one_line_share_the_entry():
    cause = Cause(replace(FUSE_FINDING.place, column=WIRE.index("202") + 1, length=3), "this wire")
    printed = text(alone(replace(FUSE_FINDING, because=(cause,))), width=80)
    assert printed.count("- {wire: 202") == 1
    assert "length: 2 m}\n         wire 202 › wire, line 118: this wire\n" in printed


def test_another_file_is_named_with_its_place():
    cause = Cause(Place("parts.yaml", 1, 1, 2), "rated here")
    sources = SOURCES | {"parts.yaml": source_of("parts.yaml", "my-fuse: {kind: fuse}")}
    printed = text(alone(replace(FUSE_FINDING, because=(cause,))), width=80, sources=sources)
    assert "         my-fuse, line 1 of parts.yaml: rated here\n           my-fuse: {kind: fuse}\n" in printed


def test_what_was_not_judged_is_listed_with_its_places():
    entries = tuple(NotJudged(f"rule-{number}", ("W1",), "its size", Place(FILE, number, 1)) for number in range(1, 9))
    full = text(Report(FILE, "iec", (), entries, quiet=1), width=80)
    assert full.count("W1: its size (line ") == 8
    assert "No findings. 1 rule quiet." in full


def test_a_crashed_rule_is_named_and_leaves_no_clear_verdict():
    printed = text(Report(FILE, "iec", (), (), crashed=("pe-size",), quiet=3), width=80)
    assert "Rules that failed themselves, so that what they check stays unchecked:\n  pe-size\n" in printed
    assert "Verdict: MEND. Mend or accept what is listed before the power goes on. 1 rule\nfailed" in printed


def test_a_clear_plan_says_how_far_that_reaches():
    clear = text(Report(FILE, "iec", (), NOT_JUDGED, FIGURES, quiet=2), width=200)
    assert (
        "Verdict: CLEAR. Nothing above NOTICE was found by the checks that could be made. 3 checks could not be made.\n"
        in clear
    )
    assert clear.endswith("prove every conductor dead.\n")


def test_an_open_question_behind_which_a_danger_may_hide_stands_above_the_cautions():
    asked = NotJudged("pe-size", ("PE1",), "its size", signal=Signal.WARNING)
    other = NotJudged("duct", ("W1",), "its diameter", signal=Signal.CAUTION)
    caution = Finding("heat", Signal.CAUTION, ("G1",), "Too hot.")
    shown = text(Report(FILE, "iec", (), (asked, other)), width=200)
    assert "Verdict: ASK." in shown
    assert "Open: 1 question behind which a DANGER or WARNING may hide." in shown
    mixed = text(Report(FILE, "iec", (caution,), (asked, other)), width=200)
    assert "Verdict: MEND." in mixed
    assert mixed.index("PE1: its size") < mixed.index("CAUTION  Too hot.") < mixed.index("W1: its diameter")
    assert "Verdict: CLEAR." in text(Report(FILE, "iec", (), (replace(asked, accepted="seen"), other)), width=200)


def test_long_names_are_shortened_in_tables():
    figures = {"supplies": {"G" * 60: {"ready": {"current_a": 1.0, "available_a": 2.0, "headroom": 0.5}}}}
    printed = text(Report(FILE, "iec", (), (), figures), width=80)
    assert f"  {'G' * 21}...  ready  1.0 A      2.0 A      50 %\n" in printed
