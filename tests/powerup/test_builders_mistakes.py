"""Mistakes of a builder on two plans on which no line of the power-up was tuned: plans and mistakes were written before
their first run, and each is a change of the plan's text, so that no code of the causes makes the readings.

Goals of the project: of the mistakes that the main sheet shows, the true one among the first three in 95 %, alone or
among what no reading tells apart within six further measurements in 95 %. The noise is that of `simulated_technician`.
"""

import random
from pathlib import Path

import pytest
import yaml
from powerup_cases import found_by
from simulated_technician import noisy

from wiring.design.load import load_text
from wiring.powerup.machine import Operator
from wiring.powerup.ohms import measure
from wiring.powerup.predict import Predictor, live_reading
from wiring.powerup.sheet import build
from wiring.powerup.step import Meter
from wiring.powerup.survey import Survey

FRESH = Path(__file__).parent / "fresh"
MISTAKES = yaml.safe_load((FRESH / "mistakes.yaml").read_text(encoding="utf-8"))


class ChangedMachine:
    """The machine as the mistaken builder left it, read with a usual meter."""

    def __init__(self, text, mistake, seed):
        for old, new in mistake["change"].items():
            assert text.count(old) == 1, (mistake["say"], old)
            text = text.replace(old, new)
        design = load_text(text, "changed.yaml").design
        assert design is not None, mistake["say"]
        self.survey = Survey(design)
        self.operator = Operator(design, self.survey.live)
        self.seen_at = set(mistake.get("seen_at", ()))
        self.chance = random.Random(seed)
        self.runs, self.memory = {}, {}

    def read(self, line):
        if line.setting is None or line.meter is Meter.LOOK:
            return float(bool(self.seen_at & set(line.about)))
        if line.meter.is_resistance:
            ohm = measure(self.survey.cold_with_bridges, line.setting, [(line.red, line.black)])[0]
            return noisy(float("inf") if ohm is None else ohm, line.meter, self.chance)
        if line.setting not in self.runs:
            self.runs[line.setting] = self.operator.run(line.setting, memory=self.memory)
        return noisy(live_reading(self.runs[line.setting], line), line.meter, self.chance)


@pytest.fixture(scope="module")
def trials():
    found = {}
    for name, mistakes in MISTAKES.items():
        text = (FRESH / f"{name}.yaml").read_text(encoding="utf-8")
        predictor = Predictor(build(load_text(text, f"{name}.yaml").design))
        known = {cause.id for cause in predictor.causes}
        for seed, mistake in enumerate(mistakes):
            assert mistake["cause"] in known, mistake
            machine = ChangedMachine(text, mistake, seed)
            found[name, mistake["say"]] = found_by(predictor, machine.read, mistake["cause"])
    return found


def test_what_a_builder_does_wrong_is_found(trials, capsys):
    seen = {key: trial for key, trial in trials.items() if trial}
    first = [key for key, (place, _) in seen.items() if 1 <= place <= 3]
    alone = [key for key, (_, is_alone) in seen.items() if is_alone]
    with capsys.disabled():
        print(f"\n{len(trials)} mistakes of a builder, {len(seen)} show on the main sheet;", end=" ")
        print(f"in the first 3: {len(first)}, told apart within 6: {len(alone)}")
    assert len(seen) >= 0.95 * len(trials), [key for key in trials if key not in seen]
    assert len(first) >= 0.95 * len(seen), {key: trial for key, trial in seen.items() if key not in first}
    assert len(alone) >= 0.95 * len(seen), {key: trial for key, trial in seen.items() if key not in alone}
