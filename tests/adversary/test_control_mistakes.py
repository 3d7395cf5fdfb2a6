"""What the rules on control circuits say of mistakes on whole plans, each rule asked alone; quiet on the plan unbroken.

Each expectation follows from the circuit: which contact lies where, derived in `why` of `control-mistakes.yaml`. Common
practice; what a stop of category 1 asks of a drive is IEC 60204-1, 9.2.2, what suspends a safeguard 9.3.6.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from marked_plans import fired, read, results

from tests.judging.judge import edited, plan
from tests.plain_plans import written
from wiring.design.design import Design
from wiring.design.motor.open_brakes import unknown_releases
from wiring.design.stop.bypasses import left_bridges
from wiring.design.stop.resets import reset_starts
from wiring.findings import NotJudged

HERE = Path(__file__).parent
_ALWAYS_IN = "finisher-pump-starts-with-the-reset"
LIST: dict[str, dict[str, Any]] = {row["mistake"]: row for row in plan(str(HERE / "control-mistakes.yaml"))["control"]}


@cache
def base(name: str) -> Design:
    return read(written(plan(str(HERE / name))))


@cache
def broken(name: str) -> Design:
    row = LIST[name]
    return read(written(edited(plan(str(HERE / row["base"])), row)))


@pytest.mark.parametrize(
    ("name", "rule", "subjects", "signal", "says"),
    [
        (
            "stone-home-and-limit-exchanged",
            "limit-on-wrong-way",
            [("B4", "A2"), ("B6", "A2")],
            "CAUTION",
            "B4 is for home and leads to A2:I4, an input for limit",
        ),
        (
            "stone-alarm-output-reversed",
            "polarity-reversed",
            [("D1", "392", "391.1", "391.2")],
            "CAUTION",
            "D1:ALM+ and D1:ALM- lie on G1 the wrong way round",
        ),
        ("dip-encoder-shield-on-0-v", "shield-ends-wrong", [("C3", "X2")], "CAUTION", "on a rail of G1, and not on"),
        (
            "kelp-holding-contacts-exchanged",
            "hold-passes-contact",
            [("K3", "K6", "S9")],
            "WARNING",
            "K3 comes in with K6, which S10 starts, and again as soon as S9 is let go",
        ),
        (
            "kelp-float-beside-the-thermostat",
            "control-sense-reversed",
            [("B6", "E1")],
            "CAUTION",
            "E1 stays fed, in state washing, lifting: it keeps no temperature there",
        ),
        (
            "kelp-starts-joined",
            "hold-passes-contact",
            [("K3", "K6", "S9", "S11")],
            "WARNING",
            "S9, S11 drop neither K3 nor K6",
        ),
        (
            "tray-holding-contacts-exchanged",
            "hold-passes-contact",
            [("K3", "S4", "S3"), ("K4", "S5", "S3")],
            "CAUTION",
            "K3 falls as soon as S4 is let go: no contact of it holds it",
        ),
        (
            "rope-drive-logic-behind-the-stop",
            "stop-category-differs",
            [("emergency", "D1", "M3", "K0"), ("flyer-guard", "D1", "M3", "K0")],
            "CAUTION",
            "D1:24V goes at once: D1 cannot brake, and M3 keeps its torque",
        ),
        (
            "rope-brake-at-once",
            "brake-closed-while-driven",
            [("Y1", "M3", "emergency"), ("Y1", "M3", "flyer-guard")],
            "CAUTION",
            "Y1 falls at once with stop emergency, and M3 keeps its torque for 2 s",
        ),
        (
            "barrel-control-transformer-behind-the-stop",
            "coil-never-fed",
            [("T2", "K1", "K2")],
            "CAUTION",
            "T2 is fed only while K1, K2 are in, and these wait for what hangs on T2",
        ),
        (
            "fruit-inverter-reset-held",
            "protection-closes-by-itself",
            [("T1", "K0", "K5")],
            "CAUTION",
            "T1:RST takes back the faults of T1 and stays fed by K0, K5",
        ),
        (
            "ski-reset-by-the-program",
            "stop-reset-elsewhere",
            [("S3", "K0", "A1", "emergency", "hood")],
            "WARNING",
            "S3, the reset of emergency, hood, is not in the reset loop of K0, A1 is",
        ),
        (
            "wood-run-input-on-the-pump-contact",
            "state-not-fed",
            [("M3", "T2", "B5", "K4", "sawing", "splitting", "backing")],
            "WARNING",
            "M3 is off in state sawing, splitting, backing, and T2 is told to run it there",
        ),
        (
            "sheet-channel-from-24-v",
            "stop-channels-joined",
            [("K0", "B1", "S1")],
            "CAUTION",
            "Channel S11-S12 of K0 begins at G1 and not at K0:S11",
        ),
        (
            "stage-brake-relay-with-the-revolve",
            "state-not-fed",
            [("M1", "T1", "A1", "raising", "lowering")],
            "WARNING",
            "M1 is off in state raising, lowering, and T1 is told to run it there",
        ),
        (
            "clay-hold-past-the-pressure-switch",
            "hold-passes-contact",
            [("K5", "B2")],
            "CAUTION",
            "its own contact feeds it past B2",
        ),
        (
            "clay-cables-of-pressure-and-temperature-exchanged",
            "control-sense-reversed",
            [("B4", "E1")],
            "WARNING",
            "B4 opens, being warm, and E1 stays fed",
        ),
    ],
)
def test_what_a_rule_says_of_a_mistake(
    name: str, rule: str, subjects: list[tuple[str, ...]], signal: str, says: str
) -> None:
    found = fired(rule, broken(name))
    assert [one.subjects for one in found] == subjects
    assert {str(one.signal) for one in found} == {signal}
    assert says in found[0].summary
    assert fired(rule, base(LIST[name]["base"])) == []


@pytest.mark.parametrize(
    ("name", "device", "operator"),
    [
        ("fruit-guard-bypassed-by-a-key-switch", "B2", "S6"),
        ("stone-curtain-muted-by-a-key-switch", "B1", "S8"),
    ],
)
def test_an_operator_that_stays_beside_every_contact_of_a_device(name: str, device: str, operator: str) -> None:
    [one] = left_bridges(broken(name).machine)
    assert (one.device, one.operator, one.every) == (device, operator, True)
    assert list(left_bridges(base(LIST[name]["base"]).machine)) == []


def test_an_operator_that_springs_back_may_suspend_a_guard() -> None:
    """IEC 60204-1, 9.3.6: by a hold-to-run or an enabling device."""
    row = LIST["fruit-guard-bypassed-by-a-key-switch"]
    changed = edited(plan(str(HERE / row["base"])), row)
    changed["parts"]["S6"]["action"] = "spring-return"
    assert list(left_bridges(read(written(changed)).machine)) == []


def test_a_selector_that_tells_a_drive_to_run_is_worked_where_its_motor_runs() -> None:
    """M1 runs in `finishing` by S4 alone: the stop is proved, and its reset played, with S4 left on."""
    made = broken("barrel-selector-straight-to-the-run-input")
    assert ("S4", "operator") in made.states["finishing"].position.moved
    assert [(one.started, one.left_on) for one in reset_starts(made.stopping)] == [(("M1",), ("S4",))] * 2


def test_a_key_switch_beside_a_light_curtain_leaves_its_relay_as_it_is() -> None:
    """What an operator lays beside the outputs of a curtain does not make the relay one that tests contacts."""
    assert broken("stone-curtain-muted-by-a-key-switch").operation.reachability.never == ()


def test_a_contactor_that_is_always_in_keeps_the_reset_open() -> None:
    """Its mirror contact stands open for ever: K0' = ... AND NOT K3 with K3 = 1. Without a coil it is out, and told by
    what it has no circuit for."""
    [row] = [one for one in plan(str(HERE / "finisher-mistakes.yaml")).popitem()[1] if one["mistake"] == _ALWAYS_IN]
    [finding] = fired("coil-never-fed", read(written(edited(plan(str(HERE / row["base"])), row))))
    assert finding.subjects == ("K0", "K3")
    assert "K3:21-22 stands open, as nothing in the feed of K3 lets it go" in finding.summary


def test_a_brake_on_an_output_of_unknown_meaning_is_asked_about() -> None:
    """A ready output conducts while the drive is not enabled; one that the plan calls `brake` follows its torque."""
    changed = plan(str(HERE / "finisher-na.yaml"))
    next(wire for wire in changed["wires"] if wire["wire"] == "124")["from"] = "D1:ALM-"
    asked = [one for one in results("brake-open-without-torque", read(written(changed))) if isinstance(one, NotJudged)]
    assert [one.subjects for one in asked] == [("Y1", "D1")]
    changed["parts"]["D1"]["functions"]["ALM+"] = "brake"
    assert list(unknown_releases(read(written(changed)).machine)) == []
