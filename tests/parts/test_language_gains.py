"""What the plan language can say of batteries, semiconductors, heat, boards and buildings, judged as circuits.

Expected values are worked out by hand beside each check, from Ohm's and Kirchhoff's laws alone unless a source stands
there. Conductors are 10 mm long, so that they count for less than 1 in 1000.
"""

from __future__ import annotations

import pytest

from tests.helpers import design, loaded
from tests.parts.plans import one, resolve
from wiring.control.faults import single_faults
from wiring.design.design import Design
from wiring.parts.elements import Coil, Function, Resistance, Switch
from wiring.plan.conductors import Cable

SHORT = "wire_types: {w: {size: 6 mm2, length: 10 mm}}\n"


def wires(*pairs: str) -> str:
    """Wires of 10 mm, each given as two terminals."""
    lines = [
        f'  - {{wire: {n}, from: "{a}", to: "{b}", type: w}}'
        for n, (a, b) in enumerate((p.split(" ") for p in pairs), 1)
    ]
    return SHORT + "wires:\n" + "\n".join(lines) + "\n"


def volts(made: Design, a: tuple[str, str], b: tuple[str, str], kind: str = "DC") -> float:
    (point,) = made.states.values()
    return point.between(a, b, kind)


BATTERY = "  GB1: {kind: battery, voltage: 24 V DC, open_circuit: 25.6 V DC, internal_resistance: 30 mohm, rated: 40 A"
ONE_OHM = "  E1: {kind: heater, rated: 24 V DC 576 W, metal: false}\n"


def test_a_battery_gives_less_by_what_its_internal_resistance_loses():
    """1 ohm on 25.6 V behind 0.03 ohm takes 25.6 / 1.03 = 24.85 A and stands at 24.85 V."""
    made = design(f"parts:\n{BATTERY}}}\n{ONE_OHM}" + wires("GB1:+ E1:1", "E1:2 GB1:-"))
    assert volts(made, ("GB1", "+"), ("GB1", "-")) == pytest.approx(25.6 / 1.03, rel=1e-3)


def test_the_fuse_at_the_pole_of_a_battery_is_what_limits_the_conductor_behind_it():
    made = design(
        f"parts:\n{BATTERY}, fuse: {{rating: 30 A, class: gG}}}}\n{ONE_OHM}" + wires("GB1:+ E1:1", "E1:2 GB1:-")
    )
    assert (made.protections["1"].part, made.protections["1"].family, made.protections["1"].rating_a) == (
        "GB1",
        "fuse",
        30.0,
    )


def test_a_charger_in_its_current_limit_and_a_battery_share_a_load():
    """Nodal: the charger gives its limit of 5.5 A; V/2 = 5.5 + (25.6 - V)/0.03, so V = 25.765/1.015 = 25.384 V."""
    parts = (
        "mains: {inlet: X0, system: single-phase, voltage: 230 V, fault_current: 1 kA}\nparts:\n  X0: {kind: inlet}\n"
        "  G1: {kind: charger, input: 230 V AC, output: 27.4 V DC, rated: 5 A, class: II}\n"
        f"{BATTERY}}}\n  E1: {{kind: heater, rated: 24 V DC 288 W, metal: false}}\n"
    )
    ends = ("X0:L G1:L", "X0:N G1:N", "G1:V+ GB1:+", "G1:V- GB1:-", "GB1:+ E1:1", "E1:2 GB1:-")
    made = design(parts + wires(*ends))
    assert volts(made, ("GB1", "+"), ("GB1", "-")) == pytest.approx(25.765 / 1.015, rel=1e-3)
    # Without mains the charger gives nothing and takes nothing: 25.6 V over 2.03 ohm.
    alone = design(parts[parts.index("parts:") :] + wires(*ends))
    assert volts(alone, ("GB1", "+"), ("GB1", "-")) == pytest.approx(25.6 * 2 / 2.03, rel=1e-3)


def test_a_battery_whose_label_gives_no_resistance_is_asked_and_taken_as_typical():
    part = one("{kind: battery, voltage: 12 V DC, capacity: 7 Ah}")
    assert part.elements[0].ohm == pytest.approx(0.0257, rel=0.01)  # 25 mohm: typical, from memory


