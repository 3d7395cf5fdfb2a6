"""The kinds of part, by name, each with the module and class that describe it. A module is imported on first use."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from wiring.parts.base import PartModel

_PLACES = {
    "incoming": {
        "inlet": "Inlet",
        "transformer": "Transformer",
        "rectifier": "Rectifier",
        "capacitor": "Capacitor",
        "supply": "Supply",
        "converter": "Converter",
        "filter": "Filter",
    },
    "protection": {
        "disconnector": "Disconnector",
        "breaker": "Breaker",
        "fuse": "Fuse",
        "electronic-fuse": "ElectronicFuse",
        "motor-protector": "MotorProtector",
        "rcd": "ResidualCurrentDevice",
        "surge-arrester": "SurgeArrester",
    },
    "switching": {
        "contactor": "Contactor",
        "relay": "Relay",
        "safety-relay": "SafetyRelay",
    },
    "operators": {
        "emergency-stop": "EmergencyStop",
        "push-button": "PushButton",
        "selector": "Selector",
        "key-switch": "KeySwitch",
        "limit-switch": "LimitSwitch",
        "foot-switch": "FootSwitch",
        "guard-switch": "GuardSwitch",
        "pressure-switch": "PressureSwitch",
        "float-switch": "FloatSwitch",
    },
    "drives": {
        "stepper-drive": "StepperDrive",
        "servo-drive": "ServoDrive",
        "inverter": "Inverter",
    },
    "motors": {
        "stepper-motor": "StepperMotor",
        "servo-motor": "ServoMotor",
        "motor": "Motor",
        "brake": "Brake",
        "braking-resistor": "BrakingResistor",
    },
    "loads": {
        "heater": "Heater",
        "lamp": "Lamp",
        "fan": "Fan",
        "pump": "Pump",
        "valve": "Valve",
        "process-source": "ProcessSource",
        "load": "Load",
    },
    "signals": {
        "io-card": "IoCard",
        "controller": "Controller",
        "sensor": "Sensor",
        "encoder": "Encoder",
        "isolator": "Isolator",
    },
    "passive": {
        "terminals": "Terminals",
        "connector": "Connector",
        "earth-bar": "EarthBar",
        "metalwork": "Metalwork",
        "suppressor": "Suppressor",
        "resistor": "Resistor",
        "diode": "Diode",
    },
    "device": {"device": "Device"},
}

KIND_NAMES: tuple[str, ...] = tuple(kind for family in _PLACES.values() for kind in family)


@cache
def kind_model(kind: str) -> type[PartModel]:
    """The model of a kind.

    Raises KeyError for a kind that does not exist.
    """
    for module, kinds in _PLACES.items():
        if kind in kinds:
            model: type[PartModel] = getattr(import_module(f"wiring.parts.{module}"), kinds[kind])
            return model
    raise KeyError(kind)


def all_kinds() -> dict[str, type[PartModel]]:
    """Every kind with its model, for the schema and the documentation."""
    return {kind: kind_model(kind) for kind in KIND_NAMES}
