"""Loop impedances and fault currents: published loops, hand derivation, ngspice on random networks, laws."""

import re
import subprocess

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from random_networks import two_wire, with_taps
from spice import OPTIONS, need_ngspice

from wiring.solver.driving_point import driving_point
from wiring.solver.short_circuit import capacitor_energy, limited_current


def mains_plan(volts, fault_a, wires, system="single-phase"):
    return f"""
mains: {{inlet: X0, system: {system}, voltage: {volts} V, frequency: 50 Hz, earthing: TN-S, fault_current: {fault_a} A}}
parts:
  X0: {{kind: inlet, poles: [L, N, PE]}}
  E1: {{kind: heater, rated: {volts} V AC 100 W}}
wires:
{wires}"""


def test_prospective_current_of_a_measured_loop():
    """0.08 ohm at 240 V is 3000 A (electrical contractors' association page, worked example E06)."""
    body = mains_plan(240, 3000, "  - {wire: 1, from: X0:L, to: E1:1, size: 4 mm2, length: 1 mm}\n")
    short = design(body).short_circuits.to_return["X0", "L"]
    assert short.cold_ohm == pytest.approx(0.08, rel=1e-6)
    assert short.highest.initial_a == pytest.approx(3000.0, rel=1e-6)


def test_earth_loop_of_a_long_cable():
    """Ze 0.45 ohm and 185 m of 1.0/1.0 mm2 at 36.2 milliohm per metre stay within 7.185 ohm (worked example E07)."""
    wire = "{{wire: {0}, from: {1}, to: {2}, size: 1.0 mm2, conductor_class: 1, length: 185 m}}"
    wires = "".join(f"  - {wire.format(n, a, b)}\n" for n, a, b in ((1, "X0:L", "E1:1"), (2, "X0:PE", "E1:PE")))
    short = design(mains_plan(240, 240 / 0.45, wires)).short_circuits.to_earth["E1", "1"]
    assert short.cold_ohm == pytest.approx(0.45 + 185 * 0.0362, rel=0.007)
    assert short.cold_ohm < 7.185


THREE_LINES = """
mains: {inlet: X0, system: three-phase, voltage: 400 V, frequency: 50 Hz, earthing: TN-S, fault_current: 3 kA}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, PE]}
  M1: {kind: motor, voltage: 400 V AC, phases: 3, rated_power: 30 kW, rated_current: 54 A, start_factor: 7,
       metal: false}
wires:
  - {wire: 1, from: X0:L1, to: M1:U, size: 50 mm2, length: 1 mm}
  - {wire: 2, from: X0:L2, to: M1:V, size: 50 mm2, length: 1 mm}
  - {wire: 3, from: X0:L3, to: M1:W, size: 50 mm2, length: 1 mm}
"""


def test_current_between_two_lines():
    """By hand: 3 kA prospective at 230.94 V is 76.98 milliohm a line; 400 V over twice that is 2598 A."""
    short = design(THREE_LINES).short_circuits.to_return["M1", "U"]
    assert short.volts == pytest.approx(400.0)
    assert short.highest.steady_state_a == pytest.approx(3000.0 * 3**0.5 / 2.0, rel=1e-3)
    assert short.lowest.initial_a < short.highest.steady_state_a


def test_a_running_motor_feeds_a_fault_with_its_locked_rotor_current():
    """IEC 60909-0, asynchronous motors: Z = U / (sqrt(3) I) with I = 7 x 54 A = 378 A.

    Between two lines 400 V / (2 Z) = 378 A x sqrt(3) / 2 = 327.4 A come on top of those of the mains.
    """
    short = design(THREE_LINES).short_circuits.to_return["M1", "U"]
    assert short.motors_a == pytest.approx(378.0 * 3**0.5 / 2.0, rel=1e-3)
    assert short.highest.initial_a == pytest.approx((3000.0 + 378.0) * 3**0.5 / 2.0, rel=1e-3)


