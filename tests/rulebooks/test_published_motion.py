"""Axes, buses, supplies, contacts and duty against published, measured and simulated figures.

Rows of tests/data/examples/motion.csv name their source; sections 5 and 8 of it belong to the wires.
"""

from math import pi, sqrt

import pytest
from published_rows import compare, motion, table, worked

from wiring.parts import bus, machinery
from wiring.parts import motion as axis
from wiring.rulebooks import breakers, contacts, devices, enclosure, limited_source, motors
from wiring.units import DIMENSIONS

RPM = 2 * pi / 60
TORQUE = DIMENSIONS["torque"].units


def balance(i):
    return axis.stepper_bus_power(
        peak_a=i["I_peak_A"],
        torque=i["T_Nm"],
        speed=i["rpm"] * RPM,
        iron_w=i["P_fe_W"],
        phase_resistance_ohm=i["R_ohm"],
        bridge_resistance_ohm=0.0,
        quiescent_w=i["P_drive_W"],
        winding_c=20.0,
    )


def bus_current(i):
    return balance(i) / i["V"]


def at_rest(i):
    return balance({"T_Nm": 0.0, "rpm": 0.0, "P_fe_W": 0.0, **i})


def corner(i):
    return axis.corner_speed(
        bus_v=i["V"],
        phase_resistance_ohm=i["R_ohm"],
        phase_inductance_h=i["L_H"],
        peak_a=i["I_peak_A"],
        constant=i["Kt"],
        rotor_teeth=i["rotor_teeth"],
    )


def current_at_corner(i):
    return bus_current({**i, "T_Nm": i["Kt"] * i["I_peak_A"], "rpm": corner(i) / RPM})


def derated_w(i):
    slope = i.get("slope_pct_per_K", 0.0) / 100 or i["slope_W_per_K"] / i["P_nom_W"]
    return enclosure.derated(i["P_nom_W"], i.get("T_start_C"), slope, i["T_C"])


def ripple_share(i):
    farads = bus.filter_capacitance(i["V"], i["I_A"], i["f_line_Hz"])
    return bus.ripple_voltage(i["I_A"], i["f_line_Hz"], farads) / i["V"]


def magnetic(i):
    return devices.surely_opens_at(devices.Device("breaker", i["In_A"], i["curve"]), "dc_factor" in i, 0.1)


def fault_on_supply(i):
    wires = i["rho"] * i["L_total_m"] / i["csa_mm2"]
    loop = i["R_supply_ohm"] + i["R_breaker_ohm"] + wires
    return limited_source.limited_fault_current(i["V"], loop, i["I_supply_peak_A"])


def stop_chain(i):
    released = contacts.release_time(i["contactor_ms"] / 1000, "diode", safe=False).value
    return (i["relay_ms"] / 1000 + released) * 1000


def inverter(i):
    return machinery.inverter_input_current(
        shaft_w=i["P_shaft_W"],
        motor_efficiency=i["eff_motor"],
        inverter_efficiency=i["eff_inv"],
        volts=i["V"],
        power_factor=i["pf"],
    )


