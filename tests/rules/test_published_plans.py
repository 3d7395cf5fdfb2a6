"""Worked examples of books and pages on faults, drops, transformers and stored energy, each as a small plan.

`tests/data/examples` names the source of every row; what is compared is what `check` prints of the plan, or the solved
design where it has nothing to say. The last test lists every row of these groups with the place or the reason.
"""

from __future__ import annotations

from math import sqrt

import pytest
from helpers import design
from marked_plans import fired
from published_rows import worked

from wiring.design.design import Design
from wiring.findings import Finding
from wiring.rulebooks.conductors import MM2_PER_CIRCULAR_MIL


def figure(finding: Finding, name: str) -> float:
    return next(number.value for number in finding.numbers if number.name == name)


def limit_of(finding: Finding) -> float:
    assert finding.limit is not None
    return finding.limit.value


# --- conductors that bear a fault for its time: k2 S2 against I2 t, with k = 115 of PVC


def fault_through(amps: float, seconds: float, size: str) -> Design:
    """An electronic fuse that opens after a time at a short circuit whose lowest current is given."""
    return design(f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, fault_current: {amps / 0.95} A,
        upstream: {{kind: breaker, rating: 63 A, curve: D}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: electronic-fuse, rating: 2 A, limit: 125 %, time: {seconds} s}}
  E1: {{kind: load, rated: 230 V AC 100 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: "F1:1", size: 16 mm2, insulation: pvc-70, length: 1 cm}}
  - {{wire: 2, from: "F1:2", to: E1:1, size: {size}, insulation: pvc-70, length: 1 cm}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 16 mm2, insulation: pvc-70, length: 1 cm}}
""")


@pytest.mark.parametrize(("row", "fits", "thinner"), [("D01", "1.5 mm2", "1 mm2"), ("D02", "1.5 mm2", "0.34 mm2")])
def test_the_size_that_bears_a_fault(row: str, fits: str, thinner: str) -> None:
    """D01: 200 A for 0.4 s ask for 1.1 mm2, so 1.5 mm2; D02: 90 A for 0.4 s for 0.49 mm2, so that 1.5 mm2 is enough."""
    example = worked("protective_conductor")[row]
    amps = example.expected.get("I_fault_A") or example.inputs["I_A"]
    slug = "conductor-burns-before-device-opens"
    assert fired(slug, fault_through(amps, example.inputs["t_s"], fits)) == []
    [finding] = fired(slug, fault_through(amps, example.inputs["t_s"], thinner))
    needed_mm2 = sqrt(figure(finding, "let through")) / example.inputs["k"]
    assert needed_mm2 == pytest.approx(example.expected["S_mm2"], rel=0.05)  # fuse and wires take a little
    if "size_mm2" in example.expected:
        assert f"{example.expected['size_mm2']} mm2" in finding.mend[0]


# --- short circuits along a feeder: the highest and the lowest current of the check enclose what is printed


def boards(volts: float, amps: float, runs: list[tuple[str, float]], book: str = "iec") -> Design:
    """Three lines from the inlet over runs of a size and a length [m] in line, a heater at the end of each."""
    parts, wires = "", ""
    for n, (size, length) in enumerate(runs, 1):
        parts += f"  X{n}: {{kind: terminals, points: 6, bridged: [1-2, 3-4, 5-6]}}\n"
        for pole in (1, 2, 3):
            start = f"X0:L{pole}" if n == 1 else f'"X{n - 1}:{2 * pole}"'
            wires += (
                f'  - {{wire: {n}{pole}, from: {start}, to: "X{n}:{2 * pole - 1}", size: {size}, length: {length} m}}\n'
            )
    return design(
        f"""
