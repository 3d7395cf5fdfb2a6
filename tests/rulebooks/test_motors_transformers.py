"""Motors, transformers, load and conductor rules, short-circuit ratings: figures of the standards, sweeps, units."""

from math import sqrt

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wiring.parts import bus, machinery, motion
from wiring.rulebooks import motors, overcurrent, transformers
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.motors import HP_W
from wiring.rulebooks.tables import load

# --- full-load currents, NFPA 70 tables 430.248 and 430.250


@pytest.mark.parametrize(
    ("hp", "volts", "phases", "amps"),
    [
        (0.5, 115, 1, 9.8),
        (1, 230, 1, 8.0),
        (1, 240, 1, 8.0),
        (5, 230, 1, 28),
        (10, 208, 1, 55),
        (0.75, 230, 3, 3.2),
        (5, 460, 3, 7.6),
        (10, 575, 3, 11),
        (10, 480, 3, 14),
    ],
)
def test_full_load_current(hp, volts, phases, amps):
    assert motors.full_load_current(hp * HP_W, volts, phases).value == amps


@pytest.mark.parametrize(("hp", "volts", "phases"), [(4, 230, 3), (1, 400, 3), (1, 460, 1), (10, 115, 3), (1, 230, 2)])
def test_full_load_current_that_is_not_tabled(hp, volts, phases):
    assert isinstance(motors.full_load_current(hp * HP_W, volts, phases), NotTabled)


def test_full_load_currents_belong_to_each_other():
    """Second method: the shaft power over voltage and current, efficiency times power factor, must stay plausible."""
    for name, phases in (("motor_flc_single_phase", 1), ("motor_flc_three_phase", 3)):
        for row in load("na", name).rows:
            for volts in (200, 208, 230):
                amps = row.number(f"flc_{volts}v_a")
                used = row.number("power_hp") * HP_W / (sqrt(phases) * volts * amps)
                assert 0.24 < used < 0.86
                assert amps * volts == pytest.approx(row.number("flc_230v_a") * 230, rel=0.02)


# --- conductors, devices and overload settings of motors


@pytest.mark.parametrize(
    ("kind", "limit", "standard", "exception"),
    [
        # table 430.52(C)(1) for 10 A: 300, 175, 800, 250 %; exceptions 400, 225, 1300, 400 %, rounded down
        ("nontime_delay_fuse", 30, 30, 40),
        ("dual_element_time_delay_fuse", 17.5, 20, 20),
        ("instantaneous_trip_breaker", 80, 80, 125),
        ("inverse_time_breaker", 25, 25, 40),
    ],
)
def test_short_circuit_device_of_a_motor(kind, limit, standard, exception):
    device = motors.short_circuit_device(10.0, kind)
    assert (device.limit.value, device.standard.value, device.exception.value) == (limit, standard, exception)


def test_short_circuit_device_of_other_motors():
    """Wound rotor 150 %; direct current 150 % and 250 % instantaneous; above 100 A the breaker exception is 300 %."""
    assert motors.short_circuit_device(10.0, "inverse_time_breaker", "wound_rotor").limit.value == 15.0
    direct = motors.short_circuit_device(10.0, "instantaneous_trip_breaker", "direct_current_constant_voltage")
    assert direct.limit.value == 25.0
    assert motors.short_circuit_device(120.0, "inverse_time_breaker").exception.value == 350.0
    with pytest.raises(ValueError, match=r"430\.52"):
        motors.short_circuit_device(10.0, "slow_fuse")


def test_overload_setting():
    """430.32(A): 125 % with service factor 1.15 or a rise of 40 K, else 115; (C) 140 and 130 %. IEC: rated current."""
    assert motors.overload_setting("na", 4.0, service_factor=1.15).value == 5.0
    assert motors.overload_setting("na", 4.0, rise_k=40.0).value == 5.0
    assert motors.overload_setting("na", 4.0).value == pytest.approx(4.6)
    assert motors.overload_setting("na", 4.0, service_factor=1.0, starts=False).value == pytest.approx(5.2)
    assert motors.overload_setting("iec", 4.0).value == 4.0


