"""No row of the sheet may hurt who follows it: every row of every example plan and of random machines with a source of
12 V to 30 kV, in order and under the single faults that the row may meet.

WIRING_POWER_UP_FAULTS=all takes the plans of outside judgement as well, and more faults.

Bounds: extra-low voltage 50 V AC (IEC 61140:2016, from memory) and residual voltage 60 V DC (IEC 60204-1:2016, 6.2.4);
steps of 300 V, 600 V, 1000 V for meters and leads (IEC 61010-031, from memory); no contact above 1 kV (the brief of the
project). WIRING_RANDOM_PLANS=100 plays faults on all random machines.
"""

import os
import random
from functools import cache

import pytest
from powerup_cases import builder_of, judged_plans
from random_sources import random_bench, spread_of

from wiring.design.load import load_text
from wiring.powerup.causes import run_fault, single_causes, with_cause
from wiring.powerup.sheet import build
from wiring.powerup.step import Meter, Sort, Stage, Who
from wiring.powerup.words import expected_words, meter_words

ALL = os.environ.get("WIRING_POWER_UP_FAULTS") == "all"
SPECS = (
    *("coil-winder", "foam-gantry", "stone-engraver", "bench-press-feeder"),
    *("glue-robot", "tray-mover", "parts-washer", "drum-sander"),
    *(judged_plans() if ALL else ()),
)
BENCHES = range(100)
PLAYED = range(int(os.environ.get("WIRING_RANDOM_PLANS", "12")))
FAULTS, SETTINGS = 12, 4


@cache
def bench_builder(seed):
    loaded = load_text(random_bench(seed).text, "bench.yaml")
    assert loaded.design is not None, [fault.what for fault in loaded.faults]
    return build(loaded.design)


def places(builder, line):
    wire = builder.design.circuit.conductor.get(line.wire)
    if wire:
        return list(wire.ends)
    if ":" in line.wire:
        name, pole = line.wire.split(":")
        return [(name, end) for end in pole.split("-")]
    return [end for end in (line.red, line.black) if end]


def touching(builder):
    """The lines that bring a probe or a lead to a terminal: a look touches nothing."""
    return [line for line in builder.lines if places(builder, line) and not line.meter.is_by_eye]


def test_the_random_benches_span_all_voltages():
    low, middle, high = spread_of(len(BENCHES))
    assert min(low, middle, high) >= 15


@pytest.mark.parametrize("seed", BENCHES)
def test_nothing_touches_a_source_above_1_kv(seed):
    bench, builder = random_bench(seed), bench_builder(seed)
    touched = {end for line in touching(builder) for end in places(builder, line)}
    if bench.volts > 1000.0:
        assert not touched & bench.hot
        assert any("U1" in line.action and "no lead" in line.action.lower() for line in builder.lines)
    elif bench.volts < 900.0:
        assert touched & bench.hot


@pytest.mark.parametrize("seed", BENCHES)
def test_meter_and_person_fit_the_voltage_of_the_source(seed):
    bench, builder = random_bench(seed), bench_builder(seed)
    for line in touching(builder):
        at_source = set(places(builder, line)) & bench.hot
        assert line.access is not None
        assert line.access.rating in (300, 600, 1000)
        assert f"CAT III {line.access.rating} V" in meter_words(line)
        if at_source:
            assert line.access.rating >= bench.volts, line
        if at_source and not line.meter.is_resistance and bench.volts > 60.0:
            assert line.who is Who.QUALIFIED, line


def check_rows_under_faults(builder, chance, faults, settings):
    """No reading and no voltage to earth at a probe above the rating, with any of some single faults in the machine."""
    survey, operator = builder.survey, builder.operator
    live = {}
    for line in touching(builder):
        if line.setting and line.setting.mains:
            live.setdefault(line.setting, []).append(line)
    causes = single_causes(survey)
    chosen = chance.sample(list(causes), min(faults, len(causes)))
    bridges = [cause for cause in causes if cause.kind in ("bridge", "neighbour", "swapped")]
    chosen += chance.sample(bridges, min(faults, len(bridges)))
    checked = 0
    for setting in chance.sample(list(live), min(settings, len(live))):
        for cause in chosen:
            run = operator.run(setting, with_cause(survey.live, cause), run_fault(cause, survey))
            for line in live[setting]:
                ends = places(builder, line)
                stands = [abs(run.point.volts(end, kind) or 0.0) for end in ends for kind in ("DC", "AC")]
                stands += [abs(run.between(ends[0], ends[-1], kind)) for kind in ("DC", "AC")]
                assert max(stands) <= line.access.rating, (line.id, line.action, cause.id, max(stands))
                checked += 1
    return checked


@pytest.mark.parametrize("seed", PLAYED)
def test_no_random_row_meets_more_than_its_rating(seed):
    assert check_rows_under_faults(bench_builder(seed), random.Random(seed), FAULTS, SETTINGS) >= 0


