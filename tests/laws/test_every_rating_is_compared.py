"""Law: a rated key set just below what the solved machine asks at that place is told, and the finding names that part.

CI tries a sample drawn by the hash of each plan's text; `WIRING_LAWS=all` tries every rated key of every spec.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import law_asked as asked
import pytest
from law_keys import Key, keys_of, quantities_of_parts
from law_plans import SPECS, drawn, loaded, plan_of, read, with_value
from plain_plans import Plan

from wiring.design.design import Design
from wiring.documents.coverage import uncompared_keys
from wiring.rules import OF_LOADS
from wiring.rules.run import Told, tell

#: For every rated key of the schema what asks for it. A voltage that a part is fed with bears the tolerance of mains.
RATED: dict[str, asked.Asked] = {
    **dict.fromkeys(("Inlet.rated", "Filter.rated"), asked.through_a),
    **dict.fromkeys(("Terminals.rated", "Connector.rated"), asked.wire_a),
    **dict.fromkeys(
        ("Disconnector.rated", "Contactor.rated", "Relay.rated", "Operated.rated", "SafetyRelay.rated"), asked.contact_a
    ),
    "SolidStateRelay.rated": asked.contact_a,
    "Diode.rated": asked.through_a,
    **dict.fromkeys(("RegulatedSource.rated", "ProcessSource.rated", "Rectifier.rated"), asked.output_a),
    **dict.fromkeys(("Battery.rated", "EncoderPort.current"), asked.output_a),
    "Transformer.rated": asked.output_va,
    **dict.fromkeys(
        ("Breaker.rating", "Fuse.rating", "ElectronicFuse.rating", "MotorProtector.setting", "PoleFuse.rating"),
        asked.pole_a,
    ),
    **dict.fromkeys(("ResidualCurrentDevice.rated", "ResidualCurrentDevice.rating"), asked.pole_a),
    **dict.fromkeys(
        (
            "Breaker.breaking",
            "Fuse.breaking",
            "PoleFuse.breaking",
            "MotorProtector.breaking",
            "ResidualCurrentDevice.breaking",
        ),
        asked.short_a,
    ),
    **dict.fromkeys(("Contactor.making", "Disconnector.making"), asked.inrush_a),
    "StepperMotor.holding_torque": asked.work_torque,
    "ServoMotor.rated_torque": asked.work_torque,
    "Shaft.max_speed": asked.work_speed,
    "Motor.rated_power": asked.work_power,
    "ServoMotor.rated_power": asked.work_power,
    "Inverter.rated": asked.driven_power,
    "Inverter.output_current": asked.driven_a,
    "ServoDrive.rated_current": asked.driven_a,
    "StepperMotor.phase_current": asked.setting_a,
    "Battery.charge_current": asked.charging_a,
    "StepperDrive.phase_current": asked.stepper_a,
    "Brake.torque": asked.held_torque,
    "Drive.max_fuse": asked.ahead_a,
    "Drive.bus_limit": asked.bus_v,
    **dict.fromkeys(
        (
            f"{kind}.rated_voltage"
            for kind in (
                "Disconnector",
                "Contactor",
                "Relay",
                "Operated",
                "SolidStateRelay",
                "Terminals",
                "Connector",
                "Diode",
                "Breaker",
                "Fuse",
                "ElectronicFuse",
                "MotorProtector",
                "ResidualCurrentDevice",
                "PoleFuse",
                "Capacitor",
                "Rectifier",
                "Suppressor",
                "SurgeArrester",
            )
        ),
        asked.rail_v,
    ),
    **dict.fromkeys(("RegulatedSource.input", "ProcessSource.input", "Sensor.supply"), asked.load_v),
    **dict.fromkeys(("Drive.supply", "SolidStateRelay.control", "Transformer.primary", "Motor.voltage"), asked.load_v),
    **dict.fromkeys(("LogicSupply.voltage", "MotorEncoder.voltage", "IoCard.input_voltage"), asked.load_v),
    **dict.fromkeys(
        (f"{kind}.rated" for kind in ("Heater", "Lamp", "Fan", "Pump", "Valve", "Load", "Brake")), asked.load_v
    ),
    "SocketOutlet.feeds": asked.load_v,
    "SocketOutlet.rated": asked.guarded_a,
    "LightCurtain.supply": asked.load_v,
    **dict.fromkeys(("Coiled.coil", "SafetyRelay.supply", "TemperatureController.supply"), asked.load_v),
    **dict.fromkeys(("Resistor.power", "BrakingResistor.power", "BrakingResistor.peak_power"), asked.nearly_nothing),
    **dict.fromkeys(("BusChopper.power", "BusChopper.peak_power", "BusChopper.rated_voltage"), asked.nearly_nothing),
    **dict.fromkeys(
        ("IoCard.output_current", "Sensor.output_current", "LightCurtain.output_current", "RegulatedSource.peak"),
        asked.nearly_nothing,
    ),
    **dict.fromkeys(("Breaker.dc_voltage", "Contactor.dc_rated", "Isolator.withstand"), asked.nearly_nothing),
    **dict.fromkeys(("ProcessSource.enable_voltage", "Drive.signals", "Isolator.input_voltage"), asked.nearly_nothing),
    **dict.fromkeys(("PartModel.short_circuit_rating", "Disconnector.breaking"), asked.nearly_nothing),
    "PartModel.sizes": asked.thickest_mm2,
    "PartModel.wires_per_terminal": asked.most_wires,
}
#: The other quantities of parts: what they take, give or are, by the model of the schema that brings the key.
PROPERTIES = {
    "Charger": "boost",
    "Clearance": "above below front sides",
    "Hole": "diameter",
    "Battery": "capacity cells internal_resistance open_circuit voltage",
    "Brake": "apply pick_up release",
    "BrakingResistor": "cycle resistance",
    "Breaker": "resistance",
    "BusChopper": "clamp cycle resistance",
    "Capacitor": "bleeder capacitance",
    "DeratingData": "from slope",
    "Coiled": "pick_up",
    "Device": "leakage",
    "DeviceLink": "resistance",
    "DeviceLoad": "current power power_factor rated resistance voltage",
    "Diode": "drop",
    "Drive": "bus_capacitance clamp discharge inrush leakage signal_resistance",
    "EarthBar": "points",
    "ElectronicFuse": "limit time",
    "EncoderPort": "voltage",
    "Fan": "airflow power_factor",
    "Filter": "leakage",
    "Fuse": "i2t resistance",
    "Guarding": "distance guards",
    "HardLogic": "voltage",
    "Heater": "bears",
    "Inverter": "least_resistance",  # test_chopper_overloaded
    "IoCard": "input_current",
    "Isolator": "input_resistance output_voltage ratio",
    "Load": "power_factor",
    "LogicSupply": "current",
    "MainsDrive": "efficiency power_factor quiescent",
    "MetalLoad": "run_on",
    "Metalwork": "points",
    "Motor": "efficiency phase_resistance power_factor rated_current service_factor start_factor",
    "MotorEncoder": "current",
    "MotorProtector": "range",
    "OverloadData": "limit time",
    "PartModel": "excludes heat stripping terminal_temperature tightening",
    "ProcessSource": "discharge efficiency enable_resistance inrush leakage open_circuit output power_factor standby",
    "Pump": "power_factor start_factor",
    "PushButton": "lamp",
    "Rectifier": "drop",
    "Relay": "off_delay on_delay",
    "ResidualCurrentDevice": "residual",
    "Resistor": "resistance",
    "SafetyRelay": "channel_current delay",
    "Sensor": "current drop leakage",
    "ServoMotor": "efficiency phase_resistance rated_current",
    "Shaft": "gravity_torque load_inertia rotor_inertia run_down",
    "SocketOutlet": "power_factor",
    "SolidStateRelay": "control_current drop i2t leakage",  # i2t: test_semiconductor_burns_before_device_opens
    "StepperDrive": "bridge_resistance hold_current quiescent",
    "StepperMotor": "iron_loss phase_inductance phase_resistance",
    "RegulatedSource": "efficiency output output_capacitance standby",
    "Supply": "inrush leakage over_voltage power_factor",
    "SurgeArrester": "leakage",
    "TemperatureController": "keeps",
    "Terminals": "points",
    "ThermalCutOut": "opens_at",
    "Thermostat": "switches_at",
    "Transformer": "efficiency inrush regulation secondary",
    "Valve": "pick_up",
    "Work": "duty power speed torque",
}
#: What a part or a state asks of the others, in place of what it bears: held against a capability somewhere.
LOADS = {
    "Drive": "inrush leakage",
    "Filter": "leakage",
    "LogicSupply": "current",
    "Motor": "rated_current start_factor",
    "MotorEncoder": "current",
    "ProcessSource": "inrush leakage",
    "RegulatedSource": "output_capacitance",
    "Sensor": "drop leakage",
    "ServoMotor": "rated_current",
    "Shaft": "gravity_torque load_inertia rotor_inertia",
    "StateEntry": "power speed torque",
    "Supply": "inrush leakage",
    "Transformer": "inrush",
    "Work": "power speed torque",
}
#: So many times what the plan says is too much for any part of a machine that is cut to its loads (own choice).
_TOO_MUCH = 30.0
#: Voltages that are given with their tolerance, so that a little less than the voltage asked is none too little.
TOLERANT = {asked.load_v: 0.7}
_NUMBER = re.compile(r"\b\d+\.?\d*")
_VOLTS = re.compile(r"^([\d.]+)(?:\.\.([\d.]+))?(?= (?:m|k)?V)")


def lowered(key: Key, value: float) -> str | dict[str, str]:
    """What is written for a value in SI, in the form in which the key is written."""
    schema = ".".join(key.schema)
    text = key.value
    if isinstance(text, dict):
        return {group: lowered_size(value) for group in text}
    if schema == "PartModel.sizes":
        return lowered_size(value)
    if schema == "PartModel.wires_per_terminal":
        return f"{int(value)}"
    if _VOLTS.search(text):
        return _VOLTS.sub(lambda m: f"{value / 2:.6g}..{value:.6g}" if m[2] else f"{value:.6g}", text).replace(
            " kV", " V"
        )
    unit = re.sub(r"^[\d.]+ *", "", text)
    if unit.endswith("peak"):
        value *= 2.0**0.5
    words = {"kA": "A", "mA": "A", "kW": "W", "rpm": "rad/s", "kVA": "VA", "hp": "W"}
    unit = " ".join(words.get(word, word) for word in unit.split())
    return f"{value:.6g} {unit}"


def lowered_size(area_mm2: float) -> str:
    return f"{max(area_mm2 / 8, 0.05):.4g}..{max(area_mm2, 0.06):.4g} mm2"


class Place(NamedTuple):
    """One rated key of a plan, and what is written for a value just below what is asked there."""

    key: Key
    value: str | dict[str, str]

    def __str__(self) -> str:
        return f"{self.key.where} = {self.value}"


@cache
def base(path: Path) -> tuple[Plan, frozenset[tuple[Any, ...]]]:
    """The plan of a spec, and what is said of it."""
    plan = plan_of(path.read_text("utf-8"))
    return plan, _said(tell(read(plan, path.stem), OF_LOADS))


def _said(told: Told) -> frozenset[tuple[Any, ...]]:
    return frozenset((one.rule, one.subjects, one.signal) for one in told.findings)


@cache
def lowered_places(path: Path) -> tuple[Place, ...]:
    """Every rated key of a spec of which the machine asks something."""
    plan, _ = base(path)
    return tuple(_places(plan, read(plan, path.stem)))


def _places(plan: Plan, design: Design) -> Iterator[Place]:
    uncompared = {(one.model, one.key) for one in uncompared_keys()}
    for key in keys_of(plan):
        ask = RATED.get(".".join(key.schema))
        part = design.parts.get(str(key.spot[1])) if key.spot[0] == "parts" and key.spot[1:] else None
        if ask is None or part is None or key.schema in uncompared:
            continue
        value = ask(design, part)
        if value is not None:
            value = value - 1 if ask is asked.most_wires else value * TOLERANT.get(ask, 0.9)
            if value > 0:
                yield Place(key, lowered(key, value))


def is_told(path: Path, place: Place) -> bool:
    """Whether a finding that was not there names the part of a place, or the value is refused."""
    plan, before = base(path)
    design = loaded(with_value(plan, place.key.spot, place.value)).design
    if design is None:
        return True
    return any(place.key.spot[1] in subjects for _, subjects, _ in _said(tell(design, OF_LOADS)) - before)


#: Parts that no machine of the specs has, on one bench.
RARE = Path(__file__).parent / "rare-parts.yaml"
#: Rated keys that neither the specs nor the bench play, each with what holds it.
UNPLAYED = {
    "PartModel.short_circuit_rating": "North America alone: tests/rules/test_panel_rating_too_small.py",
    "PoleFuse.rating": "the fuse of an inlet or a battery: tests/rules/test_protection_below_load.py",
}


def test_the_parts_of_the_bench_are_told_every_one() -> None:
    assert [str(place) for place in lowered_places(RARE) if not is_told(RARE, place)] == []


def test_every_rated_key_is_played_somewhere() -> None:
    played = {".".join(place.key.schema) for path in (*SPECS, RARE) for place in lowered_places(path)}
    assert RATED.keys() - played == UNPLAYED.keys()


@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_a_rating_below_what_is_asked_is_told_with_its_part(path: Path) -> None:
    tried = drawn(lowered_places(path), path.read_text("utf-8"), 4)
    assert [str(place) for place in tried if not is_told(path, place)] == []


def _raised_places(model: str, name: str) -> Iterator[tuple[Path, Place]]:
    """Every place at which a plan gives a load, with so many times as much."""
    for path in (*SPECS, RARE):
        for key in keys_of(base(path)[0]):
            if key.schema == (model, name) and isinstance(key.value, str):
                raised = _NUMBER.sub(lambda number: f"{_TOO_MUCH * float(number[0]):.6g}", key.value)
                yield path, Place(key, raised)


def _is_too_much(path: Path, place: Place) -> bool:
    plan, before = base(path)
    design = loaded(with_value(plan, place.key.spot, place.value)).design
    return design is not None and bool(_said(tell(design, OF_LOADS)) - before)


def test_a_load_far_above_what_bears_it_is_told_somewhere() -> None:
    """A key of load that nothing compares would be silent on every plan, whatever it says."""
    keys = [(model, key) for model, names in LOADS.items() for key in names.split()]
    tried = drawn(keys, "loads", 2)
    assert [key for key in tried if not any(_is_too_much(*one) for one in _raised_places(*key))] == []


def test_every_quantity_of_a_part_is_a_rating_or_a_property() -> None:
    """A key that is new is compared, or is named among the properties, or has its physics in the list."""
    quantities = {".".join(one) for one in quantities_of_parts()}
    uncompared = {f"{one.model}.{one.key}" for one in uncompared_keys()}
    properties = {f"{model}.{key}" for model, keys in PROPERTIES.items() for key in keys.split()}
    assert quantities - RATED.keys() - uncompared - properties == set()
    assert (RATED.keys() | uncompared | properties) - quantities == {"PartModel.wires_per_terminal"}
    assert not RATED.keys() & properties


def test_few_ratings_stand_in_the_list_of_those_that_nothing_compares() -> None:
    uncompared = uncompared_keys()
    assert len(uncompared) <= 0.05 * (len(RATED) + len(uncompared))
    assert all(len(one.physics) > 40 for one in uncompared)