mains: {{inlet: X0, system: three-phase, voltage: {volts} V, fault_current: {amps} A}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE]}}
{parts}
wires:
{wires}
""",
        book,
    )


@pytest.mark.parametrize(("row", "runs"), [("E03", 1), ("E04", 2), ("E05", 3)])
def test_the_boards_of_a_worksheet(row: str, runs: int) -> None:
    """49.41 kA at 380 V, then 5 m of four, 60 m of two and 12 m of one cable of 300 mm2 a phase.

    Sets in parallel stand as one of their length divided by their number. The lowest current of the check is that of
    two lines at 0.95 of the voltage and hot conductors: of three it is 2/sqrt(3) times as much. The sheet takes 0.0812
    mohm/m, a tenth more than IEC 60228 at 70 °C, hence the percent by which its figure may lie below.
    """
    lengths = [("300 mm2", 5 / 4), ("300 mm2", 60 / 2), ("300 mm2", 12.0)][:runs]
    found = design_shorts(boards(380.0, 49410.0, lengths), f"X{runs}")
    printed = worked("fault_loop")[row].expected["Isc_kA"] * 1000
    lowest, highest = found
    assert lowest <= 1.015 * printed
    assert printed <= 1.005 * highest
    assert lowest >= 0.85 * printed
    assert highest <= 1.15 * printed


def design_shorts(plan: Design, board: str) -> tuple[float, float]:
    """The lowest and the highest three-phase short circuit at a board [A], from those between two of its lines."""
    short = plan.short_circuits.to_return[board, "1"]
    lines = 2 / sqrt(3)
    return short.lowest.initial_a * lines, short.highest.initial_a * lines


def test_a_run_of_two_sets_by_the_point_to_point_method() -> None:
    """E01: 46,273 A at 208 V, then 20 ft of two sets of 500 kcmil in steel conduit leave M = 0.852 of it.

    Steel about the conductors doubles the reactance that the check takes: the printed figure lies 1.5 % below it.
    """
    expected = worked("fault_loop")["E01"].expected
    printed = expected["Isc_A"] * expected["M"]
    lowest, highest = design_shorts(boards(208.0, expected["Isc_A"], [("500 kcmil", 3.048)], "na"), "X1")
    assert lowest <= 1.02 * printed
    assert printed <= 1.005 * highest
    assert lowest >= 0.85 * printed
    assert highest <= 1.12 * printed


def test_a_prospective_current_from_a_measured_loop() -> None:
    """E06: 240 V over 0.08 ohm are 3000 A; a breaker that breaks less is told with both figures."""
    example = worked("fault_loop")["E06"]
    amps = example.expected["PSC_A"]
    plan = f"""
mains: {{inlet: X0, system: single-phase, voltage: 240 V, fault_current: {amps} A}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: 16 A, curve: C, breaking: 1.5 kA}}
  E1: {{kind: load, rated: 240 V AC 100 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: "F1:1", size: 50 mm2, length: 1 mm}}
  - {{wire: 2, from: "F1:2", to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 2.5 mm2, length: 1 m}}
"""
    [finding] = fired("breaking-capacity-too-small", design(plan))
    assert figure(finding, "fault current") == pytest.approx(240.0 / example.inputs["Z_ohm"], rel=0.01)


# --- drops


def dc_line(volts: float, watts: float, size: str, length: float, behaviour: str = "current") -> Design:
    return design(f"""
site: {{ambient: 20 °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 100 A}}
  E1: {{kind: load, rated: {volts} V DC {watts} W, behaviour: {behaviour}, metal: false}}
wires:
  - {{wire: 1, from: "G1:V+", to: E1:1, size: {size}, length: {length} m}}
  - {{wire: 2, from: "G1:V-", to: E1:2, size: {size}, length: {length} m}}
""")


def feed_drop(feed: str, load: str, volts: int, book: str = "iec", three: bool = False) -> float:
    """What is lost between the board and a load [V], all of it in the feed."""
    poles = "[L1, L2, L3, PE]" if three else "[L, N, PE]"
    ends = (("L1", "U"), ("L2", "V"), ("L3", "W")) if three else (("L", "1"), ("N", "2"))
    wires = "".join(
        f'  - {{wire: {n}, from: "X0:{a}", to: "E1:{b}", size: 95 mm2, length: 1 mm}}\n'
        for n, (a, b) in enumerate(ends)
    )
    plan = f"""
mains: {{inlet: X0, system: {"three-phase" if three else "single-phase"}, voltage: {volts} V, fault_current: 100 kA,
        feed: {{{feed}, method: C, ambient: 30 °C}}}}
parts:
  X0: {{kind: inlet, poles: {poles}}}
  E1: {load}
