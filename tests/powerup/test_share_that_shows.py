"""The share of all single faults that the sheet shows, and what is counted apart: faults that leave the same circuit.

Goals of the project: at least 95 % show somewhere, on the main sheet or in its annex; and, as nobody reads the annex
before something is wrong, at least 95 % of those that change something on the main sheet.
WIRING_POWER_UP_FAULTS=all takes every fault of four examples.

A whole run: on the main sheet of the coil winder 95.9 % of all and 98.0 % of what changes something, press feeder
97.4 % and 99.1 %, gantry 89.3 % and 97.1 %, engraver 90.2 % and 96.4 %; with the annex 99.7 % and more. Of all faults
the two large ones stay below 95 % on the main sheet: what they miss are four in five loose joints of signal conductors
that nothing feels yet, each on a way of its own that takes 2.5 minutes and tells two to six of them. Their six and
eight hours hold no more of those since the motors are coupled again on the dead machine, which takes three ways.
"""

import os

import pytest
from powerup_cases import builder_of, cause_of, predictor_of

from wiring.powerup.causes import run_fault, with_cause
from wiring.powerup.reading import Reading, look_prediction
from wiring.powerup.step import Stage
from wiring.powerup.survey import pairs_of

ALL = os.environ.get("WIRING_POWER_UP_FAULTS") == "all"
#: With the least share on the main sheet, of all that change the circuit, that a run over every fault of each gives.
SPECS = {"coil-winder": 0.95, "bench-press-feeder": 0.97, "foam-gantry": 0.89, "stone-engraver": 0.90}


def changes_something(builder, cause):
    """Whether a fault changes what the machine does or heats a joint.

    A joint with less than 0.5 W and 0.5 V in its hardest state neither gets hot (own choice: some kelvin in a terminal)
    nor moves a 24 V signal out of its band (15 V to 30 V for a type 1 input, IEC 61131-2, from memory).
    """
    if cause.kind != "joint":
        return not cause.is_same
    figure, ohm = builder.design.conductors.get(cause.subjects[0]), cause.ohms[0][1]
    amps = figure.current_a if figure else 0.0
    return amps * amps * ohm >= 0.5 or amps * ohm >= 0.5


def shown(predictor, cause):
    """Where a fault shows: on a line of the main sheet (False, for no annex), of the annex alone, or nowhere (None)."""
    found = {line.annex for line in predictor.looks if look_prediction(cause, line)}
    for setting in sorted(predictor.by_setting, key=lambda setting: (setting.mains, len(setting.events))):
        if False in found:
            break
        values = zip(predictor.by_setting[setting], predictor.readings(cause, setting), strict=True)
        found |= {line.annex for line, value in values if Reading(line, value).is_wrong}
    return min(found, default=None)


@pytest.mark.parametrize("name", SPECS if ALL else ("coil-winder",))
def test_the_share_of_all_faults_that_show(name, capsys):
    """What the main sheet misses are loose joints of signal conductors, each on a way of its own, conductors past one
    pole of a breaker of two poles, and bridges between inputs of the same voltage."""
    predictor, builder = predictor_of(name), builder_of(name)
    found = {cause.id: (cause, shown(predictor, cause)) for cause in predictor.causes if not cause.is_same}
    main = [where is False for _, where in found.values()]
    felt = [where is False for cause, where in found.values() if changes_something(builder, cause)]
    full = [where is not None for _, where in found.values()]
    shares = [sum(some) / len(some) for some in (main, felt, full)]
    with capsys.disabled():
        print(f"\n{name}: {shares[0]:.1%} of {len(main)} single faults show on the main sheet, ", end="")
        print(f"{shares[1]:.1%} of those that change something, {shares[2]:.1%} with the annex")
    assert shares[0] >= SPECS[name]
    assert shares[1] >= 0.95
    assert shares[2] >= 0.95


#: Neighbours on the block of the gantry that hang on different fuses of one supply, by its plan.
JOINED_BRANCHES = ("bridge:X1:5+6", "bridge:X1:7+8", "bridge:X1:9+10", "bridge:X1:16+17")


@pytest.mark.parametrize("name", JOINED_BRANCHES)
def test_two_branches_that_are_joined_show_while_one_of_them_is_out(name):
    """With both fuses in they stand at one voltage, and nothing shows: one must be out, and what it feeds be seen."""
    predictor, cause = predictor_of("foam-gantry"), cause_of("foam-gantry", name)
    settings = {line.setting for line in predictor.lines if line.stage is Stage.BRANCHES and not line.annex}
    wrong = [
        line
        for setting in settings
        for line, value in zip(predictor.by_setting[setting], predictor.readings(cause, setting), strict=True)
        if not line.annex and line.stage is Stage.BRANCHES and Reading(line, value).is_wrong
    ]
    assert wrong
    assert all(" out" in line.cell for line in wrong)


def test_a_pole_of_a_residual_current_device_turned_round_shows_at_the_device():
    """The current of one pole then counts the other way: twice the load's is left over, and it trips under load."""
    looks = [line for line in predictor_of("foam-gantry").looks if "residual current device" in line.action]
    assert [look_prediction(cause_of("foam-gantry", "swapped:F1:1+F1:2"), line) for line in looks] == [1.0]


# Faults that are counted apart.


def felt_by_the_machine(builder, setting, cause=None):
    """Everything that is fed or takes a signal, by its voltage, every conductor by its current, and all that a coil has
    attracted, with a fault in the machine."""
    lowered = with_cause(builder.survey.live, cause) if cause else builder.survey.live
    run = builder.operator.run(setting, lowered, *([run_fault(cause, builder.survey)] if cause else []))
    pairs = [pair for part in builder.design.parts.values() for pair in pairs_of(part)]
    volts = [run.between(pair.a, pair.b, kind) for pair in pairs for kind in ("DC", "AC")]
    amps = [
        run.point.path_current(kind).get(wire.id, 0.0)
        for wire in builder.design.circuit.conductors
        for kind in ("DC", "AC")
    ]
    return run.point.attracted, [abs(value) for value in (*volts, *amps)]


def settings_of(builder):
    """Positions of the main sheet that differ in what is worked, the first four."""
    lines = [line.setting for line in builder.sheet().main if line.setting and line.setting.mains]
    by = {(len(setting.events), bool(setting.load), setting.outputs): setting for setting in lines}
    return list(by.values())[:4]


def test_what_is_counted_apart_leaves_every_voltage_and_current_as_it_was():
    """By the network with the fault in it: nothing differs by more than a contact of 10 mohm in the other place."""
    builder = builder_of("coil-winder")
    same = [cause for cause in predictor_of("coil-winder").causes if cause.is_same]
    assert {cause.kind for cause in same} == {"swapped", "bridge", "no-link"}
    for setting in settings_of(builder):
        attracted, sound = felt_by_the_machine(builder, setting)
        for cause in same:
            then = felt_by_the_machine(builder, setting, cause)
            assert then[0] == attracted, (cause.id, setting)
            assert then[1] == pytest.approx(sound, rel=1e-4, abs=1e-4), (cause.id, setting)


@pytest.mark.parametrize("name", ["swapped:K0:A1+K0:A2", "swapped:Q1:1+Q1:2", "swapped:F4:1+F4:2", "bridge:X1:4+5"])
def test_what_minds_its_side_is_not_counted_apart(name):
    """Electronics and coils with marked ends, what stays live at a device that is out, and two rails joined."""
    assert not cause_of("coil-winder", name).is_same
