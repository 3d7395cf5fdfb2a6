"""Currents through contacts and terminals against their rating, in every state (ratings are the makers')."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "contact-overloaded"


def through(watts: float, relay: str = "rated: 6 A", mark: str = "") -> str:
    return plan(
        f"K1: {{kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {{13-14: NO}}, {relay}}}{mark}\n"
        f"E1: {{kind: load, rated: 24 V DC {watts} W, behaviour: resistance}}",
        """
        - {wire: 1, from: X1:2, to: K1:13}
        - {wire: 2, from: K1:14, to: E1:1}
        - {wire: 3, from: E1:2, to: X2:2}
        - {wire: 4, from: X1:3, to: K1:A1}
        - {wire: 5, from: X2:3, to: K1:A2}
        """,
    )


def test_a_heater_on_a_small_relay() -> None:
    assert_marked(through(170.0, mark="   #! contact-overloaded"))


@pytest.mark.parametrize(("watts", "fires"), [(143.0, False), (149.0, True)])
def test_the_rating_is_the_limit(watts: float, fires: bool) -> None:
    """6 A at 24 V are 144 W; 2 % more for the drop in the conductors (Ohm's law)."""
    assert bool(fired(SLUG, design(through(watts)))) is fires


@pytest.mark.parametrize("watts", [10.0, 37.3, 88.8, 200.0])
def test_the_current_is_that_of_the_load(watts: float) -> None:
    """Ohm's law: 24 V over the load, five conductors of unknown size at 20 mohm and a contact of 30 mohm."""
    [finding] = fired(SLUG, design(through(watts, "rated: 0.1 A")))
    assert finding.numbers[0].value == pytest.approx(24.0 / (24.0**2 / watts + 0.13), rel=0.01)


def coil(rating: str) -> str:
    return plan(
        f"K1: {{kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {{13-14: NO}}, rated: 6 A, "
        f"contact_rating: {rating}}}\n"
        "E1: {kind: valve, rated: 24 V DC 30 W, suppressor: diode}",
        """
        - {wire: 1, from: X1:2, to: K1:13}
        - {wire: 2, from: K1:14, to: E1:1}
        - {wire: 3, from: E1:2, to: X2:2}
        - {wire: 4, from: X1:3, to: K1:A1}
        - {wire: 5, from: X2:3, to: K1:A2}
        """,
    )


@pytest.mark.parametrize(
    ("rating", "fires"), [("DC-13 1 A 24 V", True), ("DC-13 2 A 24 V", False), ("AC-15 1 A 230 V", False)]
)
def test_a_coil_counts_by_the_inductive_rating(rating: str, fires: bool) -> None:
    """30 W at 24 V are 1.25 A: above the 1 A of DC-13, far below the 6 A for resistive loads."""
    assert bool(fired(SLUG, design(coil(rating)))) is fires


def test_a_rating_code_of_the_north_american_book() -> None:
    """At 24 V the codes go by volt-amperes up to the thermal current (NEMA ICS 5, two makers' catalogues).

    R300: 28 VA but 1 A, too little for 1.25 A; Q300: 69 VA, 2.5 A. A600/Q600 on DC counts by its second half.
    """
    assert len(fired(SLUG, design(coil("R300"), "na"))) == 1
    assert len(fired(SLUG, design(coil("C600/R300"), "na"))) == 1
    for code in ("Q300", "P300", "N300", "A600/Q600", "P150"):
        assert fired(SLUG, design(coil(code), "na")) == []


def test_a_contactor_for_heaters_on_a_motor() -> None:
    assert_marked(
        """
mains: {inlet: X0, system: three-phase, voltage: 400 V}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  Q1:
    kind: contactor
    rated: 20 A
    category: AC-1   #! contact-overloaded
    coil: 400 V AC 8 VA
    suppressor: rc
  M1: {kind: motor, voltage: 400 V AC, phases: 3, rated_power: 0.3 kW, rated_current: 0.8 A, metal: false}
wires:
  - {wire: 7, from: X0:L1, to: Q1:A1}
  - {wire: 8, from: X0:L2, to: Q1:A2}
  - {wire: 1, from: X0:L1, to: Q1:1}
  - {wire: 2, from: X0:L2, to: Q1:3}
  - {wire: 3, from: X0:L3, to: Q1:5}
  - {wire: 4, from: Q1:2, to: M1:U}
  - {wire: 5, from: Q1:4, to: M1:V}
  - {wire: 6, from: Q1:6, to: M1:W}
"""
    )


def test_a_dc_contactor_for_heaters_on_a_dc_motor() -> None:
    """IEC 60947-4-1: DC-1 is for resistive loads, DC-3 for starting and braking shunt motors."""
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 20 A}
  Q1: {kind: contactor, poles: 1, rated: 20 A, category: DC-1, coil: 24 V DC 3 W, suppressor: varistor}
  M1: {kind: motor, voltage: 24 V DC, phases: DC, rated_power: 100 W, rated_current: 5 A, metal: false}
