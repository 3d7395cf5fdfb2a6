"""SARIF 2.1.0 against its own JSON Schema, and the clauses that a schema cannot check."""

import json
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from report_cases import FAULTS, FILE, FUSE_FINDING, REPORT, RULES

from wiring.findings import Cause, Finding, NotJudged, Report, Signal
from wiring.plan.source import Place
from wiring.reports import render, render_faults

SCHEMA = json.loads((Path(__file__).parent / "data" / "sarif-2.1.0-rtm.5.json").read_text(encoding="utf-8"))
VALID = jsonschema.Draft4Validator(SCHEMA)


def run_of(report: Report) -> dict:
    log = json.loads(render(report, {}, "sarif", rules=RULES))
    VALID.validate(log)
    return log["runs"][0]


def test_the_schema_refuses_what_is_no_sarif():
    log = json.loads(render(REPORT, {}, "sarif", rules=RULES))
    log["runs"][0]["results"][0]["level"] = "WARNING"
    assert not VALID.is_valid(log)


def test_a_finding_has_its_region_level_and_rule():
    run = run_of(REPORT)
    result = run["results"][0]
    assert run["columnKind"] == "unicodeCodePoints"
    assert result["level"] == "error"
    assert run["tool"]["driver"]["rules"][result["ruleIndex"]] == {
        "id": "fuse-above-wire",
        "shortDescription": {"text": "Fuse is larger than its wire allows"},
        "fullDescription": {"text": "The wire can catch fire."},
    }
    assert result["locations"][0]["physicalLocation"] == {
        "artifactLocation": {"uri": "winder.yaml"},
        # endColumn is one beyond the last character: SARIF 2.1.0, 3.30.8
        "region": {"startLine": 118, "startColumn": 46, "endColumn": 52},
    }
    assert result["relatedLocations"][0]["message"] == {"text": "opens here at the earliest"}
    assert result["message"]["text"].startswith("Wire 202 of 18 AWG lies behind F4 of 10 A;")


@pytest.mark.parametrize(
    ("signal", "level"), [("DANGER", "error"), ("WARNING", "error"), ("CAUTION", "warning"), ("NOTICE", "note")]
)
def test_signal_words_become_levels(signal, level):
    run = run_of(Report(FILE, "na", (replace(FUSE_FINDING, signal=Signal(signal)),), ()))
    assert run["results"][0]["level"] == level


def test_an_accepted_finding_is_suppressed_in_the_plan_itself():
    results = {result["ruleId"]: result for result in run_of(REPORT)["results"]}
    assert results["shield-ends"]["suppressions"] == [
        {"kind": "inSource", "justification": "Bench test only, cable of 0.2 m."}
    ]
    assert "suppressions" not in results["fuse-above-wire"]


def test_what_was_not_judged_is_open_and_has_no_level():  # SARIF 2.1.0, 3.27.9 and 3.27.10
    results = [result for result in run_of(REPORT)["results"] if result.get("kind") == "open"]
    assert [result["level"] for result in results] == ["none"] * 3
    assert results[0]["message"]["text"] == "Not judged. F1: the inrush current of G1"


def test_a_crashed_rule_makes_the_run_unsuccessful():
    invocation = run_of(Report(FILE, "na", (), (), crashed=("pe-size",)))["invocations"][0]
    assert invocation["executionSuccessful"] is False
    assert invocation["toolExecutionNotifications"][0]["associatedRule"] == {"id": "pe-size", "index": 1}
    assert run_of(REPORT)["invocations"] == [{"executionSuccessful": True}]


def test_braces_and_links_in_a_message_stay_text():  # SARIF 2.1.0, 3.11.5 and 3.11.6
    finding = Finding("r", Signal.NOTICE, (), "Wire {0} [here](http://x) and [1 A].")
    message = run_of(Report(FILE, "na", (finding,), ()))["results"][0]["message"]["text"]
    assert message == "Wire {{0}} \\[here\\](http://x) and [1 A]."


@pytest.mark.parametrize(
    ("file", "uri"),  # RFC 3986 and, for the absolute ones, RFC 8089
    [
        ("plans/my winder.yaml", "plans/my%20winder.yaml"),
        ("/home/a/é.yaml", "file:///home/a/%C3%A9.yaml"),
        ("C:\\plans\\a#1.yaml", "file:///C%3A/plans/a%231.yaml"),
    ],
)
def test_files_become_references(file, uri):
    finding = replace(FUSE_FINDING, place=Place(file, 1, 1, 0), because=())
    location = run_of(Report(FILE, "na", (finding,), ()))["results"][0]["locations"][0]["physicalLocation"]
    assert location == {
        "artifactLocation": {"uri": uri},
        "region": {"startLine": 1, "startColumn": 1, "endColumn": 2},
    }


def test_faults_are_results_of_a_run_that_failed():
    log = json.loads(render_faults(FAULTS, {}, "sarif", plan=FILE))
    VALID.validate(log)
    run = log["runs"][0]
    assert run["invocations"] == [{"executionSuccessful": False, "exitCode": 2}]
    assert [result["locations"][0]["physicalLocation"]["region"]["startLine"] for result in run["results"]] == [41, 118]
    assert run["results"][1]["message"]["text"] == (
        "the wire size '18 AGW' has the unknown unit 'AGW'. Expected: a size such as 1.5 mm2 or 18 AWG. "
        "Nearest known: AWG. write the unit as it is listed."
    )


@given(st.text(max_size=60), st.integers(1, 1000), st.integers(0, 500))
def test_any_text_gives_valid_sarif(bad, line, length):
    place = Place(bad, line, 1, length)
    finding = Finding(bad, Signal.DANGER, (bad,), bad, place, (Cause(place, bad),), harm=bad, accepted=bad)
    log = json.loads(render(Report(bad, bad, (finding,), (NotJudged(bad, (bad,), bad),)), {}, "sarif"))
    VALID.validate(log)
    assert json.dumps(log).count('"ruleIndex": 0') == 2
