"""Changes as a person writes them, and what is said of those that do not read."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.changes.addition import change_plan
from wiring.changes.lines import lines_in, make_changes
from wiring.changes.outcome import Unreadable, open_plan
from wiring.plan.fault import Refusal

SPECS = Path(__file__).parents[2] / "specs"


@pytest.fixture(scope="module")
def feeder():
    return open_plan(SPECS / "bench-press-feeder.yaml")


@pytest.fixture(scope="module")
def gantry():
    return open_plan(SPECS / "foam-gantry.yaml")


def changed(base, *lines):
    return make_changes(base, lines)[0].design


def test_a_value_of_a_part(gantry):
    design = changed(gantry, "M1.work.torque=2.5 N·m", "states.rapid.M2.duty=10 %")
    assert design.parts["M1"].data.work.torque == 2.5
    assert design.plan.states["rapid"]["M2"].duty == 0.1


def test_a_state_word_becomes_figures(feeder):
    assert changed(feeder, "run.M1.speed=60 rpm").plan.states["run"]["M1"].speed == pytest.approx(6.2832, rel=1e-4)


def test_wires_types_and_cores(feeder, gantry):
    design = changed(gantry, "202.size=2.5 mm2", "motor.size=4 mm2", "C1.3.size=1.5 mm2")
    size = {name: design.circuit.conductor[name].size.text for name in ("202", "201", "C1.3", "C1.2")}
    assert size == {"202": "2.5 mm2", "201": "4 mm2", "C1.3": "1.5 mm2", "C1.2": "1.0 mm2"}


def test_another_part_of_the_library(feeder):
    design = changed(feeder, "G1.use=supply-24v-20a")
    assert design.parts["G1"].data.rated == 20.0
    assert design.parts["G1"].title == "motor supply"


def test_a_part_with_data_of_its_own_becomes_one_of_the_library(gantry):
    outcome, remarks = make_changes(gantry, ["G1.use=supply-48v-10a"])
    part = outcome.design.parts["G1"]
    assert (part.library, part.title, part.data.rated) == ("supply-48v-10a", "motor supply", 10.0)
    assert "in place of its own (input, output, rated" in remarks[0]
    assert len(outcome.text.splitlines()) <= len(gantry.text.splitlines())


def test_lists_grow_and_keys_go(gantry):
    design = changed(
        gantry, "wires+={wire: 999, from: XPE:31, to: MP:1, type: earth}", "G1.leakage=", "E1.title=wire: bow"
    )
    assert design.circuit.conductor["999"].ends == (("XPE", "31"), ("MP", "1"))
    assert design.parts["G1"].data.leakage is None
    assert design.parts["E1"].title == "wire: bow"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("nonsense", "is no change"),
        ("=5", "is no change"),
        ("M9.work.torque=1 N·m", "no 'M9'"),
        ("G1.use=supply-48v-20", "no library part"),
        ("G1.use=fuse-gg-4a", "G1 is a supply, and fuse-gg-4a is a fuse"),
        ("200.1.size=4 mm2", "piece of wire 200"),
        ("parts=x", "whole section"),
        ("G1.rated+=1 A", "is no list"),
        ("G1.gone=", "no parts.G1.gone"),
    ],
)
def test_lines_that_do_not_read(gantry, line, words):
    with pytest.raises(Refusal, match=words):
        make_changes(gantry, [line])


@pytest.mark.parametrize(
    ("line", "words"),
    [("G1.rated=20", "unit"), ("G1.rated=20 V", "V"), ("G1.ratd=20 A", "ratd"), ("202.to=D9:V+", "D9")],
)
def test_values_that_do_not_read_are_faults_of_the_plan(gantry, line, words):
    with pytest.raises(Unreadable, match=words):
        make_changes(gantry, [line])


def test_the_nearest_name_is_told(gantry):
    with pytest.raises(Refusal) as caught:
        make_changes(gantry, ["duct-main.size=40 x 60 mm"])
    assert "duct-mains" in caught.value.near


def test_a_change_file(tmp_path):
    file = tmp_path / "changes.yaml"
    file.write_text('# heavier\n- M1.work.torque=1 N·m\n- "E2.title=fan: new"\n', encoding="utf-8")
    assert lines_in(file) == ["M1.work.torque=1 N·m", "E2.title=fan: new"]
    change = change_plan(SPECS / "foam-gantry.yaml", [], file)
    assert list(change.added) == lines_in(file)


@pytest.mark.parametrize(("text", "words"), [("a: b\n", "no list"), ("- a: b\n", "is no change"), ("- [\n", "bracket")])
def test_a_change_file_that_is_none(tmp_path, text, words):
    file = tmp_path / "changes.yaml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(Refusal, match=words):
        lines_in(file)


def test_what_a_heavier_cut_does_to_its_supply_by_hand(feeder):
    # 0.9 N·m in place of 0.5 N·m at 480 rpm: 0.4 N·m * 50.27 rad/s = 20.1 W more, at 24 V less a drop below 2 %
    from wiring.changes.compare import compare

    after, _ = make_changes(feeder, ["states.fast.M1.torque=0.9 N·m"])
    one = next(f for f in compare(feeder, after).figures if (f.section, f.subject, f.state) == ("supply", "G1", "fast"))
    assert one.after - one.before == pytest.approx(0.4 * 50.265 / 24.0, rel=0.02)
