"""`wiring compare`: what a hand does at the cabinet, read off plans that differ in one known way.

The law: a cabinet that is built after the old plan, with the steps carried out, is that of the new one. Steps are
carried out here on a model of the cabinet that knows labels and terminals alone.
"""

from __future__ import annotations

import json
import subprocess
from copy import deepcopy
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.parts.plans import HEAD
from wiring.changes.outcome import Outcome, outcome_of
from wiring.changes.rebuild import Action
from wiring.cli import app
from wiring.documents.labels import labels
from wiring.documents.plan_comparison import PlanComparison, compare_plans
from wiring.reports.compare_report import comparison_data, render_comparison
from wiring.reports.lines import cells

ROOT = Path(__file__).parents[2]
WINDER = (ROOT / "specs" / "coil-winder.yaml").read_text(encoding="utf-8")
PLAN = Path("plan.yaml")


@cache
def plan(text: str) -> Outcome:
    return outcome_of(text, "plan.yaml", ROOT / "specs")


def told(*changes: tuple[str, str]) -> PlanComparison:
    text = WINDER
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return compare_plans(plan(WINDER), plan(text))


def steps(*changes: tuple[str, str]) -> list[tuple[Action, str]]:
    return [(one.action, one.words) for one in told(*changes).steps]


def test_a_plan_and_itself_differ_in_nothing() -> None:
    same = compare_plans(plan(WINDER), plan(WINDER))
    assert same.steps == same.said == same.labels == same.stops == ()
    assert same.sheets == ()
    assert same.judged.new == same.judged.gone == ()
    assert not same.is_worse
    assert "Nothing to do at the cabinet." in render_comparison(same, width=80, colour=False)


def test_sheets_of_one_title_are_each_compared_with_their_own() -> None:
    """The washer's stop circuit takes two sheets, both named alike."""
    washer = plan((ROOT / "specs" / "parts-washer.yaml").read_text(encoding="utf-8"))
    assert compare_plans(washer, washer).sheets == ()


F3 = "F3: {kind: fuse, rating: 5 A, class: gG, rated_voltage: 250 V DC, breaking: 20 kA}"


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (F3, F3.replace("5 A", "4 A"), (Action.REPLACE, "F3, fuse: rating 4 A in place of 5 A")),
        (F3, F3.replace("rating", "title: winder drive, rating"), (Action.RELABEL, "F3: winder drive")),
        (F3, F3.replace("rating", "resistance: 20 mohm, rating"), (Action.READ, "F3: resistance 20 mohm")),
        (F3, F3.replace("rating", "at: door, rating"), (Action.MOVE, "F3: on the door in place of in the cabinet")),
        ("wire: 205, from: X3:3, to: D2:V-", "wire: 215, from: X3:3, to: D2:V-",
         (Action.RELABEL, "205 as 215 (X3:3 to D2:V-)")),
        ("from: X3:2, to: D1:V-", "from: X3:4, to: D1:V-",
         (Action.MOVE, "204: from X3:2 to X3:4; the end at D1:V- stays")),
        ("wire: 201, from: F3:2, to: D1:V+,", "wire: 201, from: F3:2, to: D1:V+, size: 2.5 mm2,",
         (Action.REPLACE, "201 (F3:2 to D1:V+): 2.5 mm2 DBU pvc-70 in place of 1.5 mm2 DBU pvc-70")),
        ("wire: 201, from: F3:2, to: D1:V+", "wire: 201, from: D1:V+, to: F3:2", None),
    ],
)  # fmt: skip
def test_one_difference_is_one_step(old: str, new: str, expected: tuple[Action, str] | None) -> None:
    """What is written the other way round is the same wire."""
    assert steps((old, new)) == ([expected] if expected else [])


def test_a_part_moves_on_the_plate_and_a_size_that_is_told_moves_nothing() -> None:
    spots = ("position: 100 x 300 mm", "position: 120 x 300 mm, size: 18 x 80 x 60 mm")
    here, there = (WINDER.replace(F3, F3[:-1] + f", {more}}}") for more in spots)
    moved = compare_plans(plan(here), plan(there)).steps
    assert [(one.action, one.words) for one in moved] == [(Action.MOVE, "F3: 120 x 300 mm in place of 100 x 300 mm")]