def test_a_motor_behind_an_inverter_feeds_no_fault():
    body = THREE_LINES.replace("from: X0:L", "from: T1:X").replace("T1:X1", "T1:U").replace("T1:X2", "T1:V")
    body = body.replace("T1:X3", "T1:W").replace(
        "wires:", "  T1: {kind: inverter, supply: 380..480 V AC, phases: 3, rated: 30 kW}\nwires:"
    )
    body += "".join(f"  - {{wire: {n}0, from: X0:L{n}, to: T1:L{n}, size: 50 mm2, length: 1 mm}}\n" for n in (1, 2, 3))
    shorts = design(body).short_circuits.to_return
    assert shorts["T1", "L1"].motors_a == 0.0


def test_thick_conductors_count_with_their_reactance():
    """100 m of 95 mm2 out and back: IEC 60228 class 2 gives 0.193 mohm/m, IEC 60364-5-52 annex G 0.08 mohm/m reactance.

    By hand: R = 0.08 + 200 x 0.000193 = 0.1186, X = 0.016, Z = 0.11967 ohm; 16 mm2 of the same length none.
    """
    wire = "  - {{wire: {0}, from: X0:{1}, to: E1:{2}, size: {3} mm2, conductor_class: 2, length: 100 m}}\n"
    for size, expected in ((95, (0.1186**2 + 0.016**2) ** 0.5), (16, 0.08 + 200 * 0.00115)):
        body = mains_plan(240, 3000, "".join(wire.format(n, n, k, size) for k, n in ((1, "L"), (2, "N"))))
        body = body.replace("from: X0:N", 'from: "X0:N"').replace("[L, N, PE]", '[L, "N", PE]')
        short = design(body).short_circuits.to_return["E1", "1"]
        assert short.cold_ohm == pytest.approx(expected, rel=1e-3)


def test_a_limited_source_gives_its_limit_and_no_more():
    """A 20 A rail that limits at 24 A, 24 V: constant current into 0.05 ohm, Ohm's law into 2 ohm."""
    assert limited_current(24.0, 0.05, 24.0, 0.0, False).initial_a == 24.0
    assert limited_current(24.0, 2.0, 24.0, 0.0, False).initial_a == 12.0
    assert limited_current(24.0, 0.05, 7.2, 15.0, False).initial_a == 15.0
    assert limited_current(24.0, 0.05, 7.2, 15.0, False).steady_state_a == 7.2
    assert limited_current(24.0, 0.05, 7.2, 15.0, True).steady_state_a == 0.0


def test_energy_of_a_discharge_is_that_of_its_exponential():
    """The integral of (V/R)² exp(-2t/RC) over all time is C V²/(2R); by steps of a thousandth of RC here."""
    volts, farad, ohm = 24.0, 3300e-6, 0.1
    step, total, charge = 1e-3 * ohm * farad, 0.0, farad * volts
    for _ in range(20_000):
        amps = charge / farad / ohm
        total += amps * amps * step
        charge -= amps * step
    assert capacitor_energy(volts, farad, ohm) == pytest.approx(total, rel=2e-3)


def spice_currents(network, pairs, folder):
    """Current of each short circuit, one at a time, by a switch-like resistor that only its own run closes."""
    lines = ["short circuits", OPTIONS]
    for index, branch in enumerate(network.branches):
        lines.append(f"R{index} {branch.a} {branch.b} {branch.ohm!r}")
    for index, source in enumerate(network.sources):
        lines.append(f"V{index} s{index} {source.minus} {source.volts!r}")
        lines.append(f"RS{index} s{index} {source.plus} {source.ohm!r}")
    lines += [f"RF{k} f{k} {b} 1e15" for k, (_, b) in enumerate(pairs)]
    lines += [f"VF{k} {a} f{k} 0" for k, (a, _) in enumerate(pairs)]
    lines += [".control", "set numdgt=15"]
    for k in range(len(pairs)):
        lines += [f"alter RF{k} = 1e-9", "op", f"print i(VF{k})", f"alter RF{k} = 1e15"]
    lines += ["quit", ".endc", ".end"]
    path = folder / "shorts.cir"
    path.write_text("\n".join(lines) + "\n", encoding="ascii")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=60, check=False)
    found = dict(re.findall(r"^i\(vf(\d+)\) = (\S+)$", run.stdout, flags=re.MULTILINE | re.IGNORECASE))
    assert len(found) == len(pairs), run.stdout[-2000:] + run.stderr[-2000:]
    return [float(found[str(k)]) for k in range(len(pairs))]


