"""The budget tables."""

import pytest
from msgspec.structs import replace
from report_cases import FILE, REPORT
from rich.cells import cell_len

from wiring.findings import Report
from wiring.reports.budget import render_budget

TABLES = """\
Supplies; available means after derating
  Supply  State     Load       Peak  Available  Headroom
  G2      ready  12.3 mA  not known     4.25 A    99.7 %
  G2      fast     3.5 A      5.2 A     4.25 A    17.6 %
  G10     fast     1.0 A  not known      4.0 A      75 %

Enclosure: 61.5 W of heat, rise 22.2 °F, inside 117 °F

Protective devices
  Device   Load  Short circuit  Clears in
  F4      4.8 A         1.2 kA     4.0 ms

Conductors, the hardest used first
  Conductor  Current   Ampacity        Use     Drop  Temperature
  203          1.0 A  not known  not known  12.4 mV        97 °F
  202          4.8 A      7.0 A     68.6 %   0.20 V       131 °F
  201          2.0 A      8.0 A       25 %   0.10 V       106 °F

- This tool assists; it does not certify. A clear report is no proof that a
  machine is safe.
"""


def test_prints_every_table():
    assert render_budget(REPORT, width=80, colour=False).startswith(TABLES)


def test_the_other_book_measures_in_degrees_celsius():
    """36 °C are 96.8 °F, 12.34 K are 22.2 °F of difference, by hand."""
    printed = render_budget(replace(REPORT, rulebook="iec"), width=80, colour=False)
    assert "rise 12.3 K, inside 47.3 °C" in printed
    assert "12.4 mV        36 °C" in printed


def test_says_what_was_not_computed():
    printed = render_budget(Report(FILE, "iec", (), ()), width=80, colour=False)
    for name in ("Supplies", "Enclosure", "Protective devices", "Conductors"):
        assert f"{name}: not computed\n" in printed


def many(count: int) -> Report:
    record = {"ampacity_a": 10.0, "drop_v": 0.1, "temperature_c": 40.0}
    return Report(FILE, "iec", (), (), {"conductors": {f"W{n}": record | {"current_a": n} for n in range(count)}})


def test_shows_the_hardest_used_and_counts_the_rest():
    printed = render_budget(many(20), width=80, colour=False)
    shown = [line.split()[0] for line in printed.splitlines() if line.startswith("  W")]
    assert shown == [f"W{n}" for n in range(19, 7, -1)]
    assert "  and 8 rows more: list with --all\n" in printed


def test_shows_all_when_asked():
    printed = render_budget(many(20), width=80, colour=False, all_rows=True)
    assert sum(line.startswith("  W") for line in printed.splitlines()) == 20
    assert "--all" not in printed


def test_conductors_of_equal_use_keep_their_natural_order():
    record = {"current_a": 1.0, "ampacity_a": 2.0, "drop_v": 0.0, "temperature_c": 20.0}
    report = Report(FILE, "iec", (), (), {"conductors": dict.fromkeys(("W10", "W9", "C1.10", "C1.2"), record)})
    printed = render_budget(report, width=80, colour=False)
    assert [line.split()[0] for line in printed.splitlines() if "50 %" in line] == ["C1.2", "C1.10", "W9", "W10"]


@pytest.mark.parametrize("width", range(32, 90))
def test_no_line_is_wider_than_the_page(width):
    printed = render_budget(REPORT, width=width, colour=False)
    assert max(map(cell_len, printed.splitlines())) <= width


def test_a_narrow_page_tells_each_row_in_words():
    printed = render_budget(REPORT, width=40, colour=False)
    assert "  - G2, fast: load 3.5 A, peak 5.2 A,\n    available 4.25 A, headroom 17.6 %\n" in printed
