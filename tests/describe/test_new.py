"""The command `new`: a description becomes a clear plan; what is wrong with a description is told with its place."""

from __future__ import annotations

import json
import re
from math import pi
from pathlib import Path

import jsonschema
import pytest
import yaml
from shapely import unary_union
from shapely.geometry import box

from tests.commands import run
from wiring.cabinet.study import Study
from wiring.describe.asking import asked
from wiring.describe.build import Refused
from wiring.describe.dialogue import Question
from wiring.describe.reading import read_description
from wiring.describe.settling import composed
from wiring.design.load import load
from wiring.reports.new_report import render_new

ROOT = Path(__file__).parents[2]
MACHINES = sorted((ROOT / "specs" / "machines").glob("*.yaml"))
SORTER = ROOT / "specs" / "machines" / "tray-sorter.yaml"


def test_a_description_becomes_a_clear_plan_with_the_same_bytes_for_any_hash_seed(tmp_path: Path) -> None:
    assert len(SORTER.read_text(encoding="utf-8").splitlines()) <= 25
    out = tmp_path / "plan.yaml"
    done = run("new", SORTER, "--out", out, PYTHONHASHSEED="77")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Verdict: CLEAR" in done.stdout
    assert "This tool assists; it does not certify" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    text = out.read_text(encoding="utf-8")
    assert text.startswith("# A draft")
    assert load(out).design is not None
    found = read_description(SORTER)
    assert found.description is not None
    assert found.tree is not None
    assert composed(found.description, found.tree, str(out)).text == text


def test_every_fault_of_a_description_is_told_at_once_with_its_place_in_words(tmp_path: Path) -> None:
    text = SORTER.read_text(encoding="utf-8")
    text = text.replace("motor-frame-23-2.2nm", "motor-frame-23-22nm").replace("like: X", "like: Q")
    text = text.replace("600 W", "600").replace("runs: {sorting: [X, Y, bed]}", "runs: {sorting: [X, bad]}")
    path = tmp_path / "machine.yaml"
    path.write_text(text, encoding="utf-8")
    done = run("new", path, "--out", tmp_path / "plan.yaml")
    assert done.returncode == 2
    assert not (tmp_path / "plan.yaml").exists()
    assert "the description cannot be read" in " ".join(done.stdout.split())
    assert _told_at(text, "load bed › rated", "230 V AC 600,") in done.stdout
    assert _told_at(text, "axis X › motor", "motor-frame-23-22nm") in done.stdout
    assert "motor-frame-23-2.2nm" in done.stdout
    path.write_text(text.replace("230 V AC 600,", "230 V AC 600 W,"), encoding="utf-8")
    told = [str(fault) for fault in read_description(path).faults]
    text = path.read_text(encoding="utf-8")
    for word in ("motor-frame-23-22nm", "Q, title", "bad]"):
        line, column = _place(text, word)
        assert [one for one in told if one.startswith(f"{path}:{line}:{column}: ")], (word, told)


def _place(text: str, word: str) -> tuple[int, int]:
    line, entry = next((n, one) for n, one in enumerate(text.splitlines(), 1) if word in one)
    return line, entry.index(word) + 1


def _told_at(text: str, named: str, word: str) -> str:
    line, column = _place(text, word)
    return f"{named}, line {line}, column {column}:"


#: What people write in the place of a value, where it stands, and the right one, which they are told.
SPOKEN = (
    ("fault_current: 1 kA", "fault_current: 1000 amps", "1000 A"),
    ("speed: 3 m/min", "speed: 120 ipm", "120 in/min"),
    ("frequency: 50 Hz", "frequency: 50 hz", "50 Hz"),
    ("connection: fixed", "connection: fixed, feed: {ambient: 86 F}", "86 °F"),
    ("opens: tool", "opens: free", "`opens: interlock`"),
    ("mass: 8 kg", "mass: 8 kg, efficiency: 0.8", "80 %"),
    ("rated: 230 V AC 600 W", "rated: 230 VAC 600 W", "230 V AC"),
    ("rated: 230 V AC 600 W", "rated: 230 V 600 W", "230 V AC 600 W"),
    ("motor: motor-frame-23-2.2nm", "motor: stepper of frame 23 with 2.2 Nm", "motor-frame-23-2.2nm"),
    (
        "motor: motor-frame-23-2.2nm",
        "motor: {kind: stepper-motor, holding_torque: 2 N·m}",
        "`phase_current: …`, such as",
    ),
    ("bed: {", "wire: {kind: source}\n  bed: {", "`part: ...`"),
)


@pytest.mark.parametrize(("right", "spoken", "told"), SPOKEN, ids=[one[1] for one in SPOKEN])
def test_a_value_as_people_say_it_is_told_with_its_place_and_what_to_write(
    right: str, spoken: str, told: str, tmp_path: Path
) -> None:
    path = tmp_path / "machine.yaml"
    text = SORTER.read_text(encoding="utf-8").replace(right, spoken, 1)
    path.write_text(text, encoding="utf-8")
    faults = [fault for fault in read_description(path).faults if told in str(fault)]
    line = _place(text, spoken.splitlines()[0])[0]
    assert [fault for fault in faults if fault.place and fault.place.line == line], read_description(path).faults


