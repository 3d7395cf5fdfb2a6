"""The report in one screen: how long it is, what it never leaves out, and what it says once."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from report_cases import FILE, FUSE_FINDING, NOT_JUDGED, REPORT, RULES, SOURCES
from rich.cells import cell_len

from wiring.design.load import load
from wiring.findings import Finding, Mend, NotJudged, Reference, Report, Signal
from wiring.plan.edits import SetValue
from wiring.plan.source import Place
from wiring.reports import render
from wiring.rules.run import judge, rule_texts

ROOT = Path(__file__).parents[2]
SIGNALS = list(Signal)


def screen(report: Report, width: int = 80, **options) -> str:
    return render(report, SOURCES, "text", rules=RULES, width=width, **options)


def finding(rule: str, signal: Signal, *names: str, line: int = 0, **more) -> Finding:
    place = Place(FILE, line, 1) if line else None
    return Finding(rule, signal, names, f"{rule} says so of {', '.join(names)}", place, **more)


def earths(count: int) -> tuple[Finding, ...]:
    mend = (Mend("Join it to the bar."),)
    return tuple(finding("earth", Signal.DANGER, f"M{n}", line=n, mends=mend) for n in range(1, count + 1))


def test_one_rule_is_one_block_with_its_places_as_a_list() -> None:
    """Eleven motors without earth are one heading, one mend and eleven names."""
    crowd = tuple(finding(f"rule-{n}", Signal.CAUTION, f"X{n}", mends=(Mend("Do so."),)) for n in range(12))
    printed = screen(Report(FILE, "iec", (*earths(11), *crowd), ()))
    assert len(re.findall("^DANGER", printed, re.MULTILINE)) == 1
    assert printed.count("Join it to the bar.") == 1
    assert all(re.search(rf"\bM{n}\b", printed) for n in range(1, 12))


@pytest.mark.parametrize("count", [0, 1, 3, 9, 30])
def test_a_screen_has_about_sixty_lines(count: int) -> None:
    """However much there is, as long as a line for every rule above NOTICE fits."""
    many = tuple(
        finding(f"rule-{n}", SIGNALS[n % 4], f"X{n}", line=n + 1, harm="It burns.", mends=(Mend("Do so."),) * 2)
        for n in range(count)
    )
    questions = tuple(NotJudged(f"rule-{n}", (f"X{n}",), "its size", signal=Signal.DANGER) for n in range(3 * count))
    assert len(screen(Report(FILE, "iec", many, questions)).splitlines()) <= 62


def test_every_grave_rule_is_named_whatever_the_room() -> None:
    """An expected failure of a fixed page: what is cut off at its foot is what nobody mends."""
    many = tuple(finding(f"rule-{n}", SIGNALS[n % 2], f"X{n}") for n in range(100))
    printed = screen(Report(FILE, "iec", many, ()))
    assert all(f"rule-{n}: X{n}" in printed for n in range(100))


def test_one_finding_is_told_in_full() -> None:
    printed = screen(REPORT)
    full = render(REPORT, SOURCES, "text", rules=RULES, width=80, everything=True)
    block = full[full.index("WARNING  Fuse") : full.index("Supplies;")]
    assert block in printed
    assert "Do first: fuse-above-wire, wire 202 › size, line 118.\n" in printed


def test_nothing_is_said_twice() -> None:
    """No line of a finding comes again, and what two roots explain is told under the first alone."""
    roots = (Reference("earth", ("M1",)), Reference("earth", ("M2",)))
    effect = finding("shock", Signal.DANGER, "M1", "M2", explained_by=roots)
    printed = screen(Report(FILE, "iec", (*earths(2), effect), NOT_JUDGED))
    assert printed.count("shock (M1, M2)") == 1
    lines = [line for line in printed.splitlines() if len(line) > 30]
    assert sorted(lines) == sorted(set(lines))


def test_the_first_thing_to_do_has_its_command_where_it_is_a_change() -> None:
    edit = SetValue(("parts", "F4", "rating"), "7 A")
    with_edit = replace(FUSE_FINDING, mends=(Mend("Make F4 7 A.", (edit,)),))
    assert "wiring change winder.yaml --mend fuse-above-wire 202 --in-place" in screen(
        Report(FILE, "na", (with_edit,), ())
    )
    assert "--mend" not in screen(REPORT)


def test_a_change_that_nobody_tried_is_told_as_such() -> None:
    """Followed by hand it may harm: one that was tried has passed all rules on this plan."""
    edit = SetValue(("parts", "F4", "rating"), "7 A")
    for tried in (False, True):
        mends = (Mend("Make F4 7 A.", (edit,), tried=tried),)
        printed = screen(Report(FILE, "na", (replace(FUSE_FINDING, mends=mends),), ()))
        assert ("1 change under Mend was not tried yet" in printed) is not tried


def test_open_questions_have_the_screen_when_they_alone_are_left() -> None:
    questions = tuple(NotJudged(f"rule-{n}", (f"X{n}",), "its size", signal=Signal.WARNING) for n in range(30))
    printed = screen(Report(FILE, "iec", (), questions))
    assert "Verdict: ASK." in printed
    assert printed.count("its size") == 30
    beside = screen(Report(FILE, "iec", earths(1), questions))
    assert 2 <= beside.count("its size") <= 6
    assert re.search(r"and \d+ questions more: list with --all", beside)


def test_notices_take_a_line_each() -> None:
    notice = finding("colour", Signal.NOTICE, "W1", "W2", mends=(Mend("Take black."),))
    printed = screen(Report(FILE, "iec", (notice,), ()))
    assert "NOTICE   colour (W1, W2): colour says so of W1, W2\n" in printed
    assert "Take black." not in printed


def test_what_is_left_out_is_counted() -> None:
    report = Report(FILE, "iec", (), NOT_JUDGED, quiet=1)
    assert "Not judged for want of data: 3 checks, which does not mean safe" in screen(report)
    accepted = tuple(replace(one, accepted="seen") for one in earths(8))
    assert "and 5 more: list with --all" in screen(Report(FILE, "iec", accepted, ()))


@given(st.text(max_size=60), st.integers(32, 130))
def test_no_text_of_a_plan_breaks_the_page(bad: str, width: int) -> None:
    several = tuple(
        Finding(bad, Signal.WARNING, (bad, bad), bad, Place(bad, 1, 3, 5), harm=bad, mends=(Mend(bad),) * 2)
        for _ in range(3)
    )
    hidden = Finding(bad, Signal.NOTICE, (bad,), bad, explained_by=(several[0].reference,))
    report = Report(bad, "iec", (*several, hidden), (NotJudged(bad, (bad,), bad, None, Signal.DANGER),), {}, (bad,))
    printed = render(report, {}, "text", width=width)
    assert max(map(cell_len, printed.splitlines())) <= width
    assert all(letter.isprintable() or letter == "\n" for letter in printed)


@pytest.mark.parametrize("name", ["second-iec", "second-na"])
def test_a_real_report_names_all_that_is_grave(name: str) -> None:
    """Every rule above NOTICE with a root, and in about a screen."""
    found = load(ROOT / "tests" / "judging" / f"{name}.yaml")
    assert found.design is not None
    report = judge(found.design)
    printed = render(report, found.sources, "text", width=80, rules=rule_texts(report))
    assert [one.rule for one in report.roots if one.rule not in printed and one.signal is not Signal.NOTICE] == []
    assert len(printed.splitlines()) <= 62
