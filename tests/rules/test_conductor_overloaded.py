"""A conductor carries more than its ampacity, in the state in which it carries most."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.design.conductor.sizes import size_that_carries
from wiring.findings import Signal

SLUG = "conductor-overloaded"


def body(amps: float, size: str, route: str = "duct", insulation: str = "pvc-70", ambient_c: float = 40.0) -> str:
    """One load on a pair of short conductors of a size, laid in one way."""
    return f"""
site: {{ambient: {ambient_c} °C}}
routes:
  way: {{kind: {route}}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 500 A}}
  E1: {{kind: load, rated: 24 V DC {24.0 * amps} W}}
wires:
  - {{wire: 1, from: G1:V+, to: E1:1, size: {size}, insulation: {insulation}, length: 1 mm, route: way}}
  - {{wire: 2, from: G1:V-, to: E1:2, size: 35 mm2, insulation: {insulation}, length: 1 mm}}
"""


@pytest.mark.parametrize(
    ("amps", "size", "fires"), [(4.5, "0.14 mm2", True), (4.5, "0.2 mm2", True), (1.0, "0.14 mm2", False)]
)
def test_below_the_smallest_row_that_row_is_the_most(amps: float, size: str, fires: bool) -> None:
    """IEC 60204-1, table 6, pairs of electronics: 0.20 mm2 carries 4.3 A in a duct, so 0.14 mm2 carries less, and 1 A
    in it is an open question; a thinner conductor is never judged milder."""
    found = design(body(amps, size))
    assert bool([one for one in fired(SLUG, found) if "1" in one.subjects]) is fires
    assert bool([one for one in open_questions(SLUG, found) if "1" in one.subjects]) is (amps == 1.0)


def test_a_device_above_the_smallest_row_is_too_large_for_a_thinner_conductor() -> None:
    """5 A in front of 0.14 mm2 is above the 4.4 A of 0.20 mm2 in the open (IEC 60204-1, table 6)."""
    parts = "  F1: {kind: fuse, rating: 5 A, class: gG}\nwires:"
    plan = body(0.1, "0.14 mm2").replace("wires:", parts).replace("to: E1:1", "to: F1:1")
    plan += "  - {wire: 3, from: F1:2, to: E1:1, size: 0.14 mm2, length: 1 m}\n"
    [finding] = [one for one in fired("protection-above-conductor", design(plan)) if "3" in one.subjects]
    assert finding.signal is Signal.WARNING
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(4.4)
    assert not any("Set F1" in way for way in finding.mend)


# IEC 60204-1:2016 table 6, copper with PVC 70 °C at 40 °C: column B1 (single wires in a duct) and E (in the open).
TABLE_6 = [
    ("0.75 mm2", "duct", 8.6),
    ("1 mm2", "duct", 10.3),
    ("1.5 mm2", "duct", 13.5),
    ("2.5 mm2", "duct", 18.3),
    ("4 mm2", "duct", 24.0),
    ("6 mm2", "duct", 31.0),
    ("10 mm2", "duct", 44.0),
    ("1.5 mm2", "open", 16.1),
    ("2.5 mm2", "open", 22.0),
    ("4 mm2", "open", 30.0),
]
# NFPA 79:2021 table 12.5.1, 60 °C column, which unmarked terminals allow (18 and 16 AWG one source, the rest from
# memory); at 30 °C the factor is 1.
TABLE_12_5_1 = [("18 AWG", 7.0), ("16 AWG", 10.0), ("14 AWG", 15.0), ("12 AWG", 20.0), ("10 AWG", 30.0)]


@pytest.mark.parametrize(("size", "route", "ampacity"), TABLE_6)
def test_the_limit_is_table_6(size: str, route: str, ampacity: float) -> None:
    assert fired(SLUG, design(body(0.99 * ampacity, size, route))) == []
    [finding] = fired(SLUG, design(body(1.01 * ampacity, size, route)))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(ampacity)
    assert finding.limit.source.standard == "IEC 60204-1"


@pytest.mark.parametrize(("size", "ampacity"), TABLE_12_5_1)
def test_the_limit_is_table_12_5_1(size: str, ampacity: float) -> None:
    def at(share: float) -> str:
        return body(share * ampacity, size, insulation="MTW", ambient_c=30.0)

    assert [f for f in fired(SLUG, design(at(0.99), "na")) if f.subjects[0] == "1"] == []
    [finding] = [f for f in fired(SLUG, design(at(1.01), "na")) if f.subjects[0] == "1"]
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(ampacity)


@pytest.mark.parametrize(("ambient_c", "factor"), [(45.0, 0.91), (50.0, 0.82), (55.0, 0.71), (60.0, 0.58)])
def test_warm_air_lowers_the_limit(ambient_c: float, factor: float) -> None:
    """IEC 60204-1:2016 table D.1, PVC: the factor on table 6; 1.5 mm2 in a duct carries 13.5 A at 40 °C."""
    assert fired(SLUG, design(body(0.99 * factor * 13.5, "1.5 mm2", ambient_c=ambient_c))) == []
    assert fired(SLUG, design(body(1.01 * factor * 13.5, "1.5 mm2", ambient_c=ambient_c)))


def test_a_chain_carries_what_hangs_behind_it() -> None:
    """Loads of 5 A: 15, 10 and 5 A in the pieces of a chain of 1 mm2 in the open, which carries 12.4 A (table 6)."""
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A, overload: {mode: hiccup, limit: 105 %}}
  F1: {kind: breaker, rating: 10 A, curve: B}
  E1: {kind: load, rated: 24 V DC 120 W}
  E2: {kind: load, rated: 24 V DC 120 W}
  E3: {kind: load, rated: 24 V DC 120 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 16 mm2, insulation: pvc-70, length: 0.2 m}
  - {wire: 2, through: [F1:2, E1:1, E2:1, E3:1], size: 1 mm2, length: 1 cm}   #! conductor-overloaded
  - {wire: 3, through: [G1:V-, E1:2, E2:2, E3:2], size: 16 mm2, insulation: pvc-70, length: 0.2 m}
""")