wires:
{wires}
"""
    return design(plan, book).power.drops_from_board["E1"].drop_v


def test_a_twin_cable_by_its_millivolts() -> None:
    """A10: 2.5 mm2 at 18 mV/A/m, 16 A over 18 m lose 5.18 V; class 2 of IEC 60228 at 70 °C has 17.7."""
    load = f"{{kind: heater, rated: 230 V AC {230 * 16} W, metal: false}}"
    drop = feed_drop("size: 2.5 mm2, insulation: pvc-70, length: 18 m", load, 230)
    assert drop == pytest.approx(worked("resistance_voltage_drop")["A10"].expected["drop_V"], rel=0.02)


def test_a_long_three_phase_cable_by_its_millivolts() -> None:
    """A11: at 415 V 100 A over 150 m lose 16.5 V at 1.1 mV/A/m, and 10.5 V at 0.7; 35 and 70 mm2 lie on either side."""
    expected = worked("resistance_voltage_drop")["A11"].expected
    watts = sqrt(3) * 415 * 100 * 0.9
    load = (
        "{kind: motor, voltage: 415 V AC, phases: 3, rated_current: 100 A, power_factor: 0.9, metal: false, "
        f"rated_power: {watts * 0.9:.0f} W}}"
    )
    drops = {
        size: feed_drop(f"size: {size} mm2, insulation: pvc-70, length: 150 m", load, 415, three=True)
        for size in (25, 35, 50, 70)
    }
    assert drops[25] > expected["drop_V"] * 0.95 > drops[50]
    assert drops[35] == pytest.approx(expected["drop_V"], rel=0.08)
    assert drops[50] > 10.5 > drops[70] * 0.95


def test_the_wire_that_a_long_line_needs() -> None:
    """A05 and A06: 25 A over 2300 ft lose 5 V a conductor in 116,035 circular mils, so 2/0 AWG; 14 AWG has 11.3 ohm
    there and back. The page takes solid copper of 10.09 ohm circular mil a foot, the check strands.
    """
    rows = worked("resistance_voltage_drop")
    length = 2300 * 0.3048
    plan = dc_line(230.0, 230.0 * 25, "2/0 AWG", length)
    area = {"2/0": 133100.0}[str(rows["A05"].expected["size_awg"])]
    exact = 2 * rows["A05"].inputs["drop_per_conductor_V"] * rows["A05"].expected["area_cmil"] / area
    assert plan.drops["E1"].drop_v == pytest.approx(exact, rel=0.06)
    assert fired("voltage-drop-too-high", plan) == []
    assert fired("voltage-drop-too-high", dc_line(230.0, 230.0 * 25, "1/0 AWG", length))
    plan = design(f"""
parts:
  G1: {{kind: battery, voltage: 230 V DC, capacity: 1000 Ah, internal_resistance: 1 mohm,
       fuse: {{rating: 25 A, class: gG}}}}
  E1: {{kind: load, rated: 230 V DC 100 W, metal: false}}
wires:
  - {{wire: 1, from: "G1:+", to: E1:1, size: 14 AWG, length: {length} m}}
  - {{wire: 2, from: "G1:-", to: E1:2, size: 14 AWG, length: {length} m}}
