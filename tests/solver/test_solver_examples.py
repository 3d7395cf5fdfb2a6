"""Published circuit examples."""

import cmath
import csv
import json
import math
from pathlib import Path

import pytest

from wiring.solver.assembly import Position
from wiring.solver.lowering import Lowered
from wiring.solver.network import Branch, CurrentLoad, Network, PowerLoad, VoltageSource
from wiring.solver.operating import Layer, OperatingPoint
from wiring.solver.solution import Outcome, Solution
from wiring.solver.solve import solve

TABLE = Path(__file__).parents[1] / "data" / "examples" / "dc_network.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))
STIFF_OHM = 1e-7  # the books' sources have no resistance


def build(data):
    elements = data["elements"]
    names = sorted({end for item in elements for end in (item["p"], item["n"])})
    at = {name: index for index, name in enumerate(names)}

    def pick(kind):
        return [item for item in elements if item["type"] == kind]

    network = Network(
        nodes=len(names),
        references=(at[data["ground"]],),
        branches=tuple(Branch(at[item["p"]], at[item["n"]], item["value_ohm"]) for item in pick("R")),
        sources=tuple(
            VoltageSource(at[item["p"]], at[item["n"]], float(item["value_V"]), STIFF_OHM) for item in pick("V")
        ),
        currents=tuple(CurrentLoad(at[item["p"]], at[item["n"]], float(item["value_A"])) for item in pick("I")),
    )
    order = {kind: [item["name"] for item in pick(kind)] for kind in "RVI"}
    return network, at, order


def read(key, solution, at, order, ground):
    what, inside = key[0], key[2 : key.index(")")]
    if what == "V":
        plus, _, minus = inside.partition(",")
        return solution.between(at[plus], at[minus or ground])
    if inside in order["R"]:
        return solution.branch_a[order["R"].index(inside)]
    return solution.source_a[order["V"].index(inside)]


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_published_dc_network(row):
    """The book is named in the row's `source`."""
    data = json.loads(row["inputs"])
    network, at, order = build(data)
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    for key, value in json.loads(row["expected"]).items():
        assert read(key, solution, at, order, data["ground"]) == pytest.approx(value, rel=float(row["rel_tol"])), key


def test_series_resistor_and_inductor():
    """T. R. Kuphaldt, Lessons In Electric Circuits, vol. II, ch. 3: 10 V, 60 Hz, 5 ohm and 10 mH in series give
    1.597 A at -37.016 degrees (from memory; 10 / (5 + j 3.7699) confirms it)."""
    reactance = 2j * math.pi * 60.0 * 10e-3
    network = Network(
        3, (0,), (Branch(1, 2, 5.0 - 1e-6), Branch(2, 0, 1e-6 + reactance)), (VoltageSource(1, 0, 10 + 0j, STIFF_OHM),)
    )
    amps = solve(network).source_a[0]
    assert abs(amps) == pytest.approx(1.597, rel=5e-4)
    assert math.degrees(cmath.phase(amps)) == pytest.approx(-37.016, abs=1e-3)


def test_series_resonant_circuit_off_resonance():
    """Same work, ch. 5: 250 ohm, 650 mH, 1.5 uF on 120 V 60 Hz: 77.734 mA at 80.680 degrees; 19.434 V, 19.048 V and
    137.46 V across resistor, coil and capacitor (from memory; 120 / (250 - j 1523.3) confirms it)."""
    omega = 2.0 * math.pi * 60.0
    coil, capacitor = 1j * omega * 0.65, 1.0 / (1j * omega * 1.5e-6)
    tiny = 1e-6
    branches = (Branch(1, 2, 250.0), Branch(2, 3, tiny + coil), Branch(3, 0, tiny + capacitor))
    solution = solve(Network(4, (0,), branches, (VoltageSource(1, 0, 120 + 0j, STIFF_OHM),)))
    amps = solution.branch_a[0]
    assert abs(amps) == pytest.approx(77.734e-3, rel=1e-4)
    assert math.degrees(cmath.phase(amps)) == pytest.approx(80.680, abs=2e-3)
    across = [abs(solution.between(a, b)) for a, b in ((1, 2), (2, 3), (3, 0))]
    assert across == pytest.approx([19.434, 19.048, 137.46], rel=1e-4)


def test_balanced_three_phase_star_has_no_neutral_current():
    """Any textbook on three-phase circuits: a balanced star draws V/R a phase and nothing in the neutral."""
    turns = [cmath.rect(230.0, math.radians(-120.0 * k)) for k in range(3)]
    sources = tuple(VoltageSource(1 + k, 0, volts, 0.1) for k, volts in enumerate(turns))
    branches = (*(Branch(1 + k, 4, 22.9) for k in range(3)), Branch(4, 0, 0.5))
    solution = solve(Network(5, (0,), branches, sources))
    assert [abs(amps) for amps in solution.source_a] == pytest.approx([10.0] * 3, rel=1e-12)
    assert abs(solution.branch_a[3]) < 1e-12