wires:
  - {wire: 1, from: G1:V+, to: "Q1:1"}
  - {wire: 2, from: "Q1:2", to: M1:A1}
  - {wire: 3, from: M1:A2, to: G1:V-}
"""
    (found,) = fired(SLUG, design(body))
    assert found.subjects == ("Q1", "M1")
    assert "DC-3" in found.mend[0]


def test_a_row_of_terminals() -> None:
    body = plan(
        "X9: {kind: terminals, points: 2, bridged: [1-2], rated: 5 A}   #! contact-overloaded\n"
        "E1: {kind: load, rated: 24 V DC 150 W}",
        "- {wire: 1, from: X1:2, to: X9:1}\n- {wire: 2, from: X9:2, to: E1:1}\n- {wire: 3, from: E1:2, to: X2:2}",
    )
    assert_marked(body)


def test_an_unknown_rating_is_not_judged_above_an_ampere() -> None:
    silent = "rated_voltage: 24 V DC"
    assert open_questions(SLUG, design(through(48.0, silent)))[0].subjects == ("K1",)
    assert open_questions(SLUG, design(through(12.0, silent))) == []


def incoming(rated: str, filter_rated: str = "rated: 16 A", watts: float = 2300.0) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
parts:
  X0: {{kind: inlet{rated}}}
  Z1: {{kind: filter, {filter_rated}}}
  X1: {{kind: terminals, points: 4, bridged: [1-2, 3-4], rated: 40 A}}
  E1: {{kind: heater, rated: 230 V AC {watts} W}}
  E2: {{kind: heater, rated: 230 V AC 1150 W}}
wires:
  - {{wire: 1, from: X0:L, to: Z1:L}}
  - {{wire: 2, from: "X0:N", to: "Z1:N"}}
  - {{wire: 3, from: "Z1:L'", to: E1:1}}
  - {{wire: 4, from: "Z1:N'", to: E1:2}}
  - {{wire: 5, from: X0:L, to: E2:1}}
  - {{wire: 6, from: "X0:N", to: E2:2}}
  - {{wire: 7, through: [X0:PE, Z1:PE, E1:PE, E2:PE]}}
"""


# 2300 W at 230 V are 10 A through the filter, 1150 W 5 A more through the inlet (Ohm's law); ratings are the makers'.
@pytest.mark.parametrize(
    ("inlet", "filtered", "fires"),
    [
        (", rated: 16 A", "rated: 16 A", []),
        (", rated: 15.1 A", "rated: 10.1 A", []),
        (", rated: 14 A", "rated: 16 A", ["X0"]),
        (", rated: 16 A", "rated: 9.8 A", ["Z1"]),
    ],
)
def test_an_inlet_and_a_filter_are_held_against_what_flows_through_them(
    inlet: str, filtered: str, fires: list[str]
) -> None:
    found = design(incoming(inlet, filtered))
    assert [finding.subjects[0] for finding in fired(SLUG, found)] == fires


