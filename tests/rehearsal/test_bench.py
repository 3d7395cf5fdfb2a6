"""The machine under hands, against the solved states of the plan and against the stop proof's own plays."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path
from random import Random

import pytest
from msgspec.structs import replace

from tests.rehearsal.served import SPECS
from wiring.control.alive import is_alive
from wiring.control.numeric_simulation import run_script
from wiring.control.script import Moment, start_devices
from wiring.design.design import Design
from wiring.design.load import load, load_text
from wiring.rehearsal.acts import Works
from wiring.rehearsal.bench import MOST_ACTS, Bench
from wiring.rehearsal.charge import Charge
from wiring.rehearsal.sight import sight
from wiring.rehearsal.stories import Play, Story, stories_of

#: Stories of every plan that are played, the gravest first; 0 for 50 of the plans that are proved quickest.
ALL = int(os.environ.get("WIRING_STORIES", "0"))
FAULTY = ("belt-one-stop-contactor-in-parallel", "drive-fed-before-contactors", "one-drive")
QUICK = [SPECS / f"{name}.yaml" for name in ("coil-winder", "drum-sander", "foam-gantry")]
QUICK += [SPECS / "faulty" / f"stop-leaves-{name}.yaml" for name in FAULTY]
PLANS = [*sorted(SPECS.glob("*.yaml")), *sorted((SPECS / "faulty").glob("stop*.yaml"))] if ALL else QUICK


@cache
def design_of(path: Path) -> Design:
    found = load(path).design
    assert found is not None
    return found


@pytest.mark.parametrize("path", sorted(SPECS.glob("*.yaml")), ids=lambda path: path.stem)
def test_started_by_hand_from_cold_it_stands_as_its_state_says(path: Path) -> None:
    """The state is found by another search: that everything runs, if it can. A hand gets there button by button."""
    design = design_of(path)
    bench = Bench(design)
    plan = design.plan
    stops = tuple(device for stop in plan.stops.values() for device in stop.devices)
    reset = next((stop.reset for stop in plan.stops.values() if stop.reset), None)
    for start in start_devices(design.circuit, reset, stops):
        key = frozenset({(start, "operator")})
        bench.act(replace(bench.hands, worked=bench.hands.worked | key))
        bench.act(replace(bench.hands, worked=bench.hands.worked - key))
        bench.advance(60.0)
    assert bench.attracted == set(design.states[bench.hands.state].attracted)
    assert not bench.restless
    assert not bench.blown
    currents = design.states[bench.hands.state].path_current("DC")
    for wire, amps in bench.last_point.path_current("DC").items():
        assert abs(amps - currents.get(wire, 0.0)) <= 1e-6 + 1e-3 * abs(amps), wire


def chosen() -> list[tuple[Path, tuple[str, str, str], Story]]:
    """Stories drawn from all plans, those that are not safe first."""
    found = []
    for path in PLANS:
        stories = stories_of(design_of(path).stopping.proof)
        keys = sorted(stories, key=lambda key: (stories[key].verdict in ("safe", "unseen"), Random(str(key)).random()))
        found += [(path, key, stories[key]) for key in keys[: ALL or 9]]
    return found


def test_fifty_stories_end_as_the_proof_says() -> None:
    """At every moment the same is alive and the same coils are attracted as where the proof plays it, and a dangerous
    fault leaves alive what the verdict names."""
    played = 0
    for path, key, story in chosen():
        design = design_of(path)
        running = design.stopping.proof.results[key[0]].running
        seen = run_script(running, story.use, story.device, story.faults, story.condition)
        bench = Bench(design)
        play, before = Play(bench, story), ()
        while play.steps:
            moment = play.next()
            if moment is None:
                continue
            alive = tuple(one.name for one in story.use.targets if is_alive(one, bench.last_point))
            told = tuple(name for name in alive if name not in before) if moment in MAINS else alive
            before = alive if moment in (Moment.AGAIN, Moment.MAINS_OFF) else before
            assert told == seen[moment].alive, (path.stem, key, moment)
            assert bench.last_point.attracted == seen[moment].point.attracted, (path.stem, key, moment)
            if story.verdict == "dangerous" and moment is story.moment:
                assert set(story.alive) <= set(told), (path.stem, key)
        played += 1
    assert played >= 50


MAINS = (Moment.MAINS_OFF, Moment.MAINS_ON)


def test_an_act_undone_is_as_if_it_had_never_been() -> None:
    """Law over random acts: what is seen after undoing all of them is what was seen before them."""
    works = Works(design_of(SPECS / "coil-winder.yaml"))
    random = Random(7)
    first = sight(works.bench)
    acts = 0
    while acts < MOST_ACTS // 2:
        works.do(_random_act(works, random))
        acts = len(works.bench.past)
        assert not works.bench.restless
    while works.bench.past:
        works.do({"do": "undo"})
    assert sight(works.bench) == first


def test_a_save_leaves_hands_and_coils_where_they_are() -> None:
    """A plan taken over without a change is the same machine, whatever is worked, pulled, put in or charged."""
    random = Random(3)
    path = SPECS / "coil-winder.yaml"
    works = Works(design_of(path))
    for _ in range(12):
        works.do(_random_act(works, random))
        again = Works(design_of(path), works)
        one, two = sight(works.bench), sight(again.bench)
        assert {key: two[key] for key in SAME} == {key: one[key] for key in SAME}


SAME = ("worked", "pulled", "blown", "mains", "programs", "state", "faults", "on", "open", "wires", "nodes", "works")


def _random_act(works: Works, random: Random) -> dict[str, object]:
    bench = works.bench
    operator = random.choice(bench.use.operators).actuator
    devices = sorted({path.split(":")[0] for path in bench.trips})
    return random.choice(
        [
            {"do": "work", "part": operator[0], "actuator": operator[1], "on": operator not in bench.hands.worked},
            {"do": "pull", "part": random.choice(devices), "on": random.random() < 0.5},
            {"do": "mains", "on": not bench.hands.mains},
            {"do": "state", "name": random.choice(list(bench.design.state_entries))},
            {"do": "fault", "id": random.choice(list(works.faults)), "on": random.random() < 0.6},
        ]
    )


def test_the_current_of_a_state_is_that_of_the_state_after_another_one() -> None:
    """Layers that are kept hold what loads asked for in the state before: they must not be shown in the next."""
    works = Works(design_of(SPECS / "coil-winder.yaml"))
    for on in (True, False):
        works.do({"do": "work", "part": "S3", "actuator": "operator", "on": on})
    for state in ("winding", "ready", "winding", "fast", "ready"):
        works.do({"do": "state", "name": state})
        want = works.bench.design.states[state].path_current("DC")
        assert works.bench.last_point.path_current("DC") == pytest.approx(want, rel=1e-3, abs=1e-6), state


DELAYED = """format: 1
machine: Two delays
rulebook: iec
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet, poles: [L, N, PE], rated: 10 A}
  S1: {kind: selector, contacts: {13-14: NO}}
  K1: {kind: relay, coil: 230 V AC 3 W, contacts: {13-14: NO}, on_delay: 2 s}
  K2: {kind: relay, coil: 230 V AC 3 W, contacts: {13-14: NO}, off_delay: 5 s}
  H1: {kind: lamp, rated: 230 V AC 2 W}