# Row -> (function of its inputs) -> the one expected value.
ROWS = {
    "M012": at_rest,
    "M014": lambda i: at_rest(i) / i["V"],
    "M015": lambda i: axis.stepper_copper_loss(i["I_hold_over_I_run"], 1.0) / axis.stepper_copper_loss(1.0, 1.0),
    "M022": balance,
    "M023": bus_current,
    "M151": bus_current,
    "M152": bus_current,
    "M153": bus_current,
    "M154": bus_current,
    "M027": lambda i: axis.highest_useful_bus_voltage(i["L_mH"] / 1000),
    "M034": lambda i: axis.torque_constant(i["T_hold_two_phase_Nm"], i["I_rated_A"]),
    "M035": corner,
    "M036": lambda i: corner(i) / RPM,
    "M037": current_at_corner,
    "M155": current_at_corner,
    "M038": lambda i: axis.step_rate(i["rpm"] * RPM, i["steps_per_rev"], i["microsteps"]),
    "M039": lambda i: axis.step_rate(i["rpm"] * RPM, i["steps_per_rev"], i["microsteps"]),
    "M040": lambda i: i["ozin"] * TORQUE["oz·in"],
    "M041": lambda i: i["ozin"] * TORQUE["oz·in"],
    "M042": lambda i: machinery.torque_through_gear(i["T_load_Nm"], i["ratio"], i["eff"]),
    "M043": lambda i: machinery.inertia_through_gear(i["J_load"], i["ratio"]),
    "M044": lambda i: machinery.screw_torque(i["F_N"], i["lead_m"], i["eff"]),
    "M045": lambda i: machinery.screw_inertia(i["m_kg"], i["lead_m"]),
    "M046": lambda i: machinery.motor_shaft_power(torque=i["T_Nm"], speed=i["rpm"] * RPM),
    "M047": lambda i: (
        machinery.motor_shaft_power(torque=i["T_lbft"] * TORQUE["lb·ft"], speed=i["rpm"] * RPM) / motors.HP_W
    ),
    "M048": lambda i: bus.rotating_energy(i["J"], i["rpm"] * RPM),
    "M049": lambda i: bus.rotating_energy(i["J"], i["rpm"] * RPM),
    "M051": lambda i: bus.braking_resistor_rating(i["E_K_J"], i["T_cycle_s"]),
    "M052": lambda i: bus.braking_resistor_rating(i["E_K_J"], i["T_cycle_s"], i["use_ratio"]),
    "M053": lambda i: bus.bus_rise(i["V1"], i["E_J"], i["C_F"]),
    "M055": lambda i: bus.capacitance_for_rise(i["V1"], i["V2"], i["E_J"]),
    "M060": derated_w,
    "M061": derated_w,
    "M064": lambda i: enclosure.altitude_offset(i["alt_m"] + 2000.0 - i["start_m"]).value,
    "M065": lambda i: bus.filter_capacitance(i["V"], i["I_A"], 60.0) * 1e6,
    "M066": lambda i: bus.filter_capacitance(i["V"], i["I_A"], 50.0) * 1e6,
    "M067": lambda i: bus.ripple_voltage(i["I_A"], i["f_line_Hz"], i["C_F"]),
    "M068": ripple_share,
    "M069": lambda i: bus.rectified_peak(i["Vac"], i["Vf"]),
    "M070": lambda i: bus.rectified_peak(i["Vac"], i["Vf"], i["reg"], i["mains_tol"]),
    "M077": lambda i: breakers.supplies_behind_breaker("C", i["In_A"], i["Ipk_A"], i["I_run_A"], i["k"]),
    "M079": magnetic,
    "M080": magnetic,
    "M081": fault_on_supply,
    "M082": lambda i: i["I_fault_A"] >= magnetic(i),
    "M083": lambda i: i["I_fault_A"] >= magnetic(i),
    "M116": lambda i: contacts.release_time(i["t_plain_ms"] / 1000, "diode", safe=False).value * 1000,
    "M142": lambda i: bus.run_on_time(i["C_F"], i["V1"], i["V2"], i["P_W"]),
    "M144": stop_chain,
    "M147": lambda i: machinery.electrical_input_power(i["hp"] * motors.HP_W, i["eff"]),
    "M148": inverter,
}
_READING = (
    "a reading of volts times amperes; resistance and setting of the motor are not given, so nothing is predicted"
)
_UNUSED = "a formula that nothing in the tool needs"
NOT_COVERED = {
    **dict.fromkeys(("M110", "M111", "M112"), "the snubber across a contact, which the tool sizes for nobody"),
    "M117": "the current of a coil from its volt-amperes, which a plan gives itself",
    "M118": "the load that DC-13 is tested with, which nothing asks for",
    **dict.fromkeys(("M119", "M120"), "typical values of one maker's contactors, never a rating"),
    "M145": "a code letter, which the plan language does not have: `start_factor` says it",
    "M164": "a measured peak as a multiple; the check takes the peak itself or a typical multiple",
    "M011": "a margin of 30 % on the watts of M010, no formula of ours",
    **dict.fromkeys(("M017", "M018", "M019", "M020", "M021"), _READING),
    **dict.fromkeys(
        (
            "M001",
            "M002",
            "M003",
            "M004",
            "M005",
            "M006",
            "M007",
            "M008",
            "M009",
            "M010",
            "M013",
            "M016",
            "M030",
            "M031",
            "M032",
            "M033",
            "M050",
            "M054",
            "M056",
            "M057",
            "M058",
            "M059",
            "M062",
            "M063",
            "M071",
            "M072",
            "M073",
            "M074",
            "M075",
            "M076",
            "M078",
            "M084",
            "M143",
            "M150",
        ),
        _UNUSED,
    ),
    "M113": "as M110",
    "M114": "as M110",
    "M115": "Ohm's law alone",
    "M146": "the ratio of two printed powers",
    "M149": "the ratio of two printed currents",
}
SIGNALS = {f"M{n}" for n in range(121, 135)}  # section 7, levels and inputs: checked with the rules of signals


@pytest.mark.parametrize("name", ROWS)
def test_motion_row(name):
    example = motion({"1", "2", "3", "4", "6", "9", "11"})[name]
    (output,) = example.expected
    compare(example, {output: ROWS[name](example.inputs)})


def test_every_motion_row_of_these_sections_is_covered_or_has_a_reason():
    assert set(ROWS) | set(NOT_COVERED) == set(motion({"1", "2", "3", "4", "6", "9", "10", "11"}))
    assert not set(ROWS) & set(NOT_COVERED)
    assert set(motion({"7"})) == SIGNALS