def test_parts_go_into_the_cabinet_of_the_plan_or_there_is_none(tmp_path: Path) -> None:
    """More area of parts than a plate has cannot lie on it: such a cabinet is changed for a larger one, and refused
    where it is there already. Plate as published for that size: 249 x 370 mm."""
    path = tmp_path / "machine.yaml"
    text = re.sub("size: [^,]*,", "size: 300 x 400 x 210 mm,", SORTER.read_text(encoding="utf-8"))
    path.write_text(text, encoding="utf-8")
    found = read_description(path)
    assert found.description is not None
    assert found.tree is not None
    made = composed(found.description, found.tree, "machine.yaml")
    size = yaml.load(made.text, Loader=yaml.BaseLoader)["enclosure"]["size"]
    layout = Study(made.design.circuit).layout
    assert layout is not None
    assert not layout.unplaced
    parts = unary_union([box(one.x, one.y, one.area.right, one.area.top) for one in layout.plate.values()])
    assert parts.area > 249 * 370
    assert box(0, 0, layout.box.plate_width, layout.box.plate_height).covers(parts)
    assert "300 x 400 x 210 mm does not" in made.cabinet
    assert size in render_new(made, [], [], "plan.yaml", width=80, colour=False, encoding="utf-8")
    path.write_text(text.replace("210 mm,", "210 mm, bought: true,"), encoding="utf-8")
    there = read_description(path)
    assert there.description is not None
    with pytest.raises(Refused, match=r"300 x 400 x 210 mm.*the smallest usual one"):
        composed(there.description, found.tree, "machine.yaml")


def test_what_cannot_be_had_is_refused_with_the_requirement_and_its_cap(tmp_path: Path) -> None:
    """3 heaters of 1.8 kW at 230 V take 23.5 A, which no circuit of 16 A gives (P = U I)."""
    text = SORTER.read_text(encoding="utf-8").replace("600 W", "1800 W")
    bed = next(line for line in text.splitlines() if "kind: heater" in line)
    text = text.replace(bed, "\n".join(bed.replace("bed", name) for name in ("bed", "plate", "lid")))
    text = text.replace("[X, Y, bed]", "[X, Y, bed, plate, lid]")
    path = tmp_path / "machine.yaml"
    path.write_text(text, encoding="utf-8")
    done = run("new", path, "--out", tmp_path / "plan.yaml")
    assert done.returncode == 2
    assert not (tmp_path / "plan.yaml").exists()
    words = " ".join((done.stdout + done.stderr).split())
    assert "No plan is written" in words
    assert "16 A" in words
    assert "runs" in words


def test_what_hangs_on_the_mains_is_refused_on_a_battery(tmp_path: Path) -> None:
    text = (ROOT / "specs" / "machines" / "tray-mover.yaml").read_text(encoding="utf-8")
    path = tmp_path / "machine.yaml"
    bed = "bed: {kind: heater, rated: 230 V AC 100 W, liquid: false, cut_out: 90 °C}"
    path.write_text(text.replace("loads:", f"loads:\n  {bed}"), encoding="utf-8")
    done = run("new", path, "--out", tmp_path / "plan.yaml")
    assert done.returncode == 2
    assert not (tmp_path / "plan.yaml").exists()
    assert "bed is a load of the mains" in " ".join(done.stderr.split())


def test_a_load_that_its_motor_cannot_hold_is_refused(tmp_path: Path) -> None:
    """60 kg on a screw of 20 mm a turn at half efficiency: m g p / (2 pi eta) = 3.75 N·m, and the motor gives 2.2."""
    torque = 60 * 9.80665 * 0.020 / (2 * pi * 0.5)
    axis = "Z: {motor: motor-frame-23-2.2nm, mass: 60 kg, screw: 20 mm, speed: 6 m/min, vertical: brake}"
    path = tmp_path / "machine.yaml"
    text = SORTER.read_text(encoding="utf-8").replace("loads:", f"  {axis}\nloads:")
    path.write_text(text, encoding="utf-8")
    done = run("new", path, "--out", tmp_path / "plan.yaml")
    assert done.returncode == 2
    assert not (tmp_path / "plan.yaml").exists()
    words = " ".join(done.stderr.split())
    assert f"needs {torque:.3g} N·m" in words
    assert "gives 2.2 N·m" in words
    assert torque > 2.2


#: Answers in the order of the questions; an empty one takes what is proposed, or leaves it open.
ANSWERS = (
    "Tray lift",
    "ice",
    "iec",
    "",
    "",
    "",
    "16 A",
    "",
    "TN-S",
    "1",
    "1 kA",
    "30 mA A",
    "fixed",
    "no",
    "",
    "",
    "",
    "",
    "",
    "",
    "",
    "8 kg",
    "",
    "",
    "60 N",
    "no",
    "",
    "",
    "X",
    "5 kg",
    "no",
    "heater",
    "230 V AC 400 W",
    "120 °C",
    "",
    "no",
    "no",
    "",
    "no",
    "yes",
)


