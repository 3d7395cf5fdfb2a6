"""What is bought already stands in the plan as its label says; what a heater must say is asked with its place."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from second_judge import judged

from wiring.describe.build import Refused
from wiring.describe.draft import Chosen
from wiring.describe.generate import plan_of
from wiring.describe.reading import Described, read_description
from wiring.describe.settling import composed
from wiring.design.load import load_text
from wiring.sizing.engine import ladders_of

SORTER = Path(__file__).parents[2] / "specs" / "machines" / "tray-sorter.yaml"
SUPPLY = {
    "kind": "supply", "input": "230 V AC", "output": "36 V DC", "rated": "12.5 A", "efficiency": "88 %",
    "inrush": "45 A", "leakage": "1 mA", "overload": "{mode: hiccup, limit: 130 %}", "power_factor": "0.95",
    "sizes": "0.5..4 mm2", "derating": "{from: 50 °C, slope: 2.5 %/K}", "output_capacitance": "4 mF",
}  # fmt: skip


def described(tmp_path: Path, text: str) -> Described:
    path = tmp_path / "machine.yaml"
    path.write_text(text, encoding="utf-8")
    return read_description(path)


def with_bought(*entries: str) -> str:
    """The tray sorter with these parts bought."""
    lines = "".join(f"  {entry}\n" for entry in entries)
    return SORTER.read_text(encoding="utf-8").replace("axes:", f"bought:\n{lines}axes:")


def test_bought_parts_are_kept_as_their_label_says(tmp_path: Path) -> None:
    """A supply far larger than needed stays, sets the voltage of its rail, and no step of sizing is proposed for it."""
    label = "{" + ", ".join(f"{key}: {value}" for key, value in SUPPLY.items()) + "}"
    text = with_bought(
        f"old-supply: {label}",
        "old-drive: {use: stepper-drive-50v-4a, quiescent: 3 W}",
        "old-motor: {use: motor-frame-23-2.2nm, holding_torque: 2.1 N·m}",
    ).replace("motor: motor-frame-23-2.2nm", "motor: old-motor, drive: old-drive")
    found = described(tmp_path, text)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    made = composed(found.description, found.tree, "machine.yaml")
    plan = yaml.load(made.text, Loader=yaml.BaseLoader)
    bought = {name: data for name, data in plan["parts"].items() if data.get("bought") == "true"}
    kinds = sorted(str(data.get("kind") or data["use"]) for data in bought.values())
    assert kinds == ["motor-frame-23-2.2nm"] * 2 + ["stepper-drive-50v-4a"] * 2 + ["supply"]
    supply = next(name for name, data in bought.items() if data.get("kind") == "supply")
    assert {key: str(bought[supply][key]) for key in ("output", "rated")} == {"output": "36 V DC", "rated": "12.5 A"}
    assert all(data["holding_torque"] == "2.1 N·m" for data in bought.values() if "motor" in str(data.get("use")))
    assert not [one.name for one in ladders_of(made.design).values() if one.name in bought]
    assert made.report.verdict == "clear", made.report.roots
    assert judged(plan) == []


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("spare: {use: stepper-drive-50v-4a}", "nothing uses spare"),
        ("motor-frame-23-3nm: {use: motor-frame-23-2.2nm}", "the key of a library part"),
        ("old: {kind: contactor, poles: 3}", "this is a contactor"),
        ("old: {kind: supply, input: 230 V AC, output: 36 V DC, rated: 5}", "5 A"),
    ],
)
def test_what_is_bought_and_has_no_place_is_told_with_its_line(tmp_path: Path, entry: str, words: str) -> None:
    text = with_bought(entry)
    faults = described(tmp_path, text).faults
    line = next(n for n, one in enumerate(text.splitlines(), 1) if entry in one)
    told = [fault for fault in faults if words in f"{fault.summary} {fault.expected}"]
    assert [fault.place.line for fault in told] == [line], [str(fault) for fault in faults]


@pytest.mark.parametrize(
    ("prices", "words"),
    [
        ("{supply-48v-9a: 40 EUR}", "there is no library part 'supply-48v-9a'"),
        ("{supply-48v-10a: cheap}", "'cheap' is no price"),
        ("{supply-48v-10a: 40 EUR, supply-48v-5a: 30 USD}", "are in EUR and USD"),
    ],
)
def test_what_is_no_price_is_told_with_its_line_in_a_description_and_in_a_plan(
    tmp_path: Path, prices: str, words: str
) -> None:
    text = SORTER.read_text(encoding="utf-8").replace("axes:", f"prices: {prices}\naxes:")
    line = next(n for n, one in enumerate(text.splitlines(), 1) if one.startswith("prices"))
    [fault] = described(tmp_path, text).faults
    assert words in fault.summary
    assert fault.place.line == line
    head = "format: 1\nmachine: Lift\nrulebook: iec\n"
    [fault] = load_text(f"{head}prices: {prices}\nparts: {{}}\n", "plan.yaml", tmp_path).faults
    assert words in fault.summary
    assert fault.place.line == 4


def test_a_bought_supply_that_no_rail_takes_is_refused(tmp_path: Path) -> None:
    label = "{kind: supply, input: 230 V AC, output: 12 V DC, rated: 5 A}"
    found = described(tmp_path, with_bought(f"small: {label}"))
    assert found.description is not None
    assert found.tree is not None
    with pytest.raises(Refused, match="small, which is bought, gives 12 V"):
        plan_of(found.description, found.tree, Chosen())


def test_a_heater_says_whether_it_lies_in_a_liquid_and_where_its_heat_is_cut_off(tmp_path: Path) -> None:
    """IEC 60204-1:2016, 7.4: abnormal temperature; nothing safe can be taken for either, so neither is taken."""
    text = SORTER.read_text(encoding="utf-8").replace(", liquid: false, cut_out: 120 °C", "")
    faults = described(tmp_path, text).faults
    line = next(n for n, one in enumerate(text.splitlines(), 1) if "kind: heater" in one)
    assert [fault.place.line for fault in faults] == [line, line]
    assert {word for fault in faults for word in ("liquid", "cut off") if word in fault.summary} == {
        "liquid",
        "cut off",
    }