""")
    short = plan.short_circuits.to_return["E1", "1"]
    assert short.cold_ohm == pytest.approx(rows["A06"].expected["R_loop_ohm"], rel=0.06)
    assert pytest.approx(4107, rel=0.002) == 2.08 / MM2_PER_CIRCULAR_MIL


def test_two_loads_in_line() -> None:
    """A12: 600 V over 0.28 ohm/km, 40 A after 2 km and 20 A after 6 km: 566.4 and 544.0 V."""
    example = worked("resistance_voltage_drop")["A12"]
    i = example.inputs
    per_km = i["r_go_ohm_per_km"] + i["r_return_ohm_per_km"]
    parts, wires, before = "", "", '"G1:V+"'
    for n, (km, amps) in enumerate(zip(i["sections_km"], i["loads_A"], strict=True), 1):
        parts += f"  R{n}: {{kind: resistor, resistance: {per_km * km} ohm}}\n"
        parts += f"  E{n}: {{kind: load, rated: 600 V DC {600 * amps} W, behaviour: current, metal: false}}\n"
        wires += f'  - {{wire: 1{n}, from: {before}, to: "R{n}:1", size: 95 mm2, length: 1 mm}}\n'
        wires += f'  - {{wire: 2{n}, from: "R{n}:2", to: "E{n}:1", size: 95 mm2, length: 1 mm}}\n'
        wires += f'  - {{wire: 3{n}, from: "G1:V-", to: "E{n}:2", size: 95 mm2, length: 1 mm}}\n'
        before = f'"R{n}:2"'
    plan = design(
        f"parts:\n  G1: {{kind: supply, input: 230 V AC, output: 600 V DC, rated: 100 A}}\n{parts}wires:\n{wires}"
    )
    [point] = plan.states.values()
    for n, name in ((1, "V_first_V"), (2, "V_second_V")):
        volts = point.between((f"E{n}", "1"), (f"E{n}", "2"), "DC")
        assert volts == pytest.approx(example.expected[name], rel=0.001)


# --- transformers


def transformer(rated: float, primary: float, secondary: float, first: str, second: str = "") -> Design:
    behind = (
        '  - {wire: 3, from: T1:2.1, to: "F2:1", size: 500 kcmil, length: 1 cm}\n'
        '  - {wire: 4, from: "F2:2", to: E1:1, size: 500 kcmil, length: 1 cm}\n'
        if second
        else "  - {wire: 3, from: T1:2.1, to: E1:1, size: 500 kcmil, length: 1 cm}\n"
    )
    return design(
        f"""
mains: {{inlet: X0, system: single-phase, voltage: {primary} V, upstream: {{kind: breaker, rating: 400 A, curve: D}}}}
parts:
  X0: {{kind: inlet}}
  F1: {first}
{f"  F2: {second}" if second else ""}
  T1: {{kind: transformer, primary: {primary} V AC, secondary: {secondary} V AC, rated: {rated} VA, regulation: 2 %}}
  E1: {{kind: load, rated: {secondary} V AC 100 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: "F1:1", size: 500 kcmil, length: 1 cm}}
  - {{wire: 2, from: "F1:2", to: T1:1.1, size: 500 kcmil, length: 1 cm}}
{behind}
  - {{wire: 5, from: T1:2.2, to: E1:2, size: 500 kcmil, length: 1 cm}}
  - {{wire: 6, from: "X0:N", to: T1:1.2, size: 500 kcmil, length: 1 cm}}
""",
        "na",
    )


TRANSFORMER = "transformer-unprotected"


def fuse(rating: float) -> str:
    return f"{{kind: fuse, rating: {rating} A, class: J, time_delay: true}}"


def breaker(rating: float) -> str:
    return f"{{kind: breaker, rating: {rating} A, curve: D}}"


def test_a_control_transformer_without_a_secondary_device() -> None:
    """C09: 2 kVA at 480 V takes 4.17 A; 167 % are 6.958 A, so 7 A is slightly over; 16.667 A at 120 V."""
    expected = worked("overcurrent")["C09"].expected
    assert fired(TRANSFORMER, transformer(2000, 480, 120, fuse(6))) == []
    [finding] = fired(TRANSFORMER, transformer(2000, 480, 120, fuse(7)))
    assert limit_of(finding) == pytest.approx(expected["primary_limit_A"], rel=0.0005)
    assert figure(finding, "rated secondary") == pytest.approx(expected["Is_A"], rel=0.0005)


def test_the_primary_current_of_a_transformer() -> None:
    """C10: 25 kVA at 480 V, 52 A."""
    [finding] = fired(TRANSFORMER, transformer(25000, 480, 240, breaker(200)))
    assert figure(finding, "rated primary") == pytest.approx(worked("overcurrent")["C10"].expected["Ip_A"], rel=0.002)


def test_both_sides_of_a_transformer_of_45_kva() -> None:
    """C07 and C08: 54.1 A primary, at most 250 % or 135.25 A, so 125 A; 125 A secondary, 125 % or 156 A, so 175 A.

    The examples have three phases; the one here has one of the same currents.
    """
    rows = worked("overcurrent")
    primary, secondary = rows["C08"].expected, rows["C07"].expected
    rated = 54.1266 * 480
    volts = rated / 124.9
    first, second = primary["primary_device_A"], secondary["secondary_device_A"]
    assert fired(TRANSFORMER, transformer(rated, 480, volts, breaker(first), breaker(second))) == []
    [finding] = fired(TRANSFORMER, transformer(rated, 480, volts, breaker(150), breaker(second)))
    assert limit_of(finding) == pytest.approx(primary["primary_limit_A"], rel=0.001)
    [finding] = fired(TRANSFORMER, transformer(rated, 480, volts, breaker(first), breaker(200)))
    assert limit_of(finding) == second


# --- continuous loads and ampacity


def test_a_feeder_of_continuous_and_other_load() -> None:
    """C05: 40 A continuous and 60 A other ask for 110 A: 1 AWG carries 110 A at 60 °C, 2 AWG 95 A."""
    needed = worked("overcurrent")["C05"].expected["min_ampacity_A"]

    def plan(size: str) -> str:
        return f"""