SOLID = (
    "parts:\n  G1: {kind: battery, voltage: 12 V DC, open_circuit: 12 V DC, internal_resistance: 10 mohm}\n"
    "  V1: {kind: solid-state-relay, control: 3..32 V DC, rated: 10 A, rated_voltage: 1..60 V DC, drop: 1 V}\n"
    "  E1: {kind: heater, rated: 12 V DC 36 W, metal: false}\n"
)
LOAD = ("G1:+ V1:1", "V1:2 E1:1", "E1:2 G1:-")


def test_a_solid_state_relay_minds_the_polarity_of_its_input():
    """On, it loses 1 V at 10 A, so stands for 0.1 ohm: 4 ohm at 12 V then get 12 x 4 / 4.11 V."""
    right = design(SOLID + wires(*LOAD, "G1:+ V1:A1", "V1:A2 G1:-"))
    wrong = design(SOLID + wires(*LOAD, "G1:+ V1:A2", "V1:A1 G1:-"))
    assert volts(right, ("E1", "1"), ("E1", "2")) == pytest.approx(12 * 4 / 4.11, rel=2e-3)
    assert abs(volts(wrong, ("E1", "1"), ("E1", "2"))) < 0.01


def test_a_solid_state_relay_fails_short():
    faults = single_faults(design(SOLID + wires(*LOAD, "G1:+ V1:A1", "V1:A2 G1:-")).circuit)
    assert any(fault.kind in ("weld", "held") and "V1" in fault.subjects and "short" in fault.words for fault in faults)
    assert one("{kind: solid-state-relay, control: 3..32 V DC}").of(Switch)[0].solid_state


def test_an_inlet_with_switch_and_fuse_feeds_its_terminals_through_them():
    parts = (
        "mains: {inlet: X0, system: single-phase, voltage: 230 V, fault_current: 1 kA}\nparts:\n"
        "  X0: {kind: inlet, rated: 10 A, switch: true, fuse: {rating: 6.3 A, class: T}}\n"
        "  E1: {kind: heater, rated: 230 V AC 529 W, metal: false}\n"
    )
    made = design(parts + wires("X0:L E1:1", "X0:N E1:2"))
    assert volts(made, ("E1", "1"), ("E1", "2"), "AC") == pytest.approx(230, rel=0.01)
    assert (made.protections["1"].part, made.protections["1"].rating_a) == ("X0", 6.3)
    handles = [switch for switch in made.parts["X0"].of(Switch) if switch.actuator == "handle"]
    assert len(handles) == 2  # line and neutral, never PE


def test_metal_that_is_bolted_to_earthed_metal_is_earthed():
    parts = (
        "parts:\n  X0: {kind: inlet}\n  U1: {kind: metalwork}\n  XPE: {kind: earth-bar, points: 2}\n"
        "  M1: {kind: stepper-motor, phase_current: 2 A peak, bolted_to: U1}\n"
    )
    made = design(parts + wires("X0:PE XPE:1", "XPE:2 U1:1"))
    assert made.lowered.index["M1", "PE"] == made.lowered.index["U1", "1"]
    (fault,) = loaded(parts.replace("bolted_to: U1", "bolted_to: U7")).faults
    assert "no part 'U7'" in fault.summary


BOARD = (
    "parts:\n  G1: {kind: battery, voltage: 24 V DC, open_circuit: 24 V DC, internal_resistance: 10 mohm}\n"
    '  A1: {kind: device, points: {"24V": supply, "0V": supply},\n'
    '       tracks: {"24V": [D1:V+, D2:V+], "0V": [D1:V-, D2:V-]}}\n'
    "  D1: {kind: stepper-drive, supply: 12..36 V DC, phase_current: 2 A peak, metal: false}\n"
    "  D2: {kind: stepper-drive, supply: 12..36 V DC, phase_current: 2 A peak, metal: false}\n"
)


def test_the_tracks_of_a_board_feed_the_modules_plugged_on_it():
    made = design(BOARD + wires("G1:+ A1:24V", "A1:0V G1:-"))
    assert volts(made, ("D1", "V+"), ("D1", "V-")) == pytest.approx(24, rel=0.01)
    assert volts(made, ("D2", "V+"), ("D2", "V-")) == pytest.approx(24, rel=0.01)
    assert [c.id for c in made.circuit.conductors] == ["1", "2"]  # tracks are no wires