def test_a_part_under_another_name_is_relabelled_with_the_ends_of_its_wires() -> None:
    renamed = told(("F4:", "F14:"))
    assert [(one.action, one.name) for one in renamed.steps] == [(Action.RELABEL, "F14")]
    assert {label.below or label.text for label in renamed.labels} >= {"F14:1", "F14:2"}
    assert all("F14" in f"{label.text} {label.below}" for label in renamed.labels)
    assert renamed.judged.new == renamed.judged.gone == ()


def test_a_point_put_into_a_chain_moves_one_wire_and_puts_on_another() -> None:
    """G1:V+ to F3:1 to F4:1, and now F4:1 on to X3:4: one wire comes, none is touched."""
    longer = steps(("through: [G1:V+, F3:1, F4:1]", "through: [G1:V+, F3:1, F4:1, X3:4]"))
    assert longer == [(Action.PUT_ON, "200: F4:1 to X3:4 (1.5 mm2, DBU, pvc-70)")]
    turned = steps(("through: [G1:V+, F3:1, F4:1]", "through: [G1:V+, F4:1, F3:1]"))
    assert turned == [(Action.MOVE, "200: from F3:1 to F4:1; the end at G1:V+ stays")]


def test_a_longer_cable_is_replaced_and_a_shorter_one_stays() -> None:
    cable = "length: 2.5 m, route: bench-power"
    assert [action for action, _ in steps((cable, cable.replace("2.5", "3.5")))] == [Action.REPLACE]
    assert steps((cable, cable.replace("2.5", "2.0"))) == []


def cabinet(outcome: Outcome) -> dict[str, set[object]]:
    """Parts and conductors as one sees them: names, numbers and ends."""
    circuit = outcome.design.circuit
    return {
        "wires": {(one.id if one.kind != "wire" else one.number, frozenset(one.ends)) for one in circuit.conductors},
    }


@pytest.mark.parametrize("spec", ["coil-winder", "drum-sander"])
def test_what_is_taken_out_and_put_in_is_what_the_plans_differ_in(spec: str) -> None:
    """Law: from a plan without one of its parts back to the plan, just that part and its wires come."""
    from plain_plans import parsed, written

    path = ROOT / "specs" / f"{spec}.yaml"
    whole = path.read_text(encoding="utf-8")
    full = outcome_of(whole, "plan.yaml", path.parent)
    data = parsed(whole)
    name = next(name for name in reversed(data["parts"]) if full.design.parts[name].kind in ("lamp", "fuse", "fan"))
    less = deepcopy(data)
    del less["parts"][name]
    less["wires"] = [one for one in less["wires"] if f"{name}:" not in str(one)]
    less["cables"] = [one for one in less.get("cables", []) if f"{name}:" not in str(one)]
    less["accepted"] = []
    for section in ("states", "stops"):
        less[section] = {key: {k: v for k, v in one.items() if k != name} for key, one in less.get(section, {}).items()}
    bare = outcome_of(written(less), "plan.yaml", path.parent)
    gone, there = cabinet(bare), cabinet(full)
    back = compare_plans(bare, full)
    assert {one.name for one in back.steps if one.action is Action.PUT_IN} == {name}
    come = {one.name.partition(".")[0] for one in back.steps if one.action is Action.PUT_ON and one.what == "wire"}
    assert come == {str(number) for number, _ in there["wires"] - gone["wires"] if "." not in str(number)}
    assert not [one for one in back.steps if one.action in (Action.TAKE_OFF, Action.TAKE_OUT)]
    away = compare_plans(full, bare)
    assert {one.name for one in away.steps if one.action is Action.TAKE_OUT} == {name}


def test_labels_to_print_are_those_that_hang_nowhere() -> None:
    moved = told(("from: X3:2, to: D1:V-", "from: X3:4, to: D1:V-"))
    assert [(label.text, label.below) for label in moved.labels] == [("204", "X3:4")]
    assert set(moved.labels) <= set(
        labels(plan(WINDER.replace("from: X3:2, to: D1:V-", "from: X3:4, to: D1:V-")).design)
    )


def test_what_the_plan_says_anew_is_told_with_its_way() -> None:
    said = told(("fault_current: 1.0 kA", "fault_current: 0.9 kA")).said
    assert [(one.name, one.before, one.after) for one in said] == [("mains › fault_current", "1.0 kA", "0.9 kA")]