wires:
  - {wire: 1, from: X0:L, to: S1:13, size: 1 mm2, length: 1 m}
  - {wire: 2, through: [S1:14, K1:A1, K2:A1], size: 1 mm2, length: 1 m}
  - {wire: 3, through: [X0:N, K1:A2, K2:A2, H1:X2], size: 1 mm2, length: 1 m}
  - {wire: 4, through: [X0:L, K1:13, K2:13], size: 1 mm2, length: 1 m}
  - {wire: 5, through: [K1:14, K2:14, H1:X1], size: 1 mm2, length: 1 m}
"""


def test_delays_run_on_the_clock_in_their_own_order() -> None:
    """By hand: K2 attracts at once and lets go 5 s late, K1 attracts 2 s late and lets go at once."""
    loaded = load_text(DELAYED)
    assert loaded.design is not None, loaded.faults
    works = Works(loaded.design)
    on = works.do({"do": "work", "part": "S1", "actuator": "operator", "on": True})
    assert (on["on"], on["next"]) == (["K2"], {"K1": 2.0})
    assert works.do({"do": "clock", "seconds": 1.5})["on"] == ["K2"]
    assert works.do({"do": "clock"})["on"] == ["K1", "K2"]
    assert works.bench.time_s == pytest.approx(2.0)
    off = works.do({"do": "work", "part": "S1", "actuator": "operator", "on": False})
    assert (off["on"], off["next"]) == (["K2"], {"K2": 5.0})
    works.do({"do": "clock", "seconds": 3.0})
    works.do({"do": "work", "part": "S1", "actuator": "operator", "on": True})
    assert works.do({"do": "clock", "seconds": 1.0})["on"] == ["K2"], "the delay begins again"
    assert works.do({"do": "clock", "seconds": 1.0})["on"] == ["K1", "K2"]


def test_a_bus_falls_as_its_energy_is_used_up() -> None:
    """C (V1² - V2²) / 2 = P t: 1 mF at 100 V with 5 W is at 0 V after 1 s, at 70.7 V (half the energy) after 0.5 s."""
    one = Charge(10.0, 100.0, 1e-3, 5.0)
    assert one.at(10.0) == 100.0
    assert one.at(10.5) == pytest.approx(100.0 * 0.5**0.5)
    assert one.at(11.0) == pytest.approx(0.0, abs=1e-6)
    assert one.safe_in(10.0) == pytest.approx((100.0**2 - 60.0**2) * 1e-3 / 2 / 5.0)


def test_a_rail_that_capacitors_hold_is_never_shown_as_dead() -> None:
    """With the mains off and no time gone the rail of the winder's drives still stands at 36 V."""
    works = Works(design_of(SPECS / "coil-winder.yaml"))
    for on in (True, False):
        works.do({"do": "work", "part": "S3", "actuator": "operator", "on": on})
    seen = works.do({"do": "mains", "on": False})
    assert seen["nodes"]["D1:V+"][0] == "charged"
    assert seen["nodes"]["D1:V+"][1] == pytest.approx(36.0, rel=0.02)
    assert works.do({"do": "clock", "seconds": 600.0})["nodes"]["D1:V+"][0] != "charged"


def test_what_is_tied_to_nothing_is_floating_and_not_dead() -> None:
    """At the winder's start the way between its two open contactors hangs on nothing."""
    works = Works(design_of(SPECS / "coil-winder.yaml"))
    seen = sight(works.bench)
    assert seen["wires"]["104"][0] == "float"
    assert seen["wires"]["106.1"][0] in ("zero", "flow")
    assert seen["nodes"]["X0:L"][0] in ("live", "flow")
    assert seen["nodes"]["X0:PE"][0] == "zero"