def test_device_of_a_group():
    """NFPA 79 7.2.10.4 (from memory): 14 AWG 60 and 30 A."""
    assert motors.group_device("14", time_delay_fuse=False).value == 60.0
    assert motors.group_device("14", time_delay_fuse=True).value == 30.0
    assert isinstance(motors.group_device("18", time_delay_fuse=True), NotTabled)


# --- loads, ratings and conductors


def test_continuous_load():
    """210.20(A): 125 % of what runs three hours and more; IEC 60364-4-43 433.1: the load itself."""
    assert overcurrent.least_device_rating("na", 8.0, 2.0).value == 12.0
    assert overcurrent.least_device_rating("iec", 8.0, 2.0).value == 10.0


def test_standard_ratings():
    """240.6(A) of 2023: 10, 15, 20, 25, 30 ... 6000 A, and 1, 3, 6, 601 A for fuses only. IEC: 13 and 16 A breakers."""
    assert overcurrent.standard_ratings("na", "breaker")[:5] == (10, 15, 20, 25, 30)
    assert overcurrent.standard_ratings("na", "fuse")[:5] == (1, 3, 6, 10, 15)
    assert overcurrent.next_standard("na", "breaker", 15.1).value == 20
    assert overcurrent.next_standard("iec", "breaker", 13.5).value == 16
    assert overcurrent.next_standard("iec", "miniature-fuse", 2.6).value == 3.15
    assert isinstance(overcurrent.next_standard("iec", "breaker", 126.0), NotTabled)
    assert isinstance(overcurrent.standard_at_or_below("na", "breaker", 9.0), NotTabled)
    assert overcurrent.standard_at_or_below("na", "fuse", 14.0).value == 10
    with pytest.raises(ValueError, match="known"):
        overcurrent.standard_ratings("iec", "toaster")


@given(amps=st.floats(0.05, 6000.0), book=st.sampled_from(["iec", "na"]), kind=st.sampled_from(["breaker", "fuse"]))
def test_next_and_last_standard_rating_enclose(amps, book, kind):
    above, below = overcurrent.next_standard(book, kind, amps), overcurrent.standard_at_or_below(book, kind, amps)
    if isinstance(above, Limit):
        assert above.value >= amps * (1 - 1e-8)
    if isinstance(below, Limit):
        assert below.value <= amps * (1 + 1e-8)
    if isinstance(above, Limit) and isinstance(below, Limit):
        ladder = overcurrent.standard_ratings(book, kind)
        assert ladder.index(above.value) - ladder.index(below.value) in (0, 1)


def carrying(amps):
    return Limit(amps, "A", Source("table of ampacities", "", "", Standing.CONFIRMED))


def test_device_in_front_of_a_conductor():
    """IEC 433.1: C16 on 17.4 A passes both rules; gG 10 A opens at 19 A > 1.45 x 12 A."""
    assert all(rule.holds for rule in overcurrent.protects_conductor("iec", 16, 23.2, carrying(17.4)))
    rules = overcurrent.protects_conductor("iec", 10, 19.0, carrying(12.0))
    assert [rule.holds for rule in rules] == [True, False]
    assert overcurrent.protects_conductor("iec", 20, 29.0, carrying(17.4))[0].holds is False


def test_a_machine_has_no_next_standard_size_up():
    """NFPA 79 7.2.1: within the ampacity; 18 A do not take the 20 A that NFPA 70 240.4(B) gives in a building."""
    assert overcurrent.protects_conductor("na", 15, 20.25, carrying(18.0))[0].holds
    assert not overcurrent.protects_conductor("na", 20, 27.0, carrying(18.0))[0].holds