def test_a_worse_verdict_is_told_and_is_the_exit_status(tmp_path: Path) -> None:
    new = tmp_path / "new.yaml"
    new.write_text(WINDER.replace("  - {wire: PE5, from: XPE:5, to: DR:1, type: earth, length: 0.9 m}\n", ""), "utf-8")
    old = str(ROOT / "specs" / "coil-winder.yaml")
    worse = CliRunner().invoke(app, ["compare", old, str(new), "--format", "json"])
    data = json.loads(worse.output)
    assert worse.exit_code == 1
    assert data["verdict"] == {"before": "clear", "after": "stop", "worse": True}
    assert any(one["rule"] == "earth-missing" for one in data["findings"]["new"])
    assert {sheet["is"] for sheet in data["sheets"]} <= {"new", "gone", "changed"}
    better = CliRunner().invoke(app, ["compare", str(new), old])
    assert better.exit_code == 0
    assert "Verdict: CLEAR, before STOP: better." in better.output
    assert "Gone: DANGER earth-missing" in " ".join(better.output.split())


def test_the_page_escapes_what_a_plan_holds(tmp_path: Path) -> None:
    new, page = tmp_path / "new.yaml", tmp_path / "page.html"
    title = "title: '<script>alert(1)</script>', rating"
    new.write_text(WINDER.replace(F3, F3.replace("rating", title)), encoding="utf-8")
    done = CliRunner().invoke(
        app, ["compare", str(ROOT / "specs" / "coil-winder.yaml"), str(new), "--format", "html", "--out", str(page)]
    )
    assert done.exit_code == 0, done.output
    text = page.read_text(encoding="utf-8")
    assert "<script" not in text
    assert "&lt;script&gt;" in text
    assert "does not certify" in text


def test_a_revision_is_the_plan_as_it_stood(tmp_path: Path) -> None:
    path = tmp_path / "here" / "plan.yaml"
    path.parent.mkdir()
    path.write_text(WINDER, encoding="utf-8")
    for command in (
        ["init", "-q"], ["add", "."], ["-c", "user.name=x", "-c", "user.email=x@y", "commit", "-qm", "first"],
    ):  # fmt: skip
        subprocess.run(["git", "-C", str(tmp_path), *command], check=True)
    path.write_text(WINDER.replace(F3, F3.replace("5 A", "4 A")), encoding="utf-8")
    for old in ("HEAD", f"HEAD:{path}"):
        done = CliRunner().invoke(app, ["compare", old, str(path), "--format", "json"])
        assert [one["words"] for one in json.loads(done.output)["steps"]] == ["F3, fuse: rating 4 A in place of 5 A"]
    for wrong in ("nothing", "nothing:here.yaml", f"HEAD:{tmp_path / 'other.yaml'}"):
        done = CliRunner().invoke(app, ["compare", wrong, str(path)])
        assert done.exit_code == 2
        assert "REVISION:PATH" in " ".join(done.output.split())


def test_a_mistyped_file_is_told_as_a_file_and_not_as_a_revision(tmp_path: Path) -> None:
    there = tmp_path / "plan.yaml"
    there.write_text(WINDER, encoding="utf-8")
    done = CliRunner().invoke(app, ["compare", "plann.yaml", str(there)])
    assert done.exit_code == 2
    assert "there is no file plann.yaml" in done.output[0].lower() + done.output[1:]
    assert "git says" not in done.output.lower()


def test_a_plan_that_cannot_be_read_ends_with_2(tmp_path: Path) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text(HEAD, encoding="utf-8")
    done = CliRunner().invoke(app, ["compare", str(ROOT / "specs" / "coil-winder.yaml"), str(broken)])
    assert done.exit_code == 2
    assert "broken.yaml" in "".join(done.output.split())


@pytest.mark.parametrize("width", [40, 80])
def test_the_text_keeps_to_the_page_and_ends_with_the_cautions(width: int) -> None:
    text = render_comparison(told(("F4:", "F14:"), (F3, F3.replace("5 A", "8 A"))), width=width, colour=False)
    assert max(map(cells, text.splitlines())) <= width
    assert text.rstrip().endswith("dead.")
    assert comparison_data(told(("F4:", "F14:")))["cautions"]
