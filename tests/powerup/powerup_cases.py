"""Plans of the examples with their sheet, each built once."""

from functools import cache
from pathlib import Path

from simulated_technician import MOST_FURTHER

from wiring.design.load import load, load_text
from wiring.powerup.diagnose import Diagnosis
from wiring.powerup.next_place import next_place
from wiring.powerup.predict import Predictor
from wiring.powerup.reading import Reading
from wiring.powerup.sheet import build

SPECS = Path(__file__).parents[2] / "specs"
#: Plans of outside judgement, and two written for blind trials: nothing of the power-up was tuned on them.
JUDGING, FRESH = Path(__file__).parents[1] / "judging", Path(__file__).parent / "fresh"


def path_of(name):
    """The plan of an example, or of outside judgement, by its name."""
    return next(path for folder in (SPECS, JUDGING, FRESH) if (path := folder / f"{name}.yaml").exists())


def judged_plans():
    """The plans of the outside judgements that are behind us; a later one stays untouched until it is taken."""
    rounds = ("PLAN", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
    return [f"{name}-{book}" for name in rounds for book in ("iec", "na")]


@cache
def builder_of(name):
    loaded = load(path_of(name))
    assert loaded.design is not None
    return build(loaded.design)


@cache
def predictor_of(name):
    return Predictor(builder_of(name))


def cause_of(name, cause_id):
    return next(cause for cause in predictor_of(name).causes if cause.id == cause_id)


def found_by(predictor, read, cause_id):
    """The place of a cause in the answer, from 1, and whether it or its twins stand alone in the end.

    None where the main sheet does not show it. `read(line)` is what a meter or the eyes tell of the faulty machine.
    """
    diagnosis, position = Diagnosis(predictor), None
    for line in predictor.to.sheet().main:
        if not (line.is_numeric or line.about):
            continue
        if diagnosis.wrong and line.setting != position:
            break
        position = line.setting
        diagnosis.add([Reading(line, read(line))])
    if not diagnosis.wrong:
        return None
    answer = diagnosis.answer()
    groups = [{one.cause.id for one in group.members} for group in answer.groups]
    place = next((n for n, group in enumerate(groups, 1) if cause_id in group), 0)
    for _ in range(MOST_FURTHER):
        chosen = next_place(diagnosis, answer)
        if chosen is None:
            break
        diagnosis.add([Reading(chosen.line, read(chosen.line))])
        answer = diagnosis.answer()
    alone = next_place(diagnosis, answer) is None and cause_id in {one.cause.id for one in answer.remaining}
    return place, alone


#: A contactor that holds itself by its own contact: in which order things switch matters.
HOLDING = """format: 1
machine: Press that holds itself
rulebook: iec
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {kind: breaker, rating: 16 A, curve: C}}
parts:
  X0: {kind: inlet}
  F1: {kind: breaker, rating: 4 A, curve: C, breaking: 6 kA}
  G1: {kind: supply, input: 100..240 V AC, output: 24 V DC, rated: 5 A, efficiency: 88 %}
  F2: {kind: fuse, rating: 2 A, class: T, breaking: 1.5 kA}
  S0: {kind: emergency-stop, title: stop, contacts: {11-12: NC}}
  S1: {kind: push-button, title: start, contacts: {13-14: NO}}
  K1: {kind: contactor, poles: 3, rated: 9 A, coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC}}
  H1: {kind: lamp, rated: 24 V DC 1 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 1.5 mm2, length: 0.5 m}
  - {wire: 2, from: F1:2, to: G1:L, size: 1.5 mm2, length: 0.5 m}
  - {wire: 3, from: "X0:N", to: "G1:N", size: 1.5 mm2, length: 0.5 m}
  - {wire: 4, from: X0:PE, to: G1:PE, size: 1.5 mm2, length: 0.5 m, colour: GNYE}
  - {wire: 5, from: G1:V+, to: F2:1, size: 1 mm2, length: 0.5 m}
  - {wire: 6, from: F2:2, to: S0:11, size: 1 mm2, length: 0.5 m}
  - {wire: 7, through: [S0:12, S1:13, K1:13], size: 1 mm2, length: 0.5 m}
  - {wire: 8, through: [S1:14, K1:14, K1:A1, H1:X1], size: 1 mm2, length: 0.5 m}
  - {wire: 9, through: [G1:V-, K1:A2, H1:X2], size: 1 mm2, length: 0.5 m}
  - {wire: PE2, from: G1:V-, to: G1:PE, size: 1 mm2, length: 0.3 m, colour: GNYE}
stops:
  stop: {category: 0, devices: [S0], reset: S1}
states:
  run: {}
"""


@cache
def holding_predictor():
    design = load_text(HOLDING, "holding.yaml").design
    assert design is not None
    return Predictor(build(design))