mains: {{inlet: X0, system: single-phase, voltage: 240 V, fault_current: 50 kA,
        upstream: {{kind: breaker, rating: 200 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 200 A}}
  F1: {{kind: breaker, rating: 125 A, curve: C}}
  XL: {{kind: terminals, points: 3, bridged: [1-3]}}
  E1: {{kind: load, rated: 240 V AC {240 * 40} W, metal: false, continuous: true}}
  E2: {{kind: load, rated: 240 V AC {240 * 60} W, metal: false, continuous: false}}
wires:
  - {{wire: 1, from: X0:L, to: "F1:1", size: 4/0 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 2, from: "F1:2", to: "XL:1", size: {size}, insulation: TW, length: 1 cm}}
  - {{wire: 3, from: "XL:2", to: E1:1, size: 4/0 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 4, from: "XL:3", to: E2:1, size: 4/0 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 5, from: "X0:N", to: E1:2, size: 4/0 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 6, from: "X0:N", to: E2:2, size: 4/0 AWG, insulation: TW, length: 1 cm}}
"""

    slug = "continuous-load-margin-small"
    assert fired(slug, design(plan("1 AWG"), "na")) == []
    [finding] = fired(slug, design(plan("2 AWG"), "na"))
    assert limit_of(finding) == pytest.approx(needed, rel=0.01)


def test_conductors_of_a_continuous_load_with_terminals_of_75_degrees() -> None:
    """B05: 24 A continuous at 277 V ask for 30 A: 12 AWG carries 25 A at 75 °C and 10 AWG 35 A."""
    example = worked("ampacity")["B05"]

    def plan(size: str) -> str:
        marked = "terminal_temperature: 75 °C"
        return f"""
mains: {{inlet: X0, system: single-phase, voltage: 277 V, fault_current: 50 kA,
        upstream: {{kind: breaker, rating: 60 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 60 A}}
  F1: {{kind: breaker, rating: 30 A, curve: C, {marked}}}
  E1: {{kind: load, rated: 277 V AC {277 * 24} W, metal: false, continuous: true, {marked}}}
wires:
  - {{wire: 1, from: X0:L, to: "F1:1", size: 4 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 2, from: "F1:2", to: E1:1, size: {size}, insulation: THWN, length: 1 cm}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 4 AWG, insulation: TW, length: 1 cm}}
"""

    slug = "continuous-load-margin-small"
    fits = f"{example.expected['size_awg']} AWG"
    assert fired(slug, design(plan(fits), "na")) == []
    [finding] = fired(slug, design(plan("12 AWG"), "na"))
    assert limit_of(finding) == pytest.approx(example.expected["min_ampacity_A"], rel=0.01)
    assert fits in finding.mend[0]


@pytest.mark.parametrize(
    ("group", "row", "feed", "terminals", "quiet", "too_large"),
    [
        ("ampacity", "B02", "size: 10 AWG, insulation: THHN, ambient: 120 °F", 90, 30, 35),
        ("ampacity", "B04", "size: 10 AWG, insulation: THHN, ambient: 30 °C, grouped_with: 11", 75, 20, 25),
        ("disagreements", "X02", "size: 12 AWG, insulation: THHN, ambient: 124 °F, grouped_with: 2", 75, 20, 25),
    ],
)
def test_derated_feeds(group: str, row: str, feed: str, terminals: int, quiet: float, too_large: float) -> None:
    """B02: 32.8 A; B04: 18 A and so 20 A; X02: 18.24 A (its page prints 21); devices by 240.4(B) and 240.4(D)."""

    def plan(rating: float) -> Design:
        return design(
            f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: {rating} A, curve: C}},
        feed: {{{feed}}}}}
parts:
  X0: {{kind: inlet, terminal_temperature: {terminals} °C}}
""",
            "na",
        )

    example = worked(group)[row]
    slug = "building-feed-too-small"
    assert fired(slug, plan(quiet)) == []
    [finding] = fired(slug, plan(too_large))
    assert figure(finding, "ampacity") == pytest.approx(example.expected["ampacity_A"], rel=0.002)
    if "next_standard_A" in example.expected:
        assert limit_of(finding) == example.expected["next_standard_A"]


# --- stored energy


@pytest.mark.parametrize(("row", "volts", "farads"), [("G03", 816.5, "12 µF"), ("G05", 450.0, "160 µF")])
def test_what_a_capacitor_stores(row: str, volts: float, farads: str) -> None:
    """G03: 12 µF hold 4 J at 816.5 V; G05: 160 µF at 450 V into 31.2 kohm have a time constant of 4.99 s."""
    bleeder = ", bleeder: 31.2 kohm" if row == "G05" else ""
    plan = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 1 A}}
  C1: {{kind: capacitor, capacitance: {farads}{bleeder}}}
