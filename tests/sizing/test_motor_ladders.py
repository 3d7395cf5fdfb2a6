"""Drives and motor protectors by hand: data of the parts, and IEC 60204-1 for settings."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.changes.addition import change_plan
from wiring.changes.outcome import Outcome, outcome_of
from wiring.changes.suggest import suggest
from wiring.rules.run import judge
from wiring.sizing.engine import settle
from wiring.sizing.ladder import Sort
from wiring.sizing.mends import with_mends
from wiring.sizing.records import Wish
from wiring.sizing.written import size_edits, size_words

EXAMPLES = Path(__file__).parents[2] / "wiring" / "rules" / "examples"
#: The mixer with the two protective terminals that inverters of the library have.
MIXER = (EXAMPLES / "mixer.yaml").read_text(encoding="utf-8").replace("T1:PE,", "T1:PE1,")
MIXER = MIXER.replace("T1: {kind: inverter,", "T1: {kind: inverter, pe: [PE1, PE2],")


def _with_library_drive() -> str:
    """The mixer with an inverter of the library and a small supply for its torque-off inputs."""
    lines = MIXER.splitlines()
    drive = next(n for n, line in enumerate(lines) if line.startswith("  T1: "))
    lines[drive : drive + 2] = [
        "  T1: {use: inverter-400v-1.5kw}",
        "  G1: {kind: supply, input: 400 V AC, output: 24 V DC, rated: 1 A}",
    ]
    at = lines.index("wires:") + 1
    lines[at:at] = [
        "  - {wire: 21, from: F2:2, to: G1:L, type: line}",
        "  - {wire: 22, from: F2:4, to: G1:N, type: line}",
        '  - {wire: 23, through: [G1:V+, "T1:STO1+", "T1:STO2+"], size: 0.75 mm2, insulation: pvc-70, length: 0.5 m}',
        '  - {wire: 24, through: [G1:V-, "T1:STO1-", "T1:STO2-"], size: 0.75 mm2, insulation: pvc-70, length: 0.5 m}',
    ]
    return "\n".join(lines) + "\n"


DRIVE = _with_library_drive()


def mixer(*changes: tuple[str, str]) -> Outcome:
    text = DRIVE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return outcome_of(text, "plan", EXAMPLES)


def sized(outcome: Outcome) -> tuple[tuple[str, ...], Outcome]:
    found = settle(outcome.design, Wish(0.2))
    return size_words(found), outcome.changed(size_edits(found))


def rules(outcome: Outcome) -> set[str]:
    return {finding.rule for finding in judge(outcome.design).findings}


def test_an_inverter_grows_to_the_current_of_its_motor() -> None:
    """Data of the parts: 5.9 A asked; 400 V inverters of the library give 4.1, 5.5 and 9.5 A."""
    words, after = sized(mixer(("rated_current: 2.7 A", "rated_current: 5.9 A")))
    assert "T1: inverter-400v-4kw in place of inverter-400v-1.5kw" in words
    assert "drive-too-small-for-motor" not in rules(after)


def test_an_inverter_grows_to_the_power_at_the_shaft() -> None:
    """13 N·m at 1400 rpm are 1.91 kW: 1.5 kW is too small and 2.2 kW is not, though 4.1 A would carry the motor."""
    before = mixer(("torque: 4 N·m", "torque: 13 N·m"))
    assert "drive-too-small-for-motor" in rules(before)
    words, after = sized(before)
    assert "T1: inverter-400v-2.2kw in place of inverter-400v-1.5kw" in words
    assert "drive-too-small-for-motor" not in rules(after)


def test_a_drive_that_does_not_go_onto_the_wires_does_not_stand_in_and_that_is_told() -> None:
    changed = MIXER.replace("rated_current: 2.7 A", "rated_current: 5.9 A")
    (row,) = suggest(outcome_of(changed, "plan", EXAMPLES), 0.2, ["T1"]).rows
    asked = "T1 should be 5.9 A or more (M1 takes 5.9 A); inverter-400v-4kw gives 9.5 A and "
    assert (row.after, row.why) == ("", f"{asked}does not run before STO1+, STO1-, STO2+, STO2- are wired")
    changed = changed.replace("max_fuse: 10 A,", "max_fuse: 10 A, inputs: [GO-COM], signals: 24 V DC,")
    wire = "  - {wire: 20, from: T1:GO, to: T1:COM, size: 0.5 mm2, length: 0.1 m}\n"
    changed = changed.replace("  - {wire: 13,", f"{wire}  - {{wire: 13,")
    (row,) = suggest(outcome_of(changed, "plan", EXAMPLES), 0.2, ["T1"]).rows
    assert (row.after, row.why) == ("", f"{asked}has no terminal GO, COM")


def test_a_drive_of_another_voltage_does_not_stand_in() -> None:
    (ladder,) = [one for one in settle(mixer().design, Wish(0.2)).ladders.values() if one.sort is Sort.DRIVE]
    assert [step.library for step in ladder.steps if step.library] == [
        "inverter-400v-1.5kw",
        "inverter-400v-2.2kw",
        "inverter-400v-4kw",
    ]


@pytest.mark.parametrize(("setting", "range_"), [("1.6 A", "1..1.6 A"), ("2.4 A", "1.6..2.5 A")])
def test_a_protector_is_set_to_its_motor(setting: str, range_: str) -> None:
    """IEC 60204-1, 7.3.2: no higher than the rated current, 1.5 A; the range that reaches there is 1 to 1.6 A."""
    words, after = sized(mixer(("setting: 1.5 A, range: 1..1.6 A", f"setting: {setting}, range: {range_}")))
    data = after.design.parts["F3"].data
    assert (data.setting, data.range.low, data.range.high) == (1.5, 1.0, 1.6)
    assert any(one.startswith("F3: set to 1.5 A") for one in words)
    assert "motor-overload-missing" not in rules(after)


def test_a_protector_grows_with_its_motor() -> None:
    """3.2 A behind a protector of 1.5 A: set to 3.2 A, in the range of 2.5 to 4 A."""
    _, after = sized(
        mixer(
            ("rated_current: 1.5 A", "rated_current: 3.2 A"),
            ("work: {power: 0.5 kW,", "work: {power: 1.5 kW,"),
            ("rated_power: 0.55 kW", "rated_power: 1.5 kW"),
        )
    )
    data = after.design.parts["F3"].data
    assert (data.setting, data.range.low, data.range.high) == (3.2, 2.5, 4.0)


def test_what_is_bought_stays() -> None:
    words, _ = sized(
        mixer(
            ("rated_current: 2.7 A", "rated_current: 5.9 A"),
            ("use: inverter-400v-1.5kw", "use: inverter-400v-1.5kw, bought: true"),
        )
    )
    assert not any(one.startswith("T1") for one in words)


def test_the_mend_of_the_rule_is_the_drive() -> None:
    design = mixer(("rated_current: 2.7 A", "rated_current: 5.2 A")).design
    report = with_mends(design, judge(design))
    (found,) = [one for one in report.roots if one.rule == "drive-too-small-for-motor"]
    assert found.mends[0].edits
    assert "T1 inverter-400v-2.2kw in place of inverter-400v-1.5kw" in found.mends[0].words


def test_a_change_proposes_the_drive(tmp_path: Path) -> None:
    plan = tmp_path / "mixer.yaml"
    plan.write_text(DRIVE, encoding="utf-8")
    told = change_plan(plan, ["M1.rated_current=5.2 A"])
    assert told.mends[0].clears
    assert told.mends[0].words == ("T1: inverter-400v-2.2kw in place of inverter-400v-1.5kw",)