def test_an_inlet_without_a_rating_is_asked_for_above_ten_amperes() -> None:
    [question] = open_questions(SLUG, design(incoming("")))
    assert question.subjects == ("X0",)
    assert not open_questions(SLUG, design(incoming("", watts=1000.0)))


def test_what_it_says() -> None:
    """Rated 6 A; Ohm's law: 170 W at 24 V behind five conductors of unknown size at 20 mohm, a contact of 30 mohm and
    a supply of 2.4 mohm: 6.82 A. The next standard rated current is 8 A (IEC 60059, from memory)."""
    [finding] = fired(SLUG, design(through(170.0)))
    assert_says(
        finding,
        "CAUTION",
        limit=(6.0, "A", "IEC 60204-1 4.2.1"),
        number=("current", 24 / (24**2 / 170 + 5 * 0.020 + 0.030 + 0.0024), "A"),
        mend="8 A or more",
    )


@pytest.mark.parametrize(("rated", "breaking", "found"), [(16, 9.5, 1), (16, 10.5, 0), (8, 9.5, 1)])
def test_a_main_switch_breaks_what_flows_through_it(rated: int, breaking: float, found: int) -> None:
    """IEC 60204-1, 5.3.3: it breaks the sum of the running loads, 2300 W / 230 V = 10 A; one too small to carry them is
    told once."""
    body = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
parts:
  X0: {{kind: inlet}}
  Q1: {{kind: disconnector, poles: 2, rated: {rated} A, breaking: {breaking} A}}
  E1: {{kind: heater, rated: 230 V AC 2300 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1}}
  - {{wire: 2, from: "X0:N", to: Q1:3}}
  - {{wire: 3, from: Q1:2, to: E1:1}}
  - {{wire: 4, from: Q1:4, to: E1:2}}
"""
    assert [one.subjects for one in fired(SLUG, design(body))] == [("Q1",)] * found


@pytest.mark.parametrize(("rated", "fires"), [(4.0, False), (2.5, True)])
def test_a_contactor_is_made_for_its_motor_whatever_that_works(rated: float, fires: bool) -> None:
    """IEC 60947-4-1 (from memory): the rated operational current of AC-3 is that of the motor, here 3 A of 370 W."""
    body = f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
states: {{run: {{M1: {{power: 50 W}}}}}}
parts:
  X0: {{kind: inlet}}
  K1: {{kind: contactor, poles: 1, rated: {rated} A, coil: 230 V AC 5 W}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 370 W, rated_current: 3 A, metal: false}}
wires:
  - {{wire: 1, through: ['X0:L', 'K1:A1', 'K1:1']}}
  - {{wire: 2, from: 'K1:2', to: 'M1:U1'}}
  - {{wire: 3, through: ['X0:N', 'K1:A2', 'M1:U2']}}
"""
    found = fired(SLUG, design(body))
    assert [one.summary for one in found] == (["K1 is rated 2.5 A, and M1, which it switches, 3 A"] if fires else [])


@pytest.mark.parametrize(
    ("switch", "upstream", "first", "told"),
    [(16, 16, 10, None), (10, 16, 10, 16), (10, 16, 4, None), (10, 10, 10, None)],
)
def test_a_main_switch_bears_what_devices_pass(switch: int, upstream: int, first: int, told: int | None) -> None:
    """IEC 60364-4-43, 433.2 (from memory): the device ahead, or all behind together, keeps it within its rating."""
    body = f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S,
        upstream: {{kind: breaker, rating: {upstream} A, curve: C}}}}