@pytest.mark.parametrize("name", SPECS)
def test_no_row_of_an_example_meets_more_than_its_rating(name):
    faults, settings = (60, 12) if ALL else (10, 4)
    assert check_rows_under_faults(builder_of(name), random.Random(3), faults, settings) > 20


# Dead before hands and ohm leads.


def is_for_hands(line):
    """Ohm leads, and looks that need hands or eyes at the terminals."""
    return line.meter.is_resistance or line.stage is Stage.EYES or (line.stage is Stage.POLARITY and not line.red)


def check_every_store_is_dead_first(builder, names):
    """Between the last live row and every row with hands at the terminals each store was waited for and proved dead."""
    proved = set()
    for line in builder.sheet().main:
        if any(act.what == "on" for act in line.acts):
            assert line.acts[-1].what != "dead"
            proved.clear()
        elif any(act.what == "dead" for act in line.acts):
            assert line.who is Who.QUALIFIED
            assert "lock off" in line.action
            assert "prove dead at the inlet" in line.action
            assert "wait" in line.action or not names
            proved.update(name for name in names if name in line.action)
        elif line.action.startswith("Stored energy of "):
            told = line.action.split(" (")[0].removeprefix("Stored energy of ").split(", ")
            assert "wait" in line.action
            by_meter = line.meter is Meter.DC_V and {line.red[0], line.black[0]} & set(told)
            by_procedure = line.meter is Meter.LOOK and line.who is Who.QUALIFIED
            assert by_meter or by_procedure
            proved.update(told)
        elif is_for_hands(line):
            assert names <= proved, (line.id, line.action, names - proved)


@pytest.mark.parametrize("seed", BENCHES)
def test_a_random_source_is_discharged_before_hands_and_ohm_leads(seed):
    check_every_store_is_dead_first(bench_builder(seed), set(random_bench(seed).stores))


@pytest.mark.parametrize("name", SPECS)
def test_every_store_of_an_example_is_discharged_before_hands_and_ohm_leads(name):
    builder = builder_of(name)
    names = {
        part.name
        for part in builder.design.parts.values()
        if part.kind in ("stepper-drive", "servo-drive", "inverter", "capacitor", "process-source")
    }
    assert names or name in ("parts-washer", "drum-sander")  # contactors and motors alone
    check_every_store_is_dead_first(builder, names)


@pytest.mark.parametrize("name", SPECS)
def test_fuses_and_plugs_change_only_on_a_dead_machine(name):
    """What is put in or taken out behind a live position comes with words that wait for every store of energy."""
    builder, live = builder_of(name), False
    stores = {part for store in builder.survey.stores for part in store.parts}
    for line in builder.sheet().main:
        acts = [act.what for act in line.acts]
        fuses = [n for act in line.acts if act.what in ("in", "out") for n in act.names]
        by_hand = {"plug", "unplug", "loose", "fast", "hold", "let"} & set(acts)
        by_hand |= {n for n in fuses if builder.survey.devices[n].kind == "fuse"}
        if live and by_hand:
            assert acts[0] == "dead"
            assert line.action.startswith(f"Switch off, unplug, lock off, {'wait' if stores else 'prove dead'}")
            assert all(part in line.action for part in stores)
        live = (live or "on" in acts) and not ((acts and acts[-1] == "dead") or ("dead" in acts and "on" not in acts))


@pytest.mark.parametrize("seed", BENCHES)
def test_the_time_of_discharge_is_asked_for(seed):
    bench, builder = random_bench(seed), bench_builder(seed)
    if bench.asked:
        assert any("`discharge` of U1" in words for words in builder.not_judged)
    elif "discharge: 90 s" in bench.text:
        assert any(
            "U1" in line.action and "wait 90 s" in line.action.replace("2 min", "90 s") for line in builder.lines
        )


# After an overload.

OVERLOAD = """  E9: {kind: heater, rated: 24 V DC 240 W, metal: false}
wires:
  - {wire: 90, from: F2:2, to: 'E9:1', length: 0.4 m, size: 1.5 mm2}
  - {wire: 91, from: G1:V-, to: 'E9:2', length: 0.4 m, size: 1.5 mm2}
"""


def test_after_an_overload_nothing_is_an_expected_value():
    """240 W on a supply of 60 W behind a fuse of 2 A: no voltage and no current on that rail is expected."""
    text = random_bench(0).text.replace("wires:\n", OVERLOAD, 1)
    builder = build(load_text(text, "overload.yaml").design)
    behind = [
        line
        for line in builder.lines
        if line.setting
        and line.setting.mains
        and not line.meter.is_resistance
        and not {"F2:1-2"} & line.setting.opened
        and line.meter is not Meter.LOOP  # an impedance of the mains: the rail has no part in it
        and line.stage is not Stage.MAINS
    ]
    assert behind
    for line in behind:
        assert line.expected.sort is Sort.UNJUDGED, (line.id, line.action)
        assert "overload" in expected_words(line) or "opens" in expected_words(line)
    assert any("overload" in words for words in builder.not_judged)
