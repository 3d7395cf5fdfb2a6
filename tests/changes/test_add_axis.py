"""An axis more, worked by hand: current of the rail or of the new branch, and the lines of the plan that change.

Power of a chopper drive: I^2 R of the winding at 80 °C and of the bridge, torque times speed, iron loss of 5 W at
600 rpm in proportion to speed (common practice, no source), quiescent power. The sine and cosine of two phases add to
I^2 R with the amplitude I. Copper at 80 °C has (234.5 + 80) / (234.5 + 20) of its resistance at 20 °C (IEC 60228).
"""

from __future__ import annotations

import difflib
import re
from math import pi, sqrt
from pathlib import Path

import pytest

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import find_axis, parts_of
from wiring.changes.compare import compare
from wiring.changes.outcome import open_plan
from wiring.changes.wanted import Wanted
from wiring.plan.fault import Refusal

SPECS = Path(__file__).parents[2] / "specs"
HOT = (234.5 + 80.0) / (234.5 + 20.0)


def rad_s(rpm: float) -> float:
    return rpm * 2.0 * pi / 60.0


def added(plan: str, like: str, count: int = 1, **wanted):
    before = open_plan(SPECS / f"{plan}.yaml")
    axis = parts_of(before.design, find_axis(before.design, like))
    addition = add_axes(before.design, axis, count, Wanted(**wanted))
    return before, before.changed(addition.edits), addition


def figure(plan: str, section: str, subject: str, state: str = "", **kw):
    before, after, _ = added(plan, "M1", **kw)
    rows = compare(before, after).figures
    return next(one for one in rows if (one.section, one.subject, one.state) == (section, subject, state))


def test_gantry_rapid():
    # 4.2 A peak into 0.75 ohm and a bridge of 0.08 ohm, 0.8 N·m at 450 rpm, at 48 V less a drop below 0.3 %
    watts = 4.2**2 * (0.75 * HOT + 0.08) + 0.8 * rad_s(450) + 5.0 * 450 / 600 + 1.5
    assert watts == pytest.approx(60.71, abs=0.01)
    one = figure("foam-gantry", "supply", "G1", "rapid")
    assert one.after - one.before == pytest.approx(watts / 48.0, rel=0.005)


def test_feeder_fast():
    # 3.9 A peak into 0.9 ohm and 0.12 ohm, 0.5 N·m at 480 rpm, at 24 V less a drop below 1.5 %
    watts = 3.9**2 * (0.9 * HOT + 0.12) + 0.5 * rad_s(480) + 5.0 * 480 / 600 + 1.5
    one = figure("bench-press-feeder", "supply", "G1", "fast")
    assert one.after - one.before == pytest.approx(watts / 24.0, rel=0.015)


def test_winder_fast():
    # 4.2 A peak into 0.75 ohm and 0.08 ohm, 0.6 N·m at 900 rpm, at 36 V less a drop below 1 %
    watts = 4.2**2 * (0.75 * HOT + 0.08) + 0.6 * rad_s(900) + 5.0 * 900 / 600 + 1.5
    one = figure("coil-winder", "supply", "G1", "fast")
    assert one.after - one.before == pytest.approx(watts / 36.0, rel=0.01)


def test_engraver_rapid():
    # 0.5 N·m at 2500 rpm through a motor of 85 % and a drive of 93 %, and 10 W at rest;
    # power factor 0.6 at 400/sqrt(3) V
    watts = 0.5 * rad_s(2500) / 0.85 / 0.93 + 10.0
    one = figure("stone-engraver", "device", "F7")
    assert one.before is None
    assert one.after == pytest.approx(watts / 0.6 / (400.0 / sqrt(3.0)), rel=0.005)


def test_engraver_logic_supply():
    # 0.4 A of logic at 24 V and two safe torque off inputs of 3.3 kohm
    one = figure("stone-engraver", "supply", "G1", "rapid")
    assert one.after - one.before == pytest.approx(0.4 + 2 * 24.0 / 3300.0, rel=0.015)


def test_peak_of_the_gantry_is_full_torque_at_working_speed():
    # as in rapid, with the holding torque of 1.9 N·m in place of 0.8 N·m; 48 V less 0.5 %
    watts = 4.2**2 * (0.75 * HOT + 0.08) + 1.9 * rad_s(450) + 5.0 * 450 / 600 + 1.5
    one = figure("foam-gantry", "peak", "G1", "rapid")
    assert one.after - one.before == pytest.approx(watts / 48.0, rel=0.008)


PLANS = [("foam-gantry", "M1"), ("bench-press-feeder", "M1"), ("stone-engraver", "M3"), ("coil-winder", "M2")]


def lines_of(before: str, after: str) -> tuple[list[str], list[str]]:
    diff = list(difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0))[2:]
    return [x[1:] for x in diff if x[0] == "-"], [x[1:] for x in diff if x[0] == "+"]