parts:
  X0: {{kind: inlet, rated: 32 A}}
  Q1: {{kind: disconnector, poles: 2, rated: {switch} A}}
  F1: {{kind: breaker, rating: {first} A, curve: C}}
  F2: {{kind: breaker, rating: 6 A, curve: C}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
  E2: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: 'X0:L', to: 'Q1:1'}}
  - {{wire: 2, from: 'X0:N', to: 'Q1:3'}}
  - {{wire: 3, through: ['Q1:2', 'F1:1', 'F2:1']}}
  - {{wire: 4, from: 'F1:2', to: 'E1:1'}}
  - {{wire: 5, from: 'F2:2', to: 'E2:1'}}
  - {{wire: 6, through: ['Q1:4', 'E1:2', 'E2:2']}}
"""
    found = fired(SLUG, design(body))
    assert [(one.subjects, one.numbers[0].value) for one in found] == ([(("Q1",), told)] if told else [])


@pytest.mark.parametrize(
    ("book", "rated", "ahead", "by"),
    [
        ("iec", 10, 16, ()),
        ("iec", 10, 20, (SLUG,)),
        ("na", 10, 16, ("building-feed-too-small",)),
        ("na", 15, 20, ()),
        ("na", 15, 25, ("building-feed-too-small",)),
    ],
)
def test_a_plug_is_told_once_by_the_circuit_that_it_may_stand_in(
    book: str, rated: int, ahead: int, by: tuple[str, ...]
) -> None:
    """IEC 60320-1 (from memory): couplers of 10 A in circuits of 16 A; NEC 210.21(B)(1) and table 210.21(B)(3): a
    receptacle of 15 A on a branch of 15 or 20 A, any other bears its own branch."""
    machine = design(
        f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, connection: polarised plug,
        upstream: {{kind: breaker, rating: {ahead} A, curve: C}}}}
parts:
  X0: {{kind: inlet, rated: {rated} A}}
  E1: {{kind: heater, rated: 230 V AC 1 kW}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1}}
  - {{wire: 2, from: "X0:N", to: E1:2}}
""",
        book,
    )
    told = [slug for slug in (SLUG, "building-feed-too-small") if fired(slug, machine)]
    assert tuple(told) == by


#: What the mains passes on the way to two breakers, with its terminals and its keys.
PASSED = {
    "inlet": ("X0:L", "X0:N", ""),
    "connector": ("X5:1", "X5:2", "  X5: {kind: connector, contacts: ['1', '2'], rated: RATED}\n"),
    "terminals": ("X5:2", "X5:4", "  X5: {kind: terminals, points: 4, bridged: [1-2, 3-4], rated: RATED}\n"),
    "disconnector": ("X5:2", "X5:4", "  X5: {kind: disconnector, poles: 2, rated: RATED}\n"),
}


@pytest.mark.parametrize(
    ("kind", "connection"),
    [("inlet", "fixed"), ("inlet", "polarised plug"), *((kind, "reversible plug") for kind in PASSED)],
)
@pytest.mark.parametrize(
    ("upstream", "own", "rated", "told"), [(30, 16, 20, True), (30, 16, 30, False), (30, 10, 20, False)]
)
def test_what_the_mains_passes_bears_the_device_ahead_or_all_behind(
    kind: str, connection: str, upstream: int, own: int, rated: int, *, told: bool
) -> None:
    """Two breakers of 16 A let 32 A pass together, two of 10 A only 20; a plug of 20 A on a circuit of 30 A is let
    down by both (NEC 210.21(B) and 240.5, from memory: a connector bears the device of its circuit)."""
    line, neutral, part = PASSED[kind]
    to = {"inlet": [], "connector": []}.get(kind, [("X0:L", "X5:1"), ("X0:N", "X5:3")])
    to = [("X0:L", "X5:1"), ("X0:N", "X5:2")] if kind == "connector" else to
    ends = [
        *to,
        (line, "F1:1"),
        (line, "F2:1"),
        ("F1:2", "E1:1"),
        ("F2:2", "E2:1"),
        (neutral, "E1:2"),
        (neutral, "E2:2"),
    ]
    wires = "\n".join(f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(ends))
    inlet = rated if kind == "inlet" else 63
    text = (
        f"mains: {{inlet: X0, system: single-phase, voltage: 230 V, connection: {connection}, "
        f"upstream: {{kind: breaker, rating: {upstream} A, curve: C}}}}\nparts:\n"
        f"  X0: {{kind: inlet, rated: {inlet} A}}\n{part.replace('RATED', f'{rated} A')}"
        f"  F1: {{kind: breaker, rating: {own} A, curve: C}}\n  F2: {{kind: breaker, rating: {own} A, curve: C}}\n"
        "  E1: {kind: heater, rated: 230 V AC 1 kW}\n  E2: {kind: heater, rated: 230 V AC 1 kW}\n"
        f"wires:\n{wires}\n"
    )
    name = "X0" if kind == "inlet" else "X5"
    assert [one.subjects for one in fired(SLUG, design(text))] == ([(name,)] if told else [])