wires:
  - {{wire: 1, from: "G1:V+", to: "C1:+", size: 1 mm2, length: 1 m}}
  - {{wire: 2, from: "G1:V-", to: "C1:-", size: 1 mm2, length: 1 m}}
"""
    [finding] = fired("capacitor-discharge-slow", design(plan))
    example = worked("capacitor_bus")[row]
    if row == "G03":
        assert figure(finding, "stored") == pytest.approx(example.inputs["energy_J"], rel=0.001)
    else:
        tau = 2 * figure(finding, "stored") / figure(finding, "voltage") ** 2 * example.inputs["R_ohm"]
        assert tau == pytest.approx(example.expected["tau_s"], rel=0.004)


# --- every row has its place or its reason

HERE = {
    *("A05", "A06", "A10", "A11", "A12", "B02", "B04", "B05", "C05", "C07", "C08", "C09", "C10", "D01", "D02"),
    *("E01", "E03", "E04", "E05", "E06", "G03", "G05", "X02"),
}
ELSEWHERE = {
    "test_building_feed_too_small.py": {"B01", "B03", "D03", "D04"},
    "test_building_feed_drop_too_high.py": {"A09"},
    "test_published_examples.py": {"B06", "B07", "C01", "C02", "C03", "C04", "C06"},
}
NO_PLAN = {
    "A01": "the resistance of a coil that gets warm; a plan gives it at one temperature",
    "A02": "as A01",
    "A03": "the strands of a wire; a plan names its size",
    "A04": "current density and field in a wire, which nothing asks for",
    "A07": "wires of 15 ohm, heated by 15 K; a plan gives wires by size",
    "A08": "an old wire table",
    "A13": "an evenly loaded distributor",
    "A14": "cords given by their resistance alone",
    "E02": "a source and a transformer by their MVA; a plan gives the current at the inlet",
    "E07": "a rewireable fuse, which the plan language does not have",
    "G01": "an energy that harms nobody: no rule speaks below 60 V",
    "G02": "the capacitance for an energy, which nothing asks for",
    "G04": "24 V, below what any rule on stored voltage speaks of",
    "X01": "a loss in a wire by its diameter; a plan names its size",
    "X03": "as E05, printed wrong",
    "X04": "sections of a feeder with loads between them, outside a machine",
}


def test_every_row_has_its_plan_or_its_reason() -> None:
    groups = ("ampacity", "overcurrent", "protective_conductor", "fault_loop", "resistance_voltage_drop")
    rows = {row for group in (*groups, "capacitor_bus", "disagreements") for row in worked(group)}
    placed = [*HERE, *NO_PLAN, *(row for found in ELSEWHERE.values() for row in found)]
    assert sorted(placed) == sorted(rows)