def test_a_description_is_asked_for_broken_off_and_gone_on_with_and_its_plan_is_clear(tmp_path: Path) -> None:
    """A wrong answer is told and asked for again; answers that are broken off are kept, and the others alone asked."""
    machine, plan = tmp_path / "machine.yaml", tmp_path / "plan.yaml"
    kept = tmp_path / "machine-answers.txt"
    broken = run("new", machine, "--ask", "--out", plan, typed="".join(f"{answer}\n" for answer in ANSWERS[:10]))
    assert broken.returncode != 0
    assert broken.stdout.count("That cannot stand") == 2
    assert f"kept in {kept}" in " ".join(broken.stderr.split())
    assert not machine.exists()
    first = kept.read_text(encoding="utf-8").splitlines()
    assert len(first) == 8
    done = run("new", machine, "--ask", "--out", plan, typed="".join(f"{answer}\n" for answer in ANSWERS[10:]))
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Verdict: CLEAR" in done.stdout
    assert "describe: Tray lift" in machine.read_text(encoding="utf-8")
    assert not kept.exists()
    again = run("new", machine, "--ask", "--out", plan)
    assert again.returncode == 2
    assert "is there already" in again.stderr


def test_a_north_american_is_asked_in_words_and_units_of_that_book() -> None:
    """Every answer as it is proposed makes a description that can be read."""
    asked_for: list[Question] = []

    def usual(question: Question) -> str:
        asked_for.append(question)
        return {"Rulebook?": "na"}.get(question.words, question.usual or "")

    text = asked(usual)
    assert not [one for one in asked_for if "arth" in one.words + one.reason or "mm" in (one.usual or "")]
    assert "in/min" in text
    assert all(not one.fault(one.usual) for one in asked_for if one.usual)


def test_a_large_machine_on_three_phases_is_clear_and_leaves_no_fault_of_its_stops_open(tmp_path: Path) -> None:
    done = run("new", Path(__file__).with_name("sheet-folder.yaml"), "--out", tmp_path / "plan.yaml")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "Verdict: CLEAR" in done.stdout


def test_what_is_left_open_stands_at_the_head_of_the_plan(tmp_path: Path) -> None:
    text = (
        SORTER.read_text(encoding="utf-8")
        .replace("fault_current: 1 kA,", "")
        .replace("earthing: TN-S, ", "")
        .replace(", rcd: none", ", feed: {size: 2.5 mm2, length: 12 m}")
    )
    text = text.replace("motor-frame-23-2.2nm", "servo-motor-230v-200w").replace("material: painted-steel, ", "")
    path = tmp_path / "machine.yaml"
    path.write_text(text, encoding="utf-8")
    done = run("new", path, "--out", tmp_path / "plan.yaml")
    assert done.returncode == 1
    assert "Verdict: ASK" in done.stdout
    plan = (tmp_path / "plan.yaml").read_text(encoding="utf-8")
    head = plan.split("format: 1")[0]
    assert "# Open: the fault current" in head
    assert "# Open: the earthing" in head
    assert "# Open: the residual current device" in head
    assert "# Open: how the feed is laid" in head  # worse than any method is one more circuit beside it
    assert "painted-steel is taken" in head  # what cabinet is bought is the plan's to say
    assert yaml.load(plan, Loader=yaml.BaseLoader)["enclosure"]["material"] == "painted-steel"


@pytest.mark.parametrize("machine", MACHINES, ids=lambda path: path.stem)
def test_the_schema_takes_every_description(machine: Path) -> None:
    schema = json.loads(run("schema", "--description").stdout) if not _SCHEMA else _SCHEMA[0]
    _SCHEMA[:] = [schema]
    jsonschema.Draft202012Validator.check_schema(schema)
    document = yaml.load(machine.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    assert not list(jsonschema.Draft202012Validator(schema).iter_errors(document))
    assert list(jsonschema.Draft202012Validator(schema).iter_errors({**document, "axis": {}}))


_SCHEMA: list[dict[str, object]] = []


def test_a_plan_and_a_description_in_the_place_of_the_other_are_told_with_the_command_that_takes_them(
    tmp_path: Path,
) -> None:
    [fault] = load(SORTER).faults
    assert "description" in fault.summary
    assert f"wiring new {SORTER}" in fault.mend
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\nmachine: Lift\nparts: {}\n", encoding="utf-8")
    [fault] = read_description(plan).faults
    assert "plan" in fault.summary
    assert f"wiring check {plan}" in fault.mend


def test_a_wrong_answer_is_shown_with_what_may_stand() -> None:
    """Every fault of an answer has the answer itself in it, and what would have been right."""
    choice = Question("Rulebook?", "", "iec", ("iec", "na"))
    assert choice.fault("usa") == "'usa' is none of iec, na"
    length = Question("Cable?", "", "4 m", dimension="length")
    assert length.fault("4 A") == "4 A is a current; expected: a length, for example 4 m"