@pytest.mark.parametrize(
    ("kind", "ends"),
    [
        ("terminals, points: 2, bridged: [1-2]", ("1", "2")),  # of the neutral alone
        ("filter", ("N", "N'")),
    ],
)
@pytest.mark.parametrize(("rated", "told"), [(16, False), (15, True)])
def test_a_neutral_bears_what_the_building_lets_pass(kind: str, ends: tuple[str, str], rated: int, told: bool) -> None:
    """16 A of the building, and no smaller device behind."""
    text = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 16 A, curve: C}}}}
parts:
  X0: {{kind: inlet, rated: 32 A}}
  X7: {{kind: {kind}, rated: {rated} A}}
  E1: {{kind: heater, rated: 230 V AC 1 kW}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1}}
  - {{wire: 2, from: X0:N, to: "X7:{ends[0]}"}}
  - {{wire: 3, from: "X7:{ends[1]}", to: E1:2}}
"""
    assert [one.subjects for one in fired(SLUG, design(text))] == [("X7",)] * told


@pytest.mark.parametrize(("rated", "told"), [(20, False), (10, True)])
def test_the_switch_of_a_battery_bears_the_fuse_at_its_pole(rated: int, told: bool) -> None:
    text = f"""
parts:
  GB1: {{kind: battery, voltage: 24 V DC, internal_resistance: 20 mohm, fuse: {{rating: 20 A, class: gG}}}}
  Q2: {{kind: disconnector, poles: 2, rated: {rated} A, rated_voltage: 48 V DC}}
  E1: {{kind: load, rated: 24 V DC 24 W}}
wires:
  - {{wire: 1, from: "GB1:+", to: Q2:1}}
  - {{wire: 2, from: "GB1:-", to: Q2:3}}
  - {{wire: 3, from: Q2:2, to: E1:1}}
  - {{wire: 4, from: Q2:4, to: E1:2}}
"""
    assert [one.subjects for one in fired(SLUG, design(text))] == [("Q2",)] * told


@pytest.mark.parametrize(("keys", "told"), [("", True), (", rating: 10 A, curve: C", False)])
def test_a_residual_current_device_with_a_release_guards_itself(keys: str, *, told: bool) -> None:
    """IEC 61009-1: one with overcurrent protection opens at its own rating, whatever stands ahead; one without bears
    what the 25 A of the building let pass (IEC 60364-5-53, 536.4.3.2.4, from memory)."""
    text = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 25 A, curve: C}}}}
parts:
  X0: {{kind: inlet, rated: 32 A}}
  F1: {{kind: rcd, rated: 10 A, residual: 30 mA, type: A{keys}}}
  E1: {{kind: heater, rated: 230 V AC 1 kW}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1}}
  - {{wire: 2, from: "X0:N", to: F1:3}}
  - {{wire: 3, from: F1:2, to: E1:1}}
  - {{wire: 4, from: F1:4, to: E1:2}}
"""
    assert [one.subjects for one in fired(SLUG, design(text))] == ([("F1",)] if told else [])
