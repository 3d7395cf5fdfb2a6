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
    ],
)
def test_the_words_of_a_person_lead_to_lines_that_show_the_fault(words, name, plan, cause):
    found = {symptom.name: symptom for symptom in find(words)}
    assert name in found
    assert showing(plan, cause, found[name])


def test_a_cold_heater_of_the_gantry():
    """The wire at the heater open: its voltage under load is missing."""
    predictor = predictor_of("foam-gantry")
    heater = next(part for part in predictor.to.design.parts.values() if part.kind == "heater")
    wire = predictor.survey.conductor_at((heater.name, next(iter(heater.terminals))))
    found = {symptom.name: symptom for symptom in find("the heater stays cold")}
    assert showing("foam-gantry", f"open:{wire.id}", found["heater-stays-cold"])


@pytest.mark.parametrize("words", ["no", "no 24 V", "it does not"])
def test_words_that_say_nothing_of_what_is_seen_lead_to_no_symptom(words):
    assert find(words) == ()
