"""The JSON report: keys, order, rounding, stability."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from report_cases import FAULTS, FILE, FUSE_FINDING, REPORT

from wiring.findings import Finding, Mend, Number, Report, Signal
from wiring.reports import render, render_faults
from wiring.reports.json_report import rounded
from wiring.rulebooks.citation import Source, Standing

EXPECTED = {
    "format": 1,
    "plan": "winder.yaml",
    "rulebook": "na",
    "verdict": "stop",
    "findings": [
        {
            "rule": "fuse-above-wire",
            "signal": "WARNING",
            "subjects": ["202", "F4"],
            "file": "winder.yaml",
            "line": 118,
            "column": 46,
            "summary": "Wire 202 of 18 AWG lies behind F4 of 10 A; the most that may protect it is 7 A.",
            "numbers": [
                {"name": "fuse", "value": 10.0, "unit": "A"},
                {"name": "load", "value": 4.81235, "unit": "A"},
            ],
            "limit": {"value": 7.0, "unit": "A", "source": "NFPA 79:2021, 12.6.1.2", "standing": "from memory"},
            "harm": "A fault just below the fuse rating keeps flowing and can set the wire's insulation on fire.",
            "mend": ["Set F4 to 7 A, which carries the load.", "Make wire 202 16 AWG (limit 10 A)."],
            "accepted": False,
        },
        {
            "rule": "shield-ends",
            "signal": "NOTICE",
            "subjects": ["C1"],
            "file": None,
            "line": None,
            "column": None,
            "summary": "The shield of cable C1 is bonded at neither end.",
            "numbers": [],
            "limit": None,
            "harm": "",
            "mend": [],
            "accepted": True,
            "reason": "Bench test only, cable of 0.2 m.",
        },
    ],
    "not_judged": [
        {"rule": "inrush-trips-breaker", "subjects": ["F1"], "missing": "the inrush current of G1"},
        {"rule": "voltage-drop", "subjects": ["200.1"], "missing": "the length of the wire"},
        {"rule": "voltage-drop", "subjects": ["200.2"], "missing": "the length of the wire"},
    ],
    "figures": {
        "supplies": {
            "G2": {
                "ready": {"current_a": 0.0123457, "available_a": 4.25, "headroom": 0.9971},
                "fast": {"current_a": 3.5, "available_a": 4.25, "headroom": 0.1765, "peak_a": 5.2},
            },
            "G10": {"fast": {"current_a": 1.0, "available_a": 4.0, "headroom": 0.75}},
        },
        "conductors": {
            "201": {"current_a": 2.0, "ampacity_a": 8.0, "drop_v": 0.1, "temperature_c": 41.0},
            "202": {"current_a": 4.8, "ampacity_a": 7.0, "drop_v": 0.2, "temperature_c": 55.0},
            "203": {"current_a": 1.0, "ampacity_a": None, "drop_v": 0.0124, "temperature_c": 36.0},
        },
        "protection": {"F4": {"load_a": 4.8, "fault_a": 1200.0, "clears_s": 0.004}},
        "stops": {"emergency": {"removed": ["M1"], "left": [], "single_faults": 12, "dangerous": [], "hidden": []}},
        "enclosure": {"heat_w": 61.5, "rise_k": 12.34, "inside_c": 47.34},
    },
}


def test_prints_the_whole_report_with_its_keys_in_order():
    printed = render(REPORT, {}, "json")
    assert json.loads(printed) == EXPECTED
    assert printed == json.dumps(EXPECTED, indent=2, ensure_ascii=False) + "\n"


def test_an_empty_report_has_every_key():
    data = json.loads(render(Report(FILE, "iec", (), ()), {}, "json"))
    assert list(data) == ["format", "plan", "rulebook", "verdict", "findings", "not_judged", "figures"]
    assert data["verdict"] == "clear"
    assert data["figures"] == {"supplies": {}, "conductors": {}, "protection": {}, "stops": {}, "enclosure": {}}


def test_the_faults_of_a_plan_come_in_its_order():
    assert json.loads(render_faults(FAULTS, {}, "json", plan=FILE)) == {
        "format": 1,
        "plan": "winder.yaml",
        "faults": [
            {
                "file": "winder.yaml",
                "line": 41,
                "column": 3,
                "summary": "F4 is given twice",
                "expected": "",
                "mend": "",
                "near": [],
            },
            {
                "file": "winder.yaml",
                "line": 118,
                "column": 46,
                "summary": "the wire size '18 AGW' has the unknown unit 'AGW'",
                "expected": "a size such as 1.5 mm2 or 18 AWG",
                "mend": "write the unit as it is listed",
                "near": ["AWG"],
            },
        ],
    }


@pytest.mark.parametrize(
    ("value", "told"),
    [
        (1234567.0, 1234570.0),
        (0.00012345678, 0.000123457),
        (-0.0, 0.0),
        (float("nan"), None),
        (float("-inf"), None),
        (12345678, 12345678),
        (True, True),
        (("a", 2.00000049), ["a", 2.0]),
        ({1: {"x": 1 / 3}}, {"1": {"x": 0.333333}}),
    ],
)
def test_rounds_to_six_significant_digits(value, told):
    assert repr(rounded(value)) == repr(told)


@given(st.floats())
def test_any_float_becomes_valid_json_close_to_it(value):
    finding = replace(FUSE_FINDING, numbers=(Number("n", value, "A"),))
    told = json.loads(render(Report(FILE, "na", (finding,), ()), {}, "json"))["findings"][0]["numbers"][0]["value"]
    if told is None:
        assert value in (float("inf"), float("-inf")) or value != value
    else:
        assert told == pytest.approx(value, rel=5e-6, abs=0)


@given(st.text(max_size=40), st.sampled_from(["utf-8", "UTF8", "ascii", "cp1252", "none-such"]))
def test_any_text_goes_through_any_encoding(bad, encoding):
    finding = Finding(bad, Signal.NOTICE, (bad,), bad, harm=bad, mends=(Mend(bad),), accepted=bad)
    printed = render(Report(bad, bad, (finding,), ()), {}, "json", encoding=encoding)
    assert encoding.lower().startswith("utf") or printed.isascii()
    told = json.loads(printed.encode("utf-8"))["findings"][0]
    assert [told["rule"], told["summary"], told["reason"], told["mend"]] == [bad, bad, bad, [bad]]


def test_the_source_is_apart_from_how_sure_it_is():
    limit = replace(FUSE_FINDING.limit, source=Source("", "", "", Standing.COMMON_PRACTICE))
    finding = replace(FUSE_FINDING, limit=limit)
    told = json.loads(render(Report(FILE, "na", (finding,), ()), {}, "json"))["findings"][0]["limit"]
    assert told == {"value": 7.0, "unit": "A", "source": "", "standing": "common practice"}


PRINT_ALL = """
from report_cases import FAULTS, FILE, REPORT, RULES, SOURCES
from wiring.reports import render, render_faults
from wiring.reports.budget import render_budget
for style in ("text", "brief", "json", "sarif"):
    print(render(REPORT, SOURCES, style, rules=RULES), render_faults(FAULTS, SOURCES, style, plan=FILE))
print(render_budget(REPORT, width=80, colour=True))
"""


def test_every_printer_gives_the_same_bytes_for_any_hash_seed():
    here = Path(__file__).parent
    path = os.pathsep.join([str(here), str(here.parents[1])])
    runs = [
        subprocess.run(
            [sys.executable, "-c", PRINT_ALL],
            env=os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": path, "PYTHONIOENCODING": "utf-8"},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "1", "4242")
    ]
    assert b"fuse-above-wire" in runs[0]
    assert runs[0] == runs[1] == runs[2]