@pytest.mark.parametrize(("track", "words"), [("D9:V+", "no part 'D9'"), ("D1:X9", "D1 has no terminal X9")])
def test_a_track_that_leads_nowhere_is_a_fault(track, words):
    (fault,) = loaded(BOARD.replace("D1:V+, D2:V+", f"{track}, D2:V+") + wires("G1:+ A1:24V", "A1:0V G1:-")).faults
    assert words in fault.summary


CARD = (
    "parts:\n  G1: {kind: battery, voltage: 24 V DC, open_circuit: 24 V DC, internal_resistance: 10 mohm}\n"
    "  A1: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC}, outputs: {O1: pnp},\n"
    "       hard_logic: [{input: EN-0E, outputs: [O1], voltage: 24 V DC, counted: %s}]}\n"
)


def test_hard_logic_that_is_counted_stands_between_output_and_load():
    counted, plain = one_card("true"), one_card("false")
    assert [s.actuator for s in counted.of(Switch)] == ["output O1", "gate 1"]
    assert counted.of(Switch)[1].b == "O1"
    assert counted.of(Coil)[0].name == "EN-0E"
    assert [s.actuator for s in plain.of(Switch)] == ["output O1"]
    assert [r for r in plain.of(Resistance) if (r.a, r.b) == ("EN", "0E")]


def one_card(counted: str):
    return design(CARD % counted + wires("G1:+ A1:24V", "A1:0V G1:-")).parts["A1"]


def test_a_motor_in_a_closed_loop_has_the_terminals_of_its_encoder():
    motor = one("{kind: stepper-motor, phase_current: 3 A peak, encoder: {voltage: 5 V DC}}")
    assert {"E5V", "E0V", "EA+", "EZ-"} <= set(motor.terminals)
    assert motor.terminals["EA+"].function is Function.OUTPUT


def test_a_drive_may_have_several_protective_terminals_or_none():
    two = one("{kind: servo-drive, supply: 200..240 V AC, pe: [PE1, PE2]}")
    none = one("{kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak, metal: false}")
    assert [t.name for t in two.terminals.values() if t.function is Function.PE] == ["PE1", "PE2"]
    assert two.data.earth_terminal() == "PE1"
    assert "PE" not in none.terminals
    assert none.data.earth_terminal() is None


def test_terminal_sizes_by_group():
    part = one('{kind: servo-drive, supply: 200..240 V AC, sizes: {"L N PE": 1.5..4 mm2, U V W: 1..2.5 mm2}}')
    assert part.terminals["L"].sizes_mm2 == (1.5, 4.0)
    assert part.terminals["W"].sizes_mm2 == (1.0, 2.5)
    assert part.terminals["U"].sizes_mm2 == (1.0, 2.5)
    rest = one('{kind: breaker, rating: 6 A, sizes: {"1": 1..16 mm2, "": 1..10 mm2}}')
    assert (rest.terminals["1"].sizes_mm2, rest.terminals["2"].sizes_mm2) == ((1.0, 16.0), (1.0, 10.0))


@pytest.mark.parametrize(
    "body",
    [
        "{kind: fuse}",
        "{kind: contactor, coil: 24 V DC}",
        "{kind: relay, coil: 230 V AC}",
        "{kind: stepper-motor, phase_current: 2 A peak}",
        "{kind: encoder, supply: {between: [5V, GND], voltage: 5 V DC}}",
        "{kind: battery, voltage: 12 V DC}",
        "{kind: safety-relay, supply: 24 V DC, channels: [S11-S12], outputs: [13-14]}",
        "{kind: brake, rated: 24 V DC}",
        "{kind: valve, rated: 24 V DC}",
    ],
)
def test_what_a_label_may_not_show_can_be_left_out(body):
    assert all(getattr(element, "ohm", 1.0) > 0.0 for element in one(body).elements)


def test_a_coil_of_unknown_power_is_taken_as_typical_for_its_kind():
    """3 W at 24 V: 24 squared over 3 is 192 ohm; the plan that says 4 W has 144 ohm."""
    assert one("{kind: contactor, coil: 24 V DC}").of(Coil)[0].ohm == pytest.approx(192)
    assert one("{kind: contactor, coil: 24 V DC 4 W}").of(Coil)[0].ohm == pytest.approx(144)


