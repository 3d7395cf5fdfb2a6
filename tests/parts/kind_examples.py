"""One small example of every kind of part, and the terminals that the standards give it, written by hand.

Markings: L, N, PE, L1..L3 of IEC 60445; A1-A2 of coils, 1-2, 3-4, 5-6 of main poles, x3-x4 of make and x1-x2 of break
contacts of EN 50005; U, V, W of IEC 60034-8; 1 brown, 3 blue, 4 black of sensors of IEC 60947-5-2; X1-X2 of lamps of
EN 50005 (from memory); A1, A2 of the input of semiconductor controllers of IEC 60947-4-3 (from memory); 1.1, 1.2, 2.1,
2.2 of transformers, V+ V- of supplies and A+ A- B+ B- of stepper motors, all three makers' practice, no standard.
"""

EXAMPLES: dict[str, tuple[str, str]] = {
    # what comes in
    "inlet": ("{kind: inlet}", "L N PE"),
    "transformer": ("{kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 63 VA}", "1.1 1.2 2.1 2.2 PE"),
    "rectifier": ("{kind: rectifier, rated: 10 A}", "AC1 AC2 + -"),
    "capacitor": ("{kind: capacitor, capacitance: 10000 µF}", "+ -"),
    "supply": ("{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}", "L N PE V+ V-"),
    "converter": ("{kind: converter, input: 18..36 V DC, output: 5 V DC, rated: 2 A}", "IN+ IN- V+ V-"),
    "filter": ("{kind: filter}", "L N L' N' PE"),
    # protection
    "disconnector": ("{kind: disconnector, poles: 2}", "1 2 3 4"),
    "breaker": ("{kind: breaker, rating: 6 A}", "1 2"),
    "fuse": ("{kind: fuse, rating: 2 A}", "1 2"),
    "electronic-fuse": ("{kind: electronic-fuse, rating: 4 A}", "1 2 0V"),
    "motor-protector": ("{kind: motor-protector, setting: 2 A}", "1 2 3 4 5 6"),
    "rcd": ("{kind: rcd, rated: 25 A, residual: 30 mA, type: A}", "1 2 3 4"),
    "surge-arrester": ("{kind: surge-arrester}", "L N PE"),
    # switching
    "contactor": (
        "{kind: contactor, coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC mirror}}",
        "A1 A2 1 2 3 4 5 6 13 14 21 22",
    ),
    "relay": ("{kind: relay, coil: 24 V DC 0.6 W, contacts: {11-12: NC, 11-14: NO}}", "A1 A2 11 12 14"),
    "safety-relay": (
        "{kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}",
        "A1 A2 S11 S12 S21 S22 S33 S34 13 14 23 24",
    ),
    "solid-state-relay": ("{kind: solid-state-relay, control: 3..32 V DC, rated: 25 A}", "A1 A2 1 2"),
    # operators
    "emergency-stop": ("{kind: emergency-stop, contacts: {11-12: NC direct, 21-22: NC direct}}", "11 12 21 22"),
    "push-button": ("{kind: push-button, contacts: {13-14: NO}}", "13 14"),
    "selector": ("{kind: selector, contacts: {13-14: NO, 23-24: NO}}", "13 14 23 24"),
    "key-switch": ("{kind: key-switch, contacts: {13-14: NO}}", "13 14"),
    "limit-switch": ("{kind: limit-switch, contacts: {11-12: NC}, earth: true}", "11 12 PE"),
    "foot-switch": ("{kind: foot-switch, contacts: {13-14: NO}}", "13 14"),
    "guard-switch": ("{kind: guard-switch, contacts: {11-12: NC, 21-22: NC}}", "11 12 21 22"),
    "pressure-switch": ("{kind: pressure-switch, contacts: {13-14: NO}}", "13 14"),
    "float-switch": ("{kind: float-switch, contacts: {11-12: NC}}", "11 12"),
    # drives
    "stepper-drive": (
        "{kind: stepper-drive, supply: 24..48 V DC, phase_current: 4.2 A peak}",
        "V+ V- PE STEP+ STEP- DIR+ DIR- ENA+ ENA- A+ A- B+ B-",
    ),
    "servo-drive": (
        "{kind: servo-drive, supply: 200..240 V AC, sto: [STO1-SG1]}",
        "L N PE STO1 SG1 U V W",
    ),
    "inverter": (
        '{kind: inverter, supply: 380..480 V AC, phases: "3", rated: 1.5 kW, braking: true, relay: 13-14}',
        "L1 L2 L3 PE U V W R1 R2 13 14",
    ),
    # motors
    "stepper-motor": (
        "{kind: stepper-motor, phase_current: 2.8 A per-phase, phase_resistance: 0.9 ohm}",
        "A+ A- B+ B- PE",
    ),
    "servo-motor": ("{kind: servo-motor, rated_power: 400 W}", "U V W PE"),
    "motor": ("{kind: motor, voltage: 400 V AC, rated_power: 1.5 kW}", "U V W PE"),
    "brake": ("{kind: brake, rated: 24 V DC 12 W}", "A1 A2"),
    "braking-resistor": ("{kind: braking-resistor, resistance: 100 ohm, power: 200 W}", "R1 R2 PE"),
    # loads
    "heater": ("{kind: heater, rated: 24 V DC 150 W}", "1 2 PE"),
    "lamp": ("{kind: lamp, rated: 24 V DC 20 mA}", "X1 X2"),
    "fan": ("{kind: fan, rated: 230 V AC 15 W}", "L N"),
    "pump": ("{kind: pump, rated: 230 V AC 90 W}", "L N PE"),
    "valve": ("{kind: valve, rated: 24 V DC 2 W}", "1 2"),
    "process-source": ("{kind: process-source, input: 230 V AC, output: 36 V DC, rated: 8 A}", "L N PE OUT+ OUT-"),
    "load": ("{kind: load, rated: 24 V DC 10 W}", "1 2"),
    # storage and heat
    "battery": ("{kind: battery, voltage: 24 V DC, capacity: 18 Ah, fuse: {rating: 40 A}}", "+ -"),
    "charger": ("{kind: charger, input: 230 V AC, output: 27.4 V DC, rated: 5 A}", "L N PE V+ V-"),
    "thermostat": ("{kind: thermostat, switches_at: 35 °C}", "1 2"),
    "thermal-cut-out": ("{kind: thermal-cut-out, contacts: {11-12: NC}, opens_at: 90 °C}", "11 12"),
    "thermocouple": ("{kind: thermocouple, type: K}", "+ -"),
    "temperature-controller": (
        "{kind: temperature-controller, supply: 230 V AC 5 VA, outputs: {P+-P-: pulse 12 V, 13-14: relay},"
        " alarms: [23-24]}",
        "L N IN+ IN- P+ P- 13 14 23 24",
    ),
    "bus-chopper": ("{kind: bus-chopper, clamp: 80 V, resistance: 10 ohm, power: 50 W}", "V+ V- PE"),
    # signals
    "io-card": (
        "{kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 0.1 A}, inputs: {I1: sink},"
        " common: 0V, outputs: {O1: pnp, 13-14: relay}}",
        "0V I1 O1 13 14 24V",
    ),
    "controller": (
        "{kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 0.2 A}, inputs: {I1: source}}",
        "I1 24V 0V",
    ),
    "sensor": ("{kind: sensor, supply: 10..30 V DC, output: pnp NO}", "1 3 4"),
    "encoder": (
        "{kind: encoder, supply: {between: [5V, GND], voltage: 5 V DC, current: 0.1 A}}",
        "5V GND A+ A- B+ B- Z+ Z-",
    ),
    "isolator": ("{kind: isolator, input_voltage: 100 V DC, output_voltage: 10 V DC}", "IN+ IN- OUT+ OUT-"),
    # passive
    "terminals": ("{kind: terminals, points: 4, bridged: [1-3]}", "1 2 3 4"),
    "connector": ('{kind: connector, contacts: ["1", "2", PE], shell: true}', "1 2 PE shell"),
    "earth-bar": ("{kind: earth-bar, points: 3}", "1 2 3"),
    "metalwork": ("{kind: metalwork}", "1"),
    "suppressor": ("{kind: suppressor, type: diode}", "1 2"),
    "resistor": ("{kind: resistor, resistance: 1 kohm}", "1 2"),
    "diode": ("{kind: diode}", "A K"),
    "device": ("{kind: device, points: {V+: plus, V-: minus, PE: pe}}", "V+ V- PE"),
}
