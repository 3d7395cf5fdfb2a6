"""Faults in the plan as it is written."""

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_cases import FAULTS, FILE, SOURCES
from rich.cells import cell_len

from wiring.plan.fault import Fault
from wiring.plan.source import Place, Source
from wiring.reports import render_faults

BOTH = """\
F4, line 41: F4 is given twice
    F4: {kind: fuse, rating: 10 A, class: CC}
  And here  wire 202 › from, line 118
              - {wire: 202, from: F4:2, to: D2:V+, size: 18 AWG, length: 2 m}

wire 202 › size, line 118: the wire size '18 AGW' has the unknown unit 'AGW'
    - {wire: 202, from: F4:2, to: D2:V+, size: 18 AWG, length: 2 m}
  Expected  a size such as 1.5 mm2 or 18 AWG
  Nearest   AWG
  Mend      write the unit as it is listed

2 faults in winder.yaml: the plan cannot be read, nothing was judged. This tool
assists; it does not certify.
"""


def test_prints_every_fault_in_the_order_of_the_file_and_counts_them():
    assert render_faults(FAULTS, SOURCES, "text", plan=FILE, width=80) == BOTH


def test_needs_no_other_library(monkeypatch):
    for name in [name for name in sys.modules if name.split(".")[0] == "rich"]:
        monkeypatch.setitem(sys.modules, name, None)
    monkeypatch.setitem(sys.modules, "rich", None)
    assert render_faults(FAULTS, SOURCES, "text", plan=FILE, width=80) == BOTH


def test_brief_is_one_line_a_fault_and_the_count():
    assert render_faults(FAULTS, SOURCES, "brief", plan=FILE) == (
        "winder.yaml:41:3: FAULT F4 is given twice\n"
        "winder.yaml:118:46: FAULT the wire size '18 AGW' has the unknown unit 'AGW'; "
        "expected: a size such as 1.5 mm2 or 18 AWG; nearest: AWG; mend: write the unit as it is listed\n"
        "2 faults in winder.yaml: the plan cannot be read, nothing was judged. "
        "This tool assists; it does not certify.\n"
    )


def test_a_fault_of_the_whole_file_names_the_file():
    fault = Fault(None, "there is no such file", "the path of a plan")
    assert render_faults([fault], {}, "text", plan="none.yaml", width=80).startswith(
        "none.yaml: there is no such file\n  Expected  the path of a plan\n\n1 fault in none.yaml:"
    )


@pytest.mark.parametrize("width", [32, 40, 80, 120, 200])
@given(bad=st.text(max_size=300), column=st.integers(1, 400), length=st.integers(0, 400))
def test_hostile_text_stays_within_the_page(width, bad, column, length):
    fault = Fault(Place(bad, 1, column, length), bad, bad, bad, (bad, bad), (Place(bad, 1, 1, 2), Place("x", 3, 3)))
    sources = {bad: Source(bad, (bad,))}
    printed = render_faults([fault], sources, "text", plan=bad, width=width)
    assert max(map(cell_len, printed.splitlines())) <= width
    assert all(letter.isprintable() or letter == "\n" for letter in printed)
    assert len(render_faults([fault], sources, "brief", plan=bad).splitlines()) == 2


@given(st.text(alphabet="ab:{} ", min_size=1, max_size=300), st.data())
def test_the_entry_shows_the_place(line, data):
    at = data.draw(st.integers(0, len(line) - 1))
    marked = line[:at] + "X" + line[at + 1 :]
    sources = {FILE: Source(FILE, (marked,))}
    told, shown = render_faults(
        [Fault(Place(FILE, 1, at + 1, 1), "x")], sources, "text", plan=FILE, width=60
    ).splitlines()[:2]
    assert told == f"line 1, column {at + 1}: x"
    assert shown.count("X") == 1
