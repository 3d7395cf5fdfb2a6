"""The terminals that the standards give the example of every kind, written by hand.

Markings: L, N, PE, L1..L3 of IEC 60445; A1-A2 of coils, 1-2, 3-4, 5-6 of main poles, x3-x4 of make and x1-x2 of break
contacts of EN 50005; U, V, W of IEC 60034-8; 1 brown, 3 blue, 4 black of sensors of IEC 60947-5-2; X1-X2 of lamps of
EN 50005 (from memory); A1, A2 of the input of semiconductor controllers of IEC 60947-4-3 (from memory); 1.1, 1.2, 2.1,
2.2 of transformers, V+ V- of supplies and A+ A- B+ B- of stepper motors, all three makers' practice, no standard.
"""

from pathlib import Path

import yaml

import wiring.parts

_TEXTS = yaml.safe_load((Path(wiring.parts.__file__).parent / "kind_examples.yaml").read_text(encoding="utf-8"))

#: The terminals of the example of every kind that the package shows.
_TERMINALS = {
    "inlet": "L N PE",
    "transformer": "1.1 1.2 2.1 2.2 PE",
    "rectifier": "AC1 AC2 + -",
    "capacitor": "+ -",
    "supply": "L N PE V+ V-",
    "converter": "IN+ IN- V+ V-",
    "filter": "L N L' N' PE",
    "disconnector": "1 2 3 4",
    "breaker": "1 2",
    "fuse": "1 2",
    "electronic-fuse": "1 2 0V",
    "motor-protector": "1 2 3 4 5 6",
    "rcd": "1 2 3 4",
    "surge-arrester": "L N PE",
    "contactor": "A1 A2 1 2 3 4 5 6 13 14 21 22",
    "relay": "A1 A2 11 12 14",
    "safety-relay": "A1 A2 S11 S12 S21 S22 S33 S34 13 14 23 24",
    "solid-state-relay": "A1 A2 1 2",
    "emergency-stop": "11 12 21 22",
    "push-button": "13 14",
    "selector": "13 14 23 24",
    "key-switch": "13 14",
    "limit-switch": "11 12 PE",
    "foot-switch": "13 14",
    "guard-switch": "11 12 21 22",
    "pressure-switch": "13 14",
    "float-switch": "11 12",
    "stepper-drive": "V+ V- PE STEP+ STEP- DIR+ DIR- ENA+ ENA- A+ A- B+ B-",
    "servo-drive": "L N PE STO1 SG1 U V W",
    "inverter": "L1 L2 L3 PE U V W R1 R2 13 14",
    "stepper-motor": "A+ A- B+ B- PE",
    "servo-motor": "U V W PE",
    "motor": "U V W PE",
    "brake": "A1 A2",
    "braking-resistor": "R1 R2 PE",
    "heater": "1 2 PE",
    "lamp": "X1 X2",
    "fan": "L N",
    "pump": "L N PE",
    "valve": "1 2",
    "process-source": "L N PE OUT+ OUT-",
    "load": "1 2",
    "battery": "+ -",
    "charger": "L N PE V+ V-",
    "thermostat": "1 2",
    "thermal-cut-out": "11 12",
    "thermocouple": "+ -",
    "temperature-controller": "L N IN+ IN- P+ P- 13 14 23 24",
    "bus-chopper": "V+ V- PE",
    "io-card": "0V I1 O1 13 14 24V",
    "controller": "I1 24V 0V",
    "sensor": "1 3 4",
    "encoder": "5V GND A+ A- B+ B- Z+ Z-",
    "isolator": "IN+ IN- OUT+ OUT-",
    "terminals": "1 2 3 4",
    "connector": "1 2 PE shell",
    "earth-bar": "1 2 3",
    "metalwork": "1",
    "suppressor": "1 2",
    "resistor": "1 2",
    "diode": "A K",
    "device": "V+ V- PE",
}
EXAMPLES: dict[str, tuple[str, str]] = {kind: (_TEXTS[kind], terminals) for kind, terminals in _TERMINALS.items()}