@pytest.mark.ngspice
@pytest.mark.parametrize("seed", range(12))
def test_currents_of_short_circuits_against_ngspice(seed, tmp_path):
    """One stiff source: the voltage before the fault over the driving-point impedance is the fault current."""
    need_ngspice()
    network = two_wire(10 + 12 * seed, seed, share=0.2)
    if seed % 2:
        network = with_taps(network, seed)
    network = replace(network, powers=(), currents=())
    half = network.nodes // 2
    pairs = [(node, 0) for node in range(1, half, max(1, half // 8))]
    ohms = driving_point(network, pairs).pair_ohm
    theirs = spice_currents(network, pairs, tmp_path)
    for ohm, amps in zip(ohms, theirs, strict=True):
        assert network.sources[0].volts / ohm == pytest.approx(amps, rel=1e-6)


STRONG = "{mode: constant-current, limit: 999 %}"


def branch(length_m, size="1.5 mm2"):
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 400 A, overload: {STRONG}}}
  F1: {{kind: fuse, rating: 4 A, class: gG}}
  E1: {{kind: load, rated: 24 V DC 12 W}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: {size}, insulation: pvc-70, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: pvc-70, length: {length_m} m}}
  - {{wire: 3, from: G1:V-, to: E1:2, size: {size}, insulation: pvc-70, length: {length_m} m}}
"""


def test_loop_of_a_fused_branch_by_hand():
    """24 V, 60 microohm source (0.1 % of 24 V at 400 A), 4 A fuse, 10.3 m of 1.5 mm2 out and 10 m back.

    IEC 60228 class 5 at 20 °C: 13.3 ohm/km; at 70 °C (234.5 + 70)/(254.5) = 1.1965 times as much. The fuse by its
    typical resistance, a straight line in the logarithms between 0.15 ohm at 1 A and 0.02 ohm at 5 A: 26.4 milliohm.
    """
    fuse = 0.15 * (0.02 / 0.15) ** (0.8613531161467862)  # log(4)/log(5)
    cold = 24.0 * 0.001 / 400.0 + fuse + 20.3 * 0.0133
    hot = 24.0 * 0.001 / 400.0 + fuse + 20.3 * 0.0133 * 304.5 / 254.5
    short = design(branch(10)).short_circuits.to_return["E1", "1"]
    assert short.cold_ohm == pytest.approx(cold, rel=1e-6)
    assert short.hot_ohm == pytest.approx(hot, rel=1e-6)
    assert short.highest.initial_a == pytest.approx(24.0 / cold, rel=1e-6)
    assert short.devices == ("F1",)


@given(st.floats(0.1, 200.0), st.floats(1.01, 5.0))
def test_a_longer_way_never_raises_a_fault_current(length_m, factor):
    near = design(branch(length_m)).short_circuits.to_return["E1", "1"]
    far = design(branch(length_m * factor)).short_circuits.to_return["E1", "1"]
    assert far.lowest.initial_a < near.lowest.initial_a
    assert near.lowest.initial_a <= near.highest.initial_a
    assert near.cold_ohm < near.hot_ohm


@given(st.permutations(range(3)), st.permutations(range(3)))
def test_the_order_of_parts_and_wires_changes_nothing(parts, wires):
    head, rest = branch(10).split("wires:\n")
    part_lines, wire_lines = head.split("parts:\n")[1].splitlines(), rest.splitlines()
    text = "parts:\n" + "\n".join(part_lines[n] for n in parts) + "\nwires:\n" + "\n".join(wire_lines[n] for n in wires)
    assert design(text + "\n").short_circuits.to_return == design(branch(10)).short_circuits.to_return