def test_energy_that_a_conductor_withstands():
    """By hand, k = 115 for PVC to 300 mm2 (IEC 60364-4-43 table 43A): (115 x 1.5)2 = 29 756 A2s."""
    assert overcurrent.withstood_energy(115.0, 1.5) == pytest.approx(29756.25)


def test_breaking_of_a_fault():
    six = Limit(6000.0, "A", Source("marking", "", "", Standing.CONFIRMED))
    assert overcurrent.breaks_fault("iec", six, 6000.0).holds
    assert not overcurrent.breaks_fault("na", six, 6001.0).holds


def test_each_part_of_a_panel_has_a_rating():
    """UL 508A table SB4.1: breaker 5 kA, terminal block 10 kA, supplementary protector 0.2 kA (memory)."""
    parts = {"Q1": "circuit_breaker_including_gfci_type", "X1": "terminal_block_or_power_distribution_block"}
    parts |= {"F1": "supplementary_protector", "P1": "unknown_thing"}
    found = overcurrent.short_circuit_ratings(parts, {})
    assert {name: one.value for name, one in found.items() if name != "P1"} == {
        "Q1": 5000.0,
        "X1": 10000.0,
        "F1": 200.0,
    }
    assert isinstance(found["P1"], NotTabled)
    assert overcurrent.short_circuit_ratings(parts, {"Q1": 65000.0})["Q1"].value == 65000.0
    assert overcurrent.short_circuit_ratings({}, {}) == {}


# --- transformers


@pytest.mark.parametrize(
    ("primary_a", "secondary_protected", "control", "limit"),
    [
        # NFPA 70 table 450.3(B): primary only 125 % (next up), 167 % below 9 A, 300 % below 2 A; both sides 250 %
        (10.0, False, False, 15.0),
        (20.0, False, False, 25.0),
        (21.0, False, False, 30.0),
        (8.0, False, False, 13.36),
        (2.0, False, False, 3.34),
        (1.0, False, False, 3.0),
        (1.0, False, True, 5.0),
        (10.0, True, False, 25.0),
    ],
)
def test_primary_device(primary_a, secondary_protected, control, limit):
    assert transformers.primary_device(primary_a, secondary_protected, control).value == pytest.approx(limit)


def test_secondary_device():
    """450.3(B): 9 A and more 125 % and next size up, below 167 %. IEC 60204-1 7.2.7: the rated current."""
    assert transformers.secondary_device("na", 9.0).value == 15.0
    assert transformers.secondary_device("na", 4.0).value == pytest.approx(6.68)
    assert transformers.secondary_device("iec", 4.0).value == 4.0


def test_control_transformer_table_against_the_percentage():
    """NFPA 79 table 7.2.11 is from memory; 430.72(C) allows no more than 167 % of the current at 120 V."""
    for row in load("na", "control_transformer").rows:
        rated = row.number("rating_va") / 120.0
        assert 1.1 <= row.number("secondary_device_a") / rated <= 1.67
    assert transformers.control_transformer_device(500.0).value == 5.0
    assert transformers.control_transformer_device(450.0).value == 3.2
    assert isinstance(transformers.control_transformer_device(40.0), NotTabled)
    assert isinstance(transformers.control_transformer_device(6000.0), NotTabled)


def test_a_measured_switch_on_peak_lies_within_the_worst_figure():
    """130 A measured on a 1 kVA toroid at 230 V (published soft-start measurement), 29.9 times its 4.35 A."""
    rated = transformers.transformer_current(1000.0, 230.0)
    assert transformers.switch_on_current(rated, toroid=True, worst=False).value < 130.0
    assert transformers.switch_on_current(rated, toroid=True, worst=True).value > 130.0


# --- units, by pint

