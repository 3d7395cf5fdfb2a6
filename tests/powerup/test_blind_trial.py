"""Blind trial: faults injected by chance, readings with the noise of a meter, then the tool's own measurements.

Goals of the project: the true cause in the first three in 95 % of the faults that any reading shows, alone or in an
inseparable group within six further measurements in 90 %. WIRING_BLIND_TRIALS=500 runs the whole trial on three plans.

A whole run before the rows went from terminal to terminal: 88.2 % of 500 faults showed on the main sheet, and then the
true cause was in the first three in 100 % of those, alone or among its like within six measurements in 99.3 %. What
shows now stands in `test_share_that_shows`.
"""

import os
import random
from statistics import median

import pytest
from powerup_cases import predictor_of
from simulated_technician import MOST_FURTHER, play

pytestmark = pytest.mark.slow
TRIALS = int(os.environ.get("WIRING_BLIND_TRIALS", "40"))
#: Shares of the faults by plan; the large plans only take part in a long trial.
SHARES = (
    {"coil-winder": 0.48, "foam-gantry": 0.26, "stone-engraver": 0.26}
    if TRIALS >= 200
    else {"coil-winder": 0.7, "bench-press-feeder": 0.3}
)


def felt(predictor):
    """The faults that change the circuit at all."""
    return [cause for cause in predictor.causes if not cause.is_same]


@pytest.fixture(scope="module")
def played():
    found = {}
    for name, share in SHARES.items():
        predictor = predictor_of(name)
        causes = random.Random(7).sample(felt(predictor), round(share * TRIALS))
        found[name] = [play(predictor, cause, seed) for seed, cause in enumerate(causes)]
    return found


@pytest.fixture(scope="module")
def trials(played):
    return [trial for mine in played.values() for trial in mine]


def test_most_injected_faults_show_on_the_sheet(trials):
    """The rest changes no reading: a closed contact turned round, a bridge at an unused terminal."""
    assert sum(trial.seen for trial in trials) >= 0.9 * len(trials)


def test_the_true_cause_is_among_the_first_three(trials):
    seen = [trial for trial in trials if trial.seen]
    first = [trial for trial in seen if 1 <= trial.place <= 3]
    assert len(first) >= 0.95 * len(seen), [trial.cause.id for trial in seen if trial not in first]


def test_it_stands_alone_within_six_further_measurements(trials):
    seen = [trial for trial in trials if trial.seen]
    alone = [trial for trial in seen if trial.alone and trial.further <= MOST_FURTHER]
    assert len(alone) >= 0.90 * len(seen), [trial.cause.id for trial in seen if trial not in alone]


@pytest.fixture(scope="module")
def asked(played):
    """Faults of the coil winder that stood alone in the end, with the measurements of the tool and down the list."""
    seen = [(seed, trial) for seed, trial in enumerate(played["coil-winder"][:48]) if trial.alone]
    most = 2 * MOST_FURTHER
    listed = [play(predictor_of("coil-winder"), trial.cause, seed, in_order=True, most=most) for seed, trial in seen]
    return [(trial.further, trial.minutes) for _, trial in seen], [(trial.further, trial.minutes) for trial in listed]


def test_faster_than_down_the_list(asked):
    """What parts most causes for a minute is chosen, so that a look is taken before the machine is made dead: 88 min
    against 139 of those drawn here, 176 against 244 of 500; of measurements 38 against 52, and 77 against 95."""
    chosen, listed = asked
    assert sum(time for _, time in chosen) < 0.75 * sum(time for _, time in listed)
    assert sum(n for n, _ in chosen) < 0.85 * sum(n for n, _ in listed)
    assert max(chosen)[0] <= max(listed)[0]


def test_the_figures(trials, asked, capsys):
    """Groups that no reading tells apart count as one place; cause by cause the true one may stand behind its twins."""
    seen = [trial for trial in trials if trial.seen]
    as_groups = sum(1 <= trial.place <= 3 for trial in seen) / len(seen)
    by_cause = sum(1 <= trial.strict_place <= 3 for trial in seen) / len(seen)
    apart = sum(trial.alone for trial in seen) / len(seen)
    single = sum(trial.alone and trial.left == 1 for trial in seen) / len(seen)
    with capsys.disabled():
        print(f"\n{len(trials)} faults on {', '.join(SHARES)}: {len(seen) / len(trials):.1%} show on the sheet")
        print(f"true cause in the first 3: {as_groups:.1%} with groups as one, {by_cause:.1%} cause by cause")
        print(f"within {MOST_FURTHER} measurements: {apart:.1%} alone or in an inseparable group, {single:.1%} alone")
        print(f"median of further measurements: {median(trial.further for trial in seen):g}")
        for some, words in zip(asked, ("by the tool", "down the list"), strict=True):
            print(f"{len(some)} faults {words}: {sum(n for n, _ in some)} measurements, ", end="")
            print(f"median {median(n for n, _ in some):g}, {sum(time for _, time in some):.0f} min")
    assert by_cause <= as_groups
    assert single <= apart
