"""What feeds a machine: thick feeds of North America, batteries of any voltage, sensitive residual current devices, and
supplies that are there already. Each by its wires and data, with arithmetic of its own.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from second_judge import joins, parts_of, si

from wiring.describe.draft import Chosen
from wiring.describe.generate import plan_of
from wiring.describe.reading import read_description

NA = """describe: Kiln
rulebook: na
mains: {system: split-phase, voltage: 240 V, frequency: 60 Hz, earthing: TN-S, fault_current: FAULT, rcd: RCD,
        upstream: {kind: breaker, rating: RATING}, connection: fixed, shared: false}
"""
IEC = """describe: Router
rulebook: iec
mains: {system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA, rcd: RCD,
        upstream: {kind: breaker, rating: 16 A, curve: C}, connection: fixed, shared: false}
"""
FAN = """  fan: {kind: motor, motor: {kind: motor, voltage: 120 V AC, phases: 1, rated_power: 60 W,
                             rated_current: 1.1 A}}
"""
HEAT = "  heat: {kind: heater, rated: 240 V AC 3 kW, liquid: false, cut_out: 200 °C}\n"
AXES = "axes:\n  X: {motor: motor-frame-23-2.2nm, mass: 8 kg, screw: 10 mm, speed: 2 m/min, force: 60 N}\n"


def planned(text: str, tmp_path: Path, chosen: Chosen | None = None) -> dict[str, Any]:
    path = tmp_path / "machine.yaml"
    path.write_text(text, encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    plan = yaml.load(plan_of(found.description, found.tree, chosen or Chosen()), Loader=yaml.BaseLoader)
    assert isinstance(plan, dict)
    return plan


def beside(plan: dict[str, Any], end: str) -> set[str]:
    return {other for _, *pair in joins(plan) if end in pair for other in pair} - {end}


def na(rating: str = "50 A", fault: str = "5 kA", rcd: str = "none") -> str:
    return NA.replace("RATING", rating).replace("FAULT", fault).replace("RCD", rcd)


@pytest.mark.parametrize(
    ("rating", "fault", "first"),
    [("50 A", "5 kA", ("fuse", "J")), ("50 A", "2 kA", ("breaker", "C")), ("30 A", "5 kA", None)],
)
def test_behind_a_thick_feed_stands_what_limits_it(
    rating: str, fault: str, first: tuple[str, str] | None, tmp_path: Path
) -> None:
    """Class CC ends at 30 A (UL 248-4). A breaker without a curve promises no time for a short circuit, so that 2 AWG
    must fit from the inlet to the device behind the main switch; a protective switch takes 8 AWG and hangs on fuses."""
    plan = planned(na(rating, fault) + "loads:\n" + HEAT + FAN, tmp_path)
    parts = parts_of(plan)
    [protector] = [name for name, data in parts.items() if data["kind"] == "motor-protector"]
    ahead = {end.split(":")[0] for end in beside(plan, f"{protector}:1")}
    if first is None:
        assert not any(data.get("class") == "J" for data in parts.values())
        return
    [main] = {end.split(":")[0] for end in beside(plan, "Q1:2")}
    assert (parts[main]["kind"], parts[main].get("class") or parts[main]["curve"]) == first
    assert {parts[name]["sizes"] for name in ("X0", "Q1", main)} == {"14..2 AWG"}
    assert [parts[name]["class"] for name in ahead] == ["CC"]


@pytest.mark.parametrize(
    ("text", "trips_ma"),
    [
        (na("20 A", "1 kA", "{residual: 5 mA, type: A}") + AXES, 5.0),
        (
            IEC.replace("RCD", "{residual: 30 mA, type: A}")
            + AXES
            + "loads:\n  cut: {kind: inverter, motor: spindle-220v-1.5kw}\n",
            30.0,
        ),
    ],
)
def test_what_leaks_is_less_than_a_device_against_shock_bears(text: str, trips_ma: float, tmp_path: Path) -> None:
    """0.3 of the residual current in normal running (IEC 60364-5-53, 531.3.2)."""
    parts = parts_of(planned(text, tmp_path))
    leaks = [si(data["leakage"]) for data in parts.values() if data["kind"] in ("supply", "inverter")]
    assert len(leaks) >= 2
    assert 1000.0 * sum(leaks) <= 0.3 * trips_ma


def test_a_drive_that_does_not_say_what_it_leaks_gets_what_the_most_asks_for(tmp_path: Path) -> None:
    """Above 3.5 mA 10 mm2 or two conductors (IEC 61800-5-1, 4.3.5.5.2), above 10 mA no more than that
    (IEC 60204-1:2016, 8.2.6); behind a residual current device nothing is taken, for it may open."""
    drive = "{kind: inverter, supply: 230 V AC, rated: 1.5 kW, sto: [STO1-SG1, STO2-SG2], pe: [PE, PE2]}"
    load = f"loads:\n  cut: {{kind: inverter, motor: spindle-220v-1.5kw, drive: {drive}}}\n"
    plan = planned(IEC.replace("RCD", "none") + load, tmp_path)
    assert si(parts_of(plan)["T1"]["leakage"]) > 10e-3
    assert all(beside(plan, f"T1:{end}") for end in ("PE", "PE2"))
    assert "leakage" not in parts_of(planned(IEC.replace("RCD", "{residual: 30 mA, type: A}") + load, tmp_path))["T1"]


@pytest.mark.parametrize(
    ("nominal", "charged", "direct"), [(24.0, 25.7, True), (25.6, 27.2, False), (12.8, 13.6, False)]
)
def test_the_controls_hang_on_a_battery_that_suits_them_or_on_a_converter(
    nominal: float, charged: float, direct: bool, tmp_path: Path
) -> None:
    """Coils and lamps of 24 V bear a tenth more. The converter stands last in the chain of the battery, the charger
    first: a conductor that breaks between them never leaves charger and motion alone together."""
    battery = f"{{kind: battery, voltage: {nominal} V DC, open_circuit: {charged} V DC, rated: 60 A}}"
    motor = f"{{kind: motor, voltage: {nominal} V DC, phases: DC, rated_power: 60 W, rated_current: 5 A}}"
    load = f"loads:\n  go: {{kind: motor, motor: {motor}}}\n"
    plan = planned(IEC.replace("RCD", "none") + f"battery: {{part: {battery}}}\n" + load, tmp_path)
    parts = parts_of(plan)
    assert direct is (nominal >= 0.9 * 24.0 and charged <= 1.1 * 24.0)
    converters = [data for data in parts.values() if data["kind"] == "converter"]
    assert len(converters) == (0 if direct else 1)
    for data in converters:
        low, high = (float(word) for word in data["input"].split()[0].split(".."))
        assert low <= 0.8 * nominal
        assert high >= 1.2 * nominal
    [chain] = [wire["through"] for wire in plan["wires"] if "Q2:2" in wire.get("through", ())]
    titles = [parts[end.split(":")[0]]["title"] for end in chain[1:]]
    assert titles == ["charger to battery", "motion", "all controls" if direct else "control converter"]


def test_a_bought_supply_takes_the_least_of_the_axes_that_several_share(tmp_path: Path) -> None:
    supply = "bought:\n  psu: {kind: supply, input: 230 V AC, output: 36 V DC, rated: 5 A}\n"
    axes = AXES + "  Y: {motor: motor-frame-24-4nm, mass: 30 kg, screw: 10 mm, speed: 6 m/min, force: 300 N}\n"
    plan = planned(IEC.replace("RCD", "none") + supply + axes, tmp_path, Chosen(rails={36.0: 2}))
    supplies = {name: data for name, data in parts_of(plan).items() if data["kind"] == "supply"}
    bought = {name: "bought" in data for name, data in supplies.items() if data["output"] == "36 V DC"}
    assert sorted(bought.values()) == [False, True]
    [own] = [name for name, there in bought.items() if there]
    fuses = [
        end.split(":")[0]
        for wire in plan["wires"]
        if f"{own}:V+" in wire.get("through", ())
        for end in wire["through"][1:]
    ]
    fuses += [end.split(":")[0] for end in beside(plan, f"{own}:V+")]
    assert {plan["parts"][name]["title"] for name in fuses} == {"drive X"}


def test_a_lamp_is_the_one_that_is_described(tmp_path: Path) -> None:
    """0.4 A and less hang on an output of the controller, which gives 0.5 A; more on a relay."""
    rated = {"small": ", rated: 24 V DC 6 W", "large": ", rated: 24 V DC 30 W", "door": ""}
    loads = "loads:\n" + "".join(f"  {name}: {{kind: lamp{words}}}\n" for name, words in rated.items())
    plan = planned(IEC.replace("RCD", "none") + loads, tmp_path)
    lamps = {data["title"]: data for data in parts_of(plan).values() if data["kind"] == "lamp"}
    assert [lamps[name]["rated"] for name in ("small", "large")] == ["24 V DC 6 W", "24 V DC 30 W"]
    assert [data["title"] for data in parts_of(plan).values() if data["kind"] == "relay"] == ["large"]
    assert lamps["door"]["at"] == "door"