@pytest.mark.parametrize("row", table("stepper_bus_simulation"), ids=lambda row: row["rpm"])
def test_energy_balance_against_the_time_domain_run(row):
    """The run had ideal bridges, so bridge, iron and quiescent power are zero; beyond the corner it does not chop."""
    volts, peak = float(row["V_bus"]), float(row["I_peak_A"])
    inputs = {
        "V": volts,
        "I_peak_A": peak,
        "R_ohm": float(row["R_ohm"]),
        "T_Nm": float(row["T_Nm"] or 0.0),
        "rpm": float(row["rpm"]),
        "P_fe_W": 0.0,
        "P_drive_W": 0.0,
    }
    simulated = float(row["I_bus_A"])
    if float(row["rpm"]) <= 637:
        assert bus_current(inputs) == pytest.approx(simulated, rel=0.015)
    assert simulated * volts <= axis.stepper_peak_bus_power(peak_a=peak, bus_v=volts)


CAPACITORS = {
    "G01": lambda i: {"energy_J": bus.stored_energy(i["C_F"], i["V_V"])},
    "G02": lambda i: {"C_F": bus.capacitance_for_rise(0.0, i["V_V"], i["energy_J"])},
    "G03": lambda i: {"V_V": bus.bus_rise(0.0, i["energy_J"], i["C_F"])},
}


def reduction(i):
    torque = machinery.torque_through_gear(i["T_load_Nm"], i["ratio"], i["eff"])
    return {"P_W": machinery.motor_shaft_power(torque=torque, speed=i["rpm_motor"] * RPM)}


def induction_motor(i):
    power = machinery.electrical_input_power(i["P_shaft_W"], i["eff"])
    torque = i["P_shaft_W"] / (1176.0 * RPM)  # at the printed speed
    return {
        "P_in_W": power,
        "loss_W": power - i["P_shaft_W"],
        "T_lbft": torque / TORQUE["lb·ft"],
        "pf": machinery.power_factor_of(power, i["V_V"], i["I_A"], 3),
    }


MOTORS = {
    "H02": reduction,
    "H03": induction_motor,
}
MOTORS_LEFT_OUT = {"H03": ("rpm",)}  # slip of an induction motor is no business of the wiring
MOTORS_NOT_COVERED = {"H04": "tractive effort of a railway coach", **dict.fromkeys(("H01", "H05", "H06"), _UNUSED)}
CAPACITORS_NOT_COVERED = dict.fromkeys(("G04", "G05"), _UNUSED)


@pytest.mark.parametrize("name", CAPACITORS)
def test_capacitor_row(name):
    example = worked("capacitor_bus")[name]
    compare(example, CAPACITORS[name](example.inputs))


@pytest.mark.parametrize("name", MOTORS)
def test_motor_row(name):
    example = worked("motor_torque_stepper")[name]
    compare(example, MOTORS[name](example.inputs), MOTORS_LEFT_OUT.get(name, ()))


def test_every_capacitor_and_motor_row_is_covered_or_has_a_reason():
    assert set(CAPACITORS) | set(CAPACITORS_NOT_COVERED) == set(worked("capacitor_bus"))
    assert set(MOTORS) | set(MOTORS_NOT_COVERED) == set(worked("motor_torque_stepper"))


def test_corner_speed_meets_the_voltage_by_a_root_of_scipy():
    """Second method: a bracketed root of the phasor equation, over a range of motors and voltages."""
    from scipy.optimize import brentq

    for volts in (24.0, 48.0, 80.0):
        for ohm, henry, amps, constant in ((0.5, 0.0015, 4.2, 0.35), (1.0, 0.0035, 3.0, 0.45), (3.0, 0.005, 1.5, 0.2)):

            def excess(w, v=volts, r=ohm, h=henry, i=amps, k=constant):
                return sqrt((r * i + k * w) ** 2 + (50 * w * h * i) ** 2) - v

            found = axis.corner_speed(
                bus_v=volts, phase_resistance_ohm=ohm, phase_inductance_h=henry, peak_a=amps, constant=constant
            )
            assert found == pytest.approx(brentq(excess, 0.0, 1e5), rel=1e-9)


def test_torque_of_a_stepper_at_speed_is_the_best_load_angle_of_its_phasor_diagram():
    """Second method: the two phase equations V = (R + jX) I + E solved at 36,000 load angles; the power of E and I over
    the speed is the torque (P. Acarnley, Stepping Motors, from memory). 3 N·m, 3 A rms, 0.8 ohm, 3.5 mH at 48 V."""
    import numpy as np

    constant = axis.torque_constant(3.0, 3.0)
    figures = {"bus_v": 48.0, "phase_resistance_ohm": 0.8, "phase_inductance_h": 3.5e-3, "constant": constant}
    for rpm in (600.0, 900.0, 1500.0):
        speed = rpm * 2 * pi / 60
        load_angle = np.exp(1j * np.linspace(0.0, 2 * pi, 36_000))
        emf = constant * speed
        current = (4 / pi * 48.0 * load_angle - emf) / complex(0.8, 50 * speed * 3.5e-3)
        best = float((emf * current.real).max()) / speed  # two phases of E I / 2
        found = axis.stepper_torque_bound(speed=speed, peak_a=1e3, **figures)
        assert found == pytest.approx(best, rel=1e-6)
    assert axis.stepper_torque_bound(speed=1.0, peak_a=3.0 * sqrt(2), **figures) == pytest.approx(3.0)