@pytest.mark.parametrize(("plan", "like"), PLANS)
def test_only_lines_that_must_change_do(plan, like):
    """A line that went is there again with the same beginning; each has to do with the axis, its points or its rail."""
    before, after, addition = added(plan, like)
    gone, came = lines_of(before.text, after.text)
    new = [name for _, name in addition.parts]
    assert new
    about = "|".join(re.escape(name) for name in [*new, *addition.conductors])
    for line in gone:
        assert re.match(r"\s+(- \{wire: |X\w*: |[A-Z]+: \{kind: (terminals|metalwork|earth-bar)|\w+: +\{.*M\d)", line)
        assert any(other[:12] == line[:12] for other in came), line
    kept = {line[:12] for line in gone}
    for line in came:
        assert re.search(about, line) or line[:12] in kept or line.startswith("     "), line
    comments = [line for line in before.text.splitlines() if line.strip().startswith("#")]
    assert [line for line in after.text.splitlines() if line.strip().startswith("#")] == comments


@pytest.mark.parametrize(("plan", "like"), PLANS)
def test_the_new_axis_moves(plan, like):
    _, after, addition = added(plan, like)
    drives = {axis.motors[0].name for axis in after.design.axes.values() if axis.motors}
    assert set(addition.motors) <= drives
    for state, entries in after.design.plan.states.items():
        assert (like in entries) == (addition.motors[0] in entries), state


def test_a_braking_resistor_of_its_own_comes_along():
    _, after, addition = added("stone-engraver", "M4")
    assert ("R1", "R2") in addition.parts
    ends = {
        end for one in after.design.circuit.conductors for end in one.ends if {"T2", "R2"} & {e[0] for e in one.ends}
    }
    assert {("T2", "R1"), ("R2", "R1"), ("T2", "R2"), ("R2", "R2"), ("R2", "PE")} <= ends
    assert "R1" not in {part for part, _ in ends}


def test_names_go_on_as_the_plan_counts():
    _, _, addition = added("foam-gantry", "M1", 2)
    assert addition.parts[:3] == (("D1", "D5"), ("F11", "F15"), ("M1", "M5"))
    assert addition.motors == ("M5", "M6")
    assert "205" in addition.conductors
    assert "C7" in addition.conductors


def test_what_finds_no_place_is_told():
    _, _, addition = added("foam-gantry", "M1")
    assert addition.unplaced == ("A1 has no free channel for D5:STEP+, D5:DIR+, D5:ENA+",)
    assert "no free point on X3: 1 point added, 7 in all now" in addition.remarks


def test_free_channels_are_used():
    plan = (SPECS / "coil-winder.yaml").read_text(encoding="utf-8")
    more = "E2: push-pull 5 V, P3: push-pull 5 V, R3: push-pull 5 V, E3: push-pull 5 V}"
    from wiring.changes.outcome import outcome_of

    before = outcome_of(plan.replace("E2: push-pull 5 V}", more), "plan", SPECS)
    addition = add_axes(before.design, parts_of(before.design, find_axis(before.design, "M1")), 1, Wanted())
    after = before.changed(addition.edits)
    assert addition.unplaced == ()
    ends = {end for wire in after.design.circuit.conductors for end in wire.ends}
    assert {("A1", "P3"), ("A1", "R3"), ("A1", "E3"), ("D3", "STEP+"), ("D3", "STEP-")} <= ends


def test_another_supply_feeds_it():
    _, after, addition = added("foam-gantry", "M1", on="G2")
    rails = after.design.roles.rails
    drive = dict(addition.parts)["D1"]
    assert {rail.source for rail in rails[drive, "V+"]} == {"G2"}
    assert {rail.source for rail in rails[drive, "V-"]} == {"G2"}


def test_another_motor_sets_its_drive():
    _, after, addition = added("foam-gantry", "M1", motor="motor-frame-17-0.6nm")
    # 2 A per phase is 2.83 A peak
    assert after.design.parts["M5"].library == "motor-frame-17-0.6nm"
    assert after.design.parts["D5"].data.phase_current.peak_a == pytest.approx(2.0 * sqrt(2.0), rel=0.002)
    assert addition.motors == ("M5",)


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ({"motor": "motor-frame-17"}, "no library part"),
        ({"motor": "servo-motor-230v-400w"}, "M1 is a stepper-motor"),
        ({"on": "G3"}, r"G3 gives 5 V DC, and D1 takes 24\.\.80 V DC"),
        ({"on": "G9"}, "no part 'G9'"),
        ({"on": "F11"}, "F11 is a fuse"),
    ],
)
def test_wishes_that_cannot_be_met(wanted, words):
    with pytest.raises(Refusal, match=words):
        added("foam-gantry", "M1", **wanted)


@pytest.mark.parametrize(("name", "words"), [("M9", "no part 'M9'"), ("G1", "G1 is a supply"), ("", "no part")])
def test_what_is_no_axis(name, words):
    with pytest.raises(Refusal, match=words):
        added("foam-gantry", name)


def test_the_brake_of_a_copied_axis_is_worked_with_the_first_one():
    """The single points that feed the brake are full: the new one is joined where they are fed, and released there."""
    _, after, addition = added("stone-engraver", "M3")
    design = after.design
    new = next(name for name, part in design.parts.items() if part.kind == "brake" and name != "Y1")
    nets = design.nets.of
    for end in ("A1", "A2"):
        assert nets[new, end] == nets["Y1", end]
    assert any(f"{new}:A1 is joined to K4:14" in remark for remark in addition.remarks)