UNITS = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("found", "quantity", "unit"),
    [
        (bus.stored_energy(0.0047, 75.0), 0.5 * UNITS("4.7 mF") * UNITS("75 V") ** 2, "J"),
        (bus.rotating_energy(8e-5, 62.8), 0.5 * UNITS("0.8 kg*cm^2") * UNITS("62.8 1/s") ** 2, "J"),
        (machinery.screw_torque(500.0, 0.005, 1.0), UNITS("500 N") * UNITS("5 mm") / 6.283185307, "N*m"),
        (motion.stepper_copper_loss(4.2, 0.75), UNITS("4.2 A") ** 2 * UNITS("750 mohm"), "W"),
        (bus.ripple_voltage(10.0, 50.0, 0.022), UNITS("10 A") / (2 * UNITS("50 1/s") * UNITS("22 mF")), "V"),
        (motors.HP_W, UNITS("1 hp"), "W"),
        (transformers.transformer_current(2000.0, 480.0), UNITS("2 kVA") / UNITS("480 V"), "A"),
    ],
)
def test_units_by_pint(found, quantity, unit):
    assert found == pytest.approx(quantity.to(unit).magnitude, rel=1e-6)


# --- axes and buses in sweeps


@given(torque=st.floats(0, 20), more=st.floats(0, 20), speed=st.floats(0, 400), cold=st.floats(-20, 100))
def test_bus_power_rises_with_torque_and_winding_temperature(torque, more, speed, cold):
    data = {
        "peak_a": 4.2,
        "speed": speed,
        "iron_w": 2.0,
        "phase_resistance_ohm": 0.8,
        "bridge_resistance_ohm": 0.1,
        "quiescent_w": 1.5,
    }
    power = motion.stepper_bus_power(torque=torque, winding_c=cold, **data)
    assert motion.stepper_bus_power(torque=torque + more, winding_c=cold, **data) >= power
    assert motion.stepper_bus_power(torque=torque, winding_c=cold + 10, **data) > power
    assert power >= torque * speed


@given(volts=st.floats(0, 100), joules=st.floats(0, 1000), farads=st.floats(1e-5, 1.0))
def test_energy_into_a_bus_can_be_taken_out_again(volts, joules, farads):
    """Second method: the energy of the risen voltage is the old one and what came in."""
    risen = bus.bus_rise(volts, joules, farads)
    assert bus.stored_energy(farads, risen) == pytest.approx(
        bus.stored_energy(farads, volts) + joules, rel=1e-9, abs=1e-9
    )


def test_discharge_against_an_integration_by_scipy():
    """Second method: dV/dt = -V/(RC), and for a load of constant power dV/dt = -P/(CV)."""
    from scipy.integrate import solve_ivp

    def reaches(volts):
        def event(_t, y):
            return y[0] - volts

        event.terminal = True
        return event

    active = solve_ivp(lambda _t, y: -40.0 / (0.01 * y), (0, 1), [48.0], events=reaches(24.0), rtol=1e-9)
    assert bus.run_on_time(0.01, 48.0, 24.0, 40.0) == pytest.approx(active.t[-1], rel=1e-6)


def test_ends_of_ranges():
    assert bus.run_on_time(0.001, 24.0, 48.0, 10.0) == 0.0
    assert bus.run_on_time(0.001, 48.0, 24.0, 0.0) == float("inf")
    assert (
        motion.corner_speed(bus_v=2.0, phase_resistance_ohm=1.0, phase_inductance_h=0.003, peak_a=3.0, constant=0.4)
        == 0.0
    )
    # X-capacitor of 0.1 µF at 230 V, 50 Hz: 7.2 mA (definition, 2 pi f C V)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: bus.bus_rise(48.0, 1.0, 0.0),
        lambda: bus.bus_rise(48.0, -1.0, 0.001),
        lambda: bus.filter_capacitance(48.0, 5.0, 400.0),
        lambda: bus.capacitance_for_rise(48.0, 48.0, 1.0),
        lambda: machinery.mains_current(100.0, 230.0, 0.6, 2),
        lambda: transformers.transformer_current(100.0, 0.0),
    ],
)
def test_out_of_range_is_refused_in_words(wrong):
    with pytest.raises(ValueError, match=r"expected|given"):
        wrong()