def test_a_shared_return_carries_the_sum() -> None:
    found = design("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  X1: {kind: terminals, points: 3, bridged: [1-3]}
  E1: {kind: load, rated: 24 V DC 120 W}
  E2: {kind: load, rated: 24 V DC 120 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 6 mm2, insulation: pvc-70, length: 0.1 m}
  - {wire: 2, from: G1:V+, to: E2:1, size: 6 mm2, insulation: pvc-70, length: 0.1 m}
  - {wire: 3, from: E1:2, to: X1:1, size: 6 mm2, insulation: pvc-70, length: 0.1 m}
  - {wire: 4, from: E2:2, to: X1:2, size: 6 mm2, insulation: pvc-70, length: 0.1 m}
  - {wire: 5, from: X1:3, to: G1:V-, size: 0.5 mm2, insulation: pvc-70, length: 0.1 m}
""")
    [finding] = fired(SLUG, found)
    assert finding.subjects == ("5",)
    assert finding.numbers[0].value == pytest.approx(10.0, rel=0.01)  # twice 120 W at 24 V


def test_conductors_without_a_size_are_told_together() -> None:
    text = body(5.0, "1.5 mm2").replace("size: 1.5 mm2, ", "").replace("size: 35 mm2, ", "")
    [item] = open_questions(SLUG, design(text))
    assert item.subjects == ("1", "2")
    assert "`size`" in item.missing


def test_the_size_that_it_offers_passes() -> None:
    """25 A are too much for 2.5 and 4 mm2 in a duct; 6 mm2 carries 31 A (table 6, B1)."""
    [finding] = fired(SLUG, design(body(25.0, "2.5 mm2")))
    assert "6 mm2" in finding.mend[0]


@given(st.sampled_from(TABLE_6[:7]), st.floats(0.2, 3.0))
def test_a_thicker_conductor_never_makes_it_worse(row: tuple[str, str, float], share: float) -> None:
    amps = share * row[2]
    thin = bool(fired(SLUG, design(body(amps, row[0]))))
    thick = [f for f in fired(SLUG, design(body(amps, "16 mm2"))) if f.subjects[0] == "1"]
    assert thin or not thick


@pytest.mark.parametrize(("insulation", "what"), [("silicone-180", "terminals for 70 °C"), ("pvc-70", "insulation")])
def test_conductors_that_may_carry_nothing_are_one_finding_that_names_what_limits_them(
    insulation: str, what: str
) -> None:
    """Insulation and terminals for 70 °C bear nothing in air of 72 °C (IEC 60204-1, table D.1 ends at 60 °C)."""
    body = f"""
site: {{ambient: 72 °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A}}
  E1: {{kind: load, rated: 24 V DC 24 W, at: machine}}
wires:
  - {{wire: 1, from: G1:V+, to: E1:1, size: 4 mm2, insulation: {insulation}, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: E1:2, size: 4 mm2, insulation: {insulation}, length: 1 m}}
"""
    [finding] = fired("conductor-overloaded", design(body))
    assert finding.subjects == ("1", "2")
    assert what in finding.summary
    assert fired("protection-above-conductor", design(body)) == []  # no device is right for what may carry nothing


def crowded(pairs: int, length: str, size: str = "14 AWG", marked: str = "") -> str:
    """Pairs of conductors in one duct of a North American cabinet at 30 °C, each pair with 10 A."""
    loads = "".join(f"  E{n}: {{kind: load, rated: 24 V DC 240 W{marked}}}\n" for n in range(1, pairs + 1))
    wires = "".join(
        f"  - {{wire: a{n}, from: G1:V+, to: E{n}:1, size: {size}, insulation: MTW, length: {length}, route: way}}\n"
        f"  - {{wire: b{n}, from: G1:V-, to: E{n}:2, size: {size}, insulation: MTW, length: {length}, route: way}}\n"
        for n in range(1, pairs + 1)
    )
    supply = f"  G1: {{kind: supply, input: 120 V AC, output: 24 V DC, rated: 500 A, wires_per_terminal: 40{marked}}}\n"
    return f"site: {{ambient: 30 °C}}\nroutes:\n  way: {{kind: duct}}\nparts:\n{supply}{loads}wires:\n{wires}"


def test_more_than_thirty_conductors_want_another_route_before_thicker_wire() -> None:
    """NFPA 70 376.22(B): up to 30 no adjustment, 32 by 310.15(C)(1): 40 %; 16 AWG 18 A x 0.4 = 7.2 A, below 8.3 A."""
    assert fired(SLUG, design(crowded(15, "1 m"), "na")) == []
    found = fired(SLUG, design(crowded(17, "1 m", "16 AWG").replace("240 W", "200 W"), "na"))
    assert found
    assert found[0].mend[0].startswith("Lead conductors over another route, so that `way` holds 30 loaded ones")


@pytest.mark.parametrize(("length", "fires"), [("0.6 m", False), ("24 in", False), ("0.62 m", True)])
def test_what_lies_together_over_600_mm_at_most_is_not_grouped(length: str, fires: bool) -> None:
    """NFPA 70 310.15(C)(1): adjusted where bundled over more than 24 in (600 mm): 16 AWG 18 x 0.4 = 7.2 A."""
    body = crowded(17, length, "16 AWG").replace("240 W", "200 W")
    assert bool(fired(SLUG, design(body, "na"))) is fires


@pytest.mark.parametrize(
    ("marked", "ends", "fires"),
    [("", 0, True), (", terminal_temperature: 75 °C", 2, False), (", terminal_temperature: 60 °C", 2, True)],
)
def test_marked_terminals_let_a_conductor_carry_more(marked: str, ends: int, fires: bool) -> None:
    """NFPA 70 110.14(C), table 310.16: 10 AWG carries 30 A in the 60 °C column, 35 A in that of 75 °C."""
    body = crowded(1, "0.5 m", "10 AWG", marked).replace("240 W", "768 W")
    assert bool(fired(SLUG, design(body, "na"))) is fires


def test_what_it_says() -> None:
    """IEC 60204-1 table 6: 0.75 mm2 in a duct carries 8.6 A; the load takes 8.7 A."""
    [finding] = fired(SLUG, design(body(8.7, "0.75 mm2")))
    assert_says(
        finding, "WARNING", limit=(8.6, "A", "IEC 60204-1 table 6"), number=("load", 8.7, "A"), mend="Make 1 of 1.0 mm2"
    )


def test_the_state_is_told_with_the_load() -> None:
    """A plan without states has one, work."""
    [finding] = fired(SLUG, design(body(8.7, "0.75 mm2")))
    assert "state work" in finding.numbers[0].remark


@pytest.mark.parametrize(("amps", "size"), [(8.6, "0.75 mm2"), (8.61, "1.0 mm2")])
def test_the_size_that_carries_a_current_carries_it_exactly(amps: float, size: str) -> None:
    """IEC 60204-1 table 6, in a duct: 0.75 mm2 8.6 A."""
    found = design(body(1.0, "0.75 mm2"))
    carrying = size_that_carries(found.machine, found.conductors["1"], amps)
    assert carrying is not None
    assert carrying.text == size


@pytest.mark.parametrize(
    ("load", "watts", "factor"),
    [("heater", 48.0, 0.8), ("heater", 2.4, 0.8), ("lamp", 48.0, 0.8), ("lamp", 12.0, 1.0)],
)
def test_power_conductors_heat_each_other_at_any_load(load: str, watts: float, factor: float) -> None:
    """NFPA 70, table 310.15(C)(1): four to six current-carrying conductors 80 %. Those of control count above a
    tenth of their ampacity (724.51(A)): 2 A do, and 0.5 A do not, of 15 A x 0.82 (14 AWG at 40 °C) x 0.8 = 9.8 A."""
    text = """
routes:
  pipe: {kind: conduit}
parts:
  G1: {kind: supply, input: 120 V AC, output: 24 V DC, rated: 5 A, wires_per_terminal: 4}
""" + "".join(f"  E{n}: {{kind: {load}, rated: 24 V DC {watts} W}}\n" for n in (1, 2))
    plus, minus = ("X1", "X2") if load == "lamp" else ("1", "2")
    text += "wires:\n" + "".join(
        f"  - {{wire: {n}1, from: 'G1:V+', to: 'E{n}:{plus}', size: 14 AWG, length: 2 m, route: pipe}}\n"
        f"  - {{wire: {n}2, from: 'G1:V-', to: 'E{n}:{minus}', size: 14 AWG, length: 2 m, route: pipe}}\n"
        for n in (1, 2)
    )
    apart = text.replace("length: 2 m, route", "length: 0.5 m, route")
    together, alone = (design(one, "na").conductors["11"].ampacity.value for one in (text, apart))
    assert together / alone == pytest.approx(factor)


@pytest.mark.parametrize(("amps", "factor"), [(0.1, 1.0), (3.0, 0.5)])
def test_cores_that_carry_next_to_nothing_heat_none(amps: float, factor: float) -> None:
    """Two circuits in four cores of 0.5 mm2: table D.3 gives two loaded pairs the row of three, 0.5, and what carries
    no more than 30 % does not count (IEC 60364-5-52, 523.5); open in air 7.8 A (table 6, method E)."""
    text = f"""
site: {{ambient: 30 °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}}
  X1: {{kind: terminals, points: 3, bridged: [1-3]}}
  X2: {{kind: terminals, points: 3, bridged: [1-3]}}
  E1: {{kind: load, at: machine, behaviour: current, rated: 24 V DC {amps} A}}
  E2: {{kind: load, at: machine, behaviour: current, rated: 24 V DC {amps} A}}
wires:
  - {{wire: 1, from: "G1:V+", to: X1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "G1:V-", to: X2:1, size: 2.5 mm2, length: 1 m}}
cables:
  - {{cable: C1, cores: 4, size: 0.5 mm2, insulation: pvc-70, length: 2 m,
     join: {{1: [X1:2, E1:1], 2: [X2:2, E1:2], 3: [X1:3, E2:1], 4: [X2:3, E2:2]}}}}
"""
    bound = design(text).conductors["C1.1"].bound
    assert bound is not None
    assert bound.value == pytest.approx(7.8 * factor)


@pytest.mark.parametrize(("power", "told"), [(360, False), (400, True)])
def test_the_conductors_of_a_braking_resistor_carry_what_heats_it(power: int, told: bool) -> None:
    """P = I² R: 2 ohm with 360 W carry 13.4 A, with 400 W 14.1 A; 1.5 mm2 in a duct at 40 °C 13.5 A (IEC 60204-1, table
    6)."""
    text = f"""
site: {{ambient: 40 °C}}
routes:
  way: {{kind: duct}}
parts:
  T1: {{kind: inverter, supply: 200..240 V AC, rated: 0.75 kW, braking: true}}
  X1: {{kind: terminals, points: 1}}
  R1: {{kind: braking-resistor, at: machine, resistance: 2 ohm, power: {power} W}}
wires:
  - {{wire: 1, from: T1:R1, to: X1:1, size: 1.5 mm2, insulation: pvc-70, length: 1 m, route: way}}
  - {{wire: 2, from: X1:1, to: R1:R1, size: 2.5 mm2, insulation: pvc-70, length: 1 m, route: way}}
  - {{wire: 3, from: R1:R2, to: T1:R2, size: 2.5 mm2, insulation: pvc-70, length: 1 m, route: way}}
"""
    assert [one.subjects for one in fired("conductor-overloaded", design(text))] == [("1",)] * told
    thin = text.replace("1.5 mm2", "0.5 mm2")
    assert {name for one in fired("conductor-below-minimum-size", design(thin)) for name in one.subjects} == {"1"}