def test_operators_spring_back_or_latch_as_the_plan_says():
    assert one("{kind: push-button, contacts: {13-14: NO}}").data.springs_back()
    assert not one("{kind: push-button, contacts: {13-14: NO}, action: latching}").data.springs_back()
    assert not one("{kind: selector, contacts: {13-14: NO}}").data.springs_back()
    assert one("{kind: selector, contacts: {13-14: NO}, action: spring-return}").data.springs_back()
    assert not one("{kind: emergency-stop, contacts: {11-12: NC direct}}").data.springs_back()
    assert one("{kind: emergency-stop, contacts: {11-12: NC direct}, action: spring-return}").data.springs_back()


def test_a_star_written_as_a_list_is_answered_with_the_form_that_is_taken():
    result = loaded("parts:\n  X1: {kind: terminals, points: 3}\nwires:\n  - {wire: 1, star: [X1:1, X1:2, X1:3]}\n")
    (fault,) = result.faults
    assert "star: {from: X1:1, to: [X1:2, X1:3]}" in fault.expected


def test_core_colours_and_printed_labels_go_by_label_not_by_order():
    body = "{cable: C1, cores: 4, join: {b: [X1:1, X1:2], a: [X1:3, X1:4]}, colours: {a: BN, b: BU}, labels: {a: '1'}}"
    made = design(f"parts:\n  X1: {{kind: terminals, points: 4}}\ncables:\n  - {body}\n")
    cores = made.circuit.conductor
    assert (cores["C1.a"].colour, cores["C1.b"].colour) == ("BN", "BU")
    assert (cores["C1.a"].number, cores["C1.b"].number) == ("C1.1", "C1.b")
    assert isinstance(made.plan.cables[0], Cable)


def test_two_cores_may_stand_for_one_phase():
    body = "{cable: C1, size: 1.5 mm2, length: 2 m, join: {'1': [X1:1, X1:2], '2': [X1:1, X1:2]}}"
    made = design(f"parts:\n  X1: {{kind: terminals, points: 2}}\ncables:\n  - {body}\n")
    assert {c.ends for c in made.circuit.conductors} == {(("X1", "1"), ("X1", "2"))}


def test_the_building_says_its_device_its_plug_and_its_feed():
    made = design(
        "mains:\n  inlet: X0\n  system: single-phase\n  voltage: 230 V\n  rcd: {residual: 30 mA, type: A}\n"
        "  connection: reversible plug\n  shared: true\n"
        "  feed: {size: 2.5 mm2, length: 20 m, insulation: pvc-70, method: B2, grouped_with: 2}\n"
        "parts:\n  X0: {kind: inlet}\n"
    )
    mains = made.plan.mains
    assert mains is not None
    assert (mains.rcd.residual, mains.connection, mains.shared, mains.feed.method) == (
        0.03,
        "reversible plug",
        True,
        "B2",
    )


def test_what_goes_on_without_power_says_for_how_long():
    assert one("{kind: motor, voltage: 230 V AC, rated_power: 1 kW, run_down: 12 s}").data.run_down == 12.0
    assert one("{kind: fan, rated: 230 V AC 50 W, run_on: 2 min}").data.run_on == 120.0
    motor = one("{kind: motor, voltage: 230 V AC, rated_power: 1 kW, service_factor: 1.15, continuous: true}").data
    assert (motor.service_factor, motor.continuous) == (1.15, True)
    assert one("{kind: breaker, rating: 20 A, terminal_temperature: 75 °C}").data.terminal_temperature == 75.0


def test_a_temperature_controller_pulses_and_switches_by_its_program():
    part = one(
        "{kind: temperature-controller, supply: 230 V AC 5 VA,"
        " outputs: {P+-P-: pulse 12 V, 13-14: relay}, alarms: [23-24]}"
    )
    assert {s.actuator for s in part.of(Switch)} == {"output 13-14", "alarm"}
    _, faults = resolve("P: {kind: temperature-controller, supply: 230 V AC 5 VA, outputs: {P+-P-: puls 12 V}}")
    assert "no control output" in faults[0].summary


def test_a_cut_out_and_a_thermostat_close_while_cold():
    for kind in ("thermal-cut-out", "thermostat"):
        (switch,) = one(f"{{kind: {kind}}}").of(Switch)
        assert switch.closed_at_rest
        assert (switch.a, switch.b) == ("1", "2")