def test_neutral_displacement_of_an_unbalanced_star():
    """Millman's theorem (J. Millman, Proc. IRE 28 (1940) 413): V_N = sum(V_k Y_k) / sum(Y_k)."""
    turns = [cmath.rect(230.0, math.radians(-120.0 * k)) for k in range(3)]
    ohms = [10.0, 25.0, 60.0]
    sources = tuple(VoltageSource(1 + k, 0, volts, 0.5) for k, volts in enumerate(turns))
    branches = (*(Branch(1 + k, 4, ohm - 0.5) for k, ohm in enumerate(ohms)), Branch(4, 0, 1e6))
    expected = sum(v / r for v, r in zip(turns, ohms, strict=True)) / (sum(1.0 / r for r in ohms) + 1e-6)
    assert solve(Network(5, (0,), branches, sources)).volts[4] == pytest.approx(expected, rel=1e-12)


def test_split_phase_neutral_carries_the_difference():
    """Edison three-wire system (any textbook): legs at 0 and 180 degrees, neutral current is the difference."""
    sources = (VoltageSource(1, 0, 120 + 0j, 1e-6), VoltageSource(2, 0, -120 + 0j, 1e-6))
    branches = (Branch(1, 3, 12.0), Branch(2, 3, 20.0), Branch(3, 0, 1e-6))
    assert solve(Network(4, (0,), branches, sources)).branch_a[2] == pytest.approx(10.0 - 6.0, rel=1e-5)


@pytest.mark.parametrize("watts", [1.0, 100.0, 239.0, 239.999])
def test_constant_power_load_behind_a_resistance(watts):
    """P = V (E - V) / R, so V = (E + sqrt(E^2 - 4 R P)) / 2 on the stable branch; maximum power transfer E^2 / 4R."""
    volts, ohm = 24.0, 0.6
    network = Network(3, (0,), (Branch(1, 2, 0.5),), (VoltageSource(1, 0, volts, 0.1),), (PowerLoad(2, 0, watts),))
    solution = solve(network)
    assert solution.volts[2] == pytest.approx((volts + math.sqrt(volts**2 - 4.0 * ohm * watts)) / 2.0, rel=1e-9)


def test_beyond_maximum_power_transfer_there_is_no_operating_point():
    """Maximum power transfer theorem: E^2 / 4R = 240 W here."""
    network = Network(3, (0,), (Branch(1, 2, 0.5),), (VoltageSource(1, 0, 24.0, 0.1),), (PowerLoad(2, 0, 240.001),))
    solution = solve(network)
    assert solution.outcome is Outcome.COLLAPSED
    assert solution.volts == (None, None, None)
    assert solution.collapsed == (0,)


@pytest.mark.parametrize("power_factor", [1.0, 0.8, 0.5])
@pytest.mark.parametrize("share", [0.1, 0.9, 0.999])
def test_phasor_load_on_its_stable_branch(power_factor, share):
    """Receiving-end voltage of a short line, V^4 + (2(PR + QX) - E^2) V^2 + |Z|^2 |S|^2 = 0 (T. Van Cutsem and
    C. Vournas, Voltage Stability of Electric Power Systems (1998), 2.2; from memory), the larger root."""
    z, e = complex(0.4, 0.3), 230.0
    angle = math.acos(power_factor)
    along = z.real * math.cos(angle) + z.imag * math.sin(angle)
    most = e * e / (2.0 * (along + abs(z)))  # |S| at which the two roots meet
    s = share * most
    b = 2.0 * s * along - e * e
    expected = math.sqrt((-b + math.sqrt(b * b - 4.0 * abs(z) ** 2 * s * s)) / 2.0)
    network = Network(
        2, (0,), (), (VoltageSource(1, 0, e + 0j, z),), (PowerLoad(1, 0, s * power_factor, 0.0, power_factor),)
    )
    solution = solve(network)
    assert solution.outcome is Outcome.SOLVED
    assert abs(solution.volts[1]) == pytest.approx(expected, rel=1e-7)
    beyond = PowerLoad(1, 0, 1.01 * most * power_factor, 0.0, power_factor)
    assert solve(Network(2, (0,), (), network.sources, (beyond,))).outcome is Outcome.COLLAPSED


def test_a_source_between_two_grounded_nodes_needs_no_unknown():
    """Ohm's law: 5 V behind 1 ohm into a short."""
    solution = solve(Network(2, (0, 1), (), (VoltageSource(0, 1, 5.0, 1.0),)))
    assert solution.outcome is Outcome.SOLVED
    assert solution.source_a == (5.0,)


@pytest.mark.parametrize("record", [Network, Solution, Lowered, Position, Layer, OperatingPoint])
def test_model_and_answer_are_frozen(record):
    """An answer that is kept and given again may be changed by nobody."""
    assert record.__struct_config__.frozen
