"""A person's words lead to lines that show the fault behind them: one injected fault a symptom."""

import pytest
from powerup_cases import cause_of, predictor_of

from wiring.powerup.reading import Reading, look_prediction
from wiring.powerup.symptoms import find, in_plan


def showing(name, cause_id, symptom):
    """The lines that a symptom points at and that a fault makes wrong."""
    predictor = predictor_of(name)
    cause = cause_of(name, cause_id)
    pointed = in_plan(symptom, predictor.to).lines
    found = [line for line in pointed if line.about and look_prediction(cause, line)]
    for setting, lines in predictor.by_setting.items():
        values = zip(lines, predictor.readings(cause, setting), strict=True)
        found += [line for line, value in values if line in pointed and Reading(line, value).is_wrong]
    return found


@pytest.mark.parametrize(
    ("words", "name", "plan", "cause"),
    [
        ("the reset does not pull in", "reset-does-not-pull-in", "coil-winder", "open:320"),
        ("reset does not pull in", "reset-does-not-pull-in", "coil-winder", "stay:K1:21-22"),
        ("axis runs the wrong way", "runs-the-wrong-way", "coil-winder", "swapped:M1:A++M1:A-"),
        ("it loses steps", "loses-steps", "coil-winder", "open:C1.2"),
        ("trips the building's RCD when plugged in", "trips-building-rcd", "coil-winder", "bridge:X0:N+PE"),
        ("a relay hums", "contactor-hums", "coil-winder", "low:G2"),
        ("the drive shows undervoltage", "drive-undervoltage", "coil-winder", "open:201"),
        ("motor hums and does not turn", "hums-does-not-turn", "coil-winder", "open:C2.3"),
        ("motor runs only one way", "one-way-only", "coil-winder", "open:351"),
        ("input never comes on", "input-never-on", "coil-winder", "open:C4.2"),
        ("an input stays always on", "input-always-on", "coil-winder", "weld:B1:11-12"),
        ("all the inputs are dead", "all-inputs-dead", "coil-winder", "open:340"),
        ("a stop does not drop out", "stop-does-not-drop", "coil-winder", "weld:S1:11-12"),
        ("the frame tingles", "frame-tingles", "coil-winder", "open:PE6"),
        ("the rail collapses", "rail-collapses", "coil-winder", "bridge:D1:V++V-"),
        ("the supply clicks on and off", "supply-hiccups", "coil-winder", "bridge:G2:V++V-"),
        ("breaker trips at switch-on", "trips-at-switch-on", "coil-winder", "bridge:G2:L+N"),
        ("undervoltage when the drive accelerates", "undervoltage-on-acceleration", "coil-winder", "joint:200.1:1"),
        ("position lost at high speed", "lost-at-speed", "coil-winder", "low:G1"),
        ("drifts a step at each reversal", "drifts-per-reversal", "coil-winder", "open:350"),
        ("the motor is weak", "weak", "coil-winder", "open:C1.2"),
        ("a limit triggers at random", "limit-at-random", "coil-winder", "open:C4.2"),
        ("starts when a stop is let go", "starts-on-release", "coil-winder", "weld:S3:13-14"),
        ("the contactor chatters", "contactor-chatters", "coil-winder", "joint:332:10"),
        ("position is lost while the process runs", "lost-with-process", "coil-winder", "open:PE10"),
        ("controller restarts when the process starts", "controller-resets", "coil-winder", "low:G2"),
        ("encoder counts drift", "counts-drift", "glue-robot", "open:W3.1"),
        ("lamp stays on while its output is off", "output-stays-on", "foam-gantry", "weld:K3:21-24"),
        (
            "residual current device trips with the inverter",
            "residual-device-trips",
            "foam-gantry",
            "neighbour:102:F1:2",
        ),
    ],
)
def test_the_words_of_a_person_lead_to_lines_that_show_the_fault(words, name, plan, cause):
    found = {symptom.name: symptom for symptom in find(words)}
    assert name in found
    assert showing(plan, cause, found[name])


@pytest.mark.parametrize("plan", ["foam-gantry", "parts-washer"])
def test_a_cold_heater(plan):
    """The wire at the heater open: its voltage under load is missing."""
    predictor = predictor_of(plan)
    heater = next(part for part in predictor.to.design.parts.values() if part.kind == "heater")
    wire = predictor.survey.conductor_at((heater.name, next(iter(heater.terminals))))
    found = {symptom.name: symptom for symptom in find("the heater stays cold")}
    assert showing(plan, f"open:{wire.id}", found["heater-stays-cold"])


@pytest.mark.parametrize("words", ["no", "no 24 V", "it does not"])
def test_words_that_say_nothing_of_what_is_seen_lead_to_no_symptom(words):
    assert find(words) == ()
