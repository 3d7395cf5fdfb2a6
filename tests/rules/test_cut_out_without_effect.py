"""IEC 60204-1, 7.3 and 7.4: what protects against heat takes the power away. By hand: a contact in series with the load
or with the coil of its contactor does; one beside it, or before a lamp, does not."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.findings import Signal

SLUG = "cut-out-without-effect"


def heated(*ends: str, cut_out: str = "protects: E1") -> str:
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, {cut_out}}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W}}
  V1: {{kind: solid-state-relay, control: 4..32 V DC, rated: 25 A, rated_voltage: 24..280 V AC}}
  N1: {{kind: temperature-controller, supply: 230 V AC 5 W, outputs: {{P+-P-: pulse 12 V}}}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
{lines}
"""


MAINS = ["X0:N>E1:2", "X0:L>N1:L", "X0:N>N1:N", "N1:P+>V1:A1", "N1:P->V1:A2"]
IN_SERIES = [*MAINS, "X0:L>F1:11", "F1:12>V1:1", "V1:2>E1:1"]
BY_CONTACTOR = [*MAINS, "X0:L>K1:1", "K1:2>V1:1", "V1:2>E1:1", "X0:L>F1:11", "F1:12>K1:A1", "K1:A2>X0:N"]
PAST_CONTACTOR = [*MAINS, "X0:L>V1:1", "V1:2>E1:1", "X0:L>F1:11", "F1:12>K1:A1", "K1:A2>X0:N"]
BRIDGED = [*IN_SERIES, "F1:11>F1:12"]


@pytest.mark.parametrize(
    ("ends", "told"), [(IN_SERIES, False), (BY_CONTACTOR, False), (PAST_CONTACTOR, True), (BRIDGED, True)]
)
def test_the_contact_must_take_the_power_away(ends: list[str], told: bool) -> None:
    assert bool(fired(SLUG, design(heated(*ends)))) is told


def test_what_it_protects_must_be_known_and_fed() -> None:
    assert [one.missing for one in open_questions(SLUG, design(heated(*IN_SERIES, cut_out="reset: manual")))] == [
        "the part that it protects (`protects`)"
    ]
    dead = heated(*IN_SERIES[1:])
    assert [one.subjects for one in open_questions(SLUG, design(dead))] == [("F1", "E1")]


@pytest.mark.parametrize(
    ("earthing", "other", "by_coil", "told"),
    [("IT", "L2", False, True), ("IT", "L2", True, False), ("IT", "N", False, False), ("TN-S", "L2", False, False)],
)
def test_a_load_between_two_lines_that_nothing_earths_is_parted_from_both(
    earthing: str, other: str, by_coil: bool, told: bool
) -> None:
    """IEC 60364-4-41 411.6: the first fault to earth of an IT system may stay (from memory). By Kirchhoff's laws the
    line that the cut-out leaves then feeds the load through the second one."""
    coil = ["X0:L1>F1:11", "F1:12>K1:A1"] if by_coil else ["X0:L1>K1:A1", "K1:2>F1:11", "F1:12>E1:1"]
    wires = ["X0:L1>K1:1", f"X0:{other}>K1:3", "K1:4>E1:2", "K1:A2>X0:N", *coil, *(["K1:2>E1:1"] if by_coil else [])]
    lines = "".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(w.split(">") for w in wires)
    )
    volts = "400 V" if other == "L2" else "230 V"
    text = f"""mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: {earthing}, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, protects: E1}}
  K1: {{kind: contactor, poles: 2, coil: 230 V AC 5 W}}
  E1: {{kind: heater, rated: {volts} AC 500 W, metal: false}}
wires:
{lines}"""
    found = fired(SLUG, design(text))
    assert [(one.signal, one.subjects) for one in found] == [(Signal.CAUTION, ("F1", "E1"))] * told


OVERLOAD = """mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: motor-protector, poles: 1, setting: 3 A, magnetic: false{contacts}}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 5 W}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 370 W}}
wires:
  - {{wire: 1, through: [X0:L, K1:1, F1:95]}}
  - {{wire: 2, from: K1:2, to: F1:1}}
  - {{wire: 3, from: F1:2, to: M1:U1}}
  - {{wire: 4, through: [X0:N, M1:U2, K1:A2]}}
  - {{wire: 5, from: '{coil}', to: K1:A1}}
"""


def test_an_overload_relay_acts_through_its_contact_alone() -> None:
    contacts = ", contacts: {95-96: NC}"
    assert fired(SLUG, design(OVERLOAD.format(contacts=contacts, coil="F1:96"))) == []
    [finding] = fired(SLUG, design(OVERLOAD.format(contacts=contacts, coil="X0:L")))
    assert finding.subjects == ("F1", "M1")


def test_a_contactor_between_the_relay_and_the_motor_hides_nothing() -> None:
    ahead = OVERLOAD.replace("from: K1:2, to: F1:1", "from: F1:2, to: K1:1").replace(
        "X0:L, K1:1, F1:95", "X0:L, F1:1, F1:95"
    )
    ahead = ahead.replace("from: F1:2, to: M1:U1", "from: K1:2, to: M1:U1")
    contacts = ", contacts: {95-96: NC}"
    assert fired(SLUG, design(ahead.format(contacts=contacts, coil="F1:96"))) == []
    [finding] = fired(SLUG, design(ahead.format(contacts=contacts, coil="X0:L")))
    assert finding.subjects == ("F1", "M1")


def test_a_make_contact_feeds_what_it_should_let_go() -> None:
    [finding] = fired(SLUG, design(OVERLOAD.format(contacts=", contacts: {95-96: NO}", coil="F1:96")))
    assert finding.subjects == ("F1", "M1")


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(heated(*PAST_CONTACTOR)))
    assert finding.subjects == ("F1", "E1")
    assert_says(finding, "WARNING", mend="E1 itself, through the break contact of F1")


KEPT = """mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  B1: {{kind: thermostat, switches_at: 70 °C}}
  B2: {{kind: {second}}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: 'X0:L', to: 'B1:1'}}
  - {{wire: 2, from: 'B1:2', to: 'B2:1'}}
  - {{wire: 3, from: 'B2:2', to: 'E1:1'}}
  - {{wire: 4, from: 'X0:N', to: 'E1:2'}}
"""


@pytest.mark.parametrize(
    ("second", "asked"),
    [
        ("terminals, points: 2, bridged: [1-2]", True),
        ("thermostat, switches_at: 90 °C, purpose: heating", True),
        ("thermostat, switches_at: 90 °C, purpose: watching", False),
        ("thermal-cut-out, opens_at: 90 °C, protects: E1", False),
    ],
)
def test_a_heater_that_only_its_thermostat_opens_is_asked(second: str, asked: bool) -> None:
    """The contact of B1 stays closed: nothing opens, but for a cut-out or a thermostat that only watches."""
    text = KEPT.format(second=second).replace("B1: {kind: thermostat", "B1: {kind: thermostat, purpose: heating")
    questions = [one for one in open_questions(SLUG, design(text)) if one.subjects[0] == "E1"]
    assert [one.subjects[1] for one in questions] == (["B1"] if asked else [])
    assert all("B1" in one.missing for one in questions)


BY_RELAY = ["X0:N>E1:2", "X0:L>V1:1", "V1:2>E1:1", "N1:P+>V1:A1", "N1:P->V1:A2", "X0:L>N1:L", "X0:N>N1:N"]


@pytest.mark.parametrize(
    ("ends", "rated", "told", "asked"),
    [
        (BY_RELAY, "230 V AC", ("E1", "V1"), ()),
        (["X0:L>E1:1", "X0:N>E1:2"], "230 V AC", (), ("E1",)),
        (["X0:L>E1:1", "X0:N>E1:2"], "36 V AC", (), ()),
        (BY_RELAY, "36 V AC", (), ("E1", "V1")),
    ],
)
def test_a_heater_without_a_cut_out(ends: list[str], rated: str, told: tuple[str, ...], asked: tuple[str, ...]) -> None:
    """IEC 60204-1 and NFPA 79, 7.4: what can get too hot is watched. A semiconductor relay fails closed: V1 is what
    sticks, and F1 guards another part. One that nothing opens may limit itself, which is asked above extra-low
    voltage, 50 V AC (IEC 61140)."""
    text = heated(*ends, cut_out="protects: V1").replace("rated: 230 V AC 500 W", f"rated: {rated} 500 W")
    machine = design(text)
    assert [one.subjects for one in fired(SLUG, machine) if one.subjects[0] == "E1"] == ([told] if told else [])
    questions = [one.subjects for one in open_questions(SLUG, machine) if one.subjects[0] == "E1"]
    assert questions == ([asked] if asked else [])


def test_two_controllers_in_series_may_watch_each_other() -> None:
    second = "  N2: {kind: temperature-controller, supply: 230 V AC 5 W, outputs: {13-14: relay}}\n  K1:"
    ends = [*BY_RELAY[:1], "X0:L>K1:1", "K1:2>V1:1", *BY_RELAY[2:], "X0:L>N2:L", "X0:N>N2:N", "X0:L>N2:13"]
    text = heated(*ends, "N2:14>K1:A1", "K1:A2>X0:N", cut_out="protects: V1").replace("  K1:", second)
    assert "E1" not in [one.subjects[0] for one in fired(SLUG, design(text))]
    assert "E1" in [one.subjects[0] for one in open_questions(SLUG, design(text))]


#: A braking resistor behind its inverter, with the contact of its cut-out where the case says, and whether it glows on.
BRAKED = """mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 1 kA}}
states: {{run: {{M1: run}}, idle: {{M1: hold}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  F1: {{kind: thermal-cut-out, contacts: {{11-12: NC}}, protects: R1}}
  K1: {{kind: contactor, poles: 3, coil: 24 V DC 3 W}}
  A1: {{kind: controller, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 100 mA}}, inputs: {{I1: sink}},
       outputs: {{Q1: pnp}}, common: 0V}}
  T1: {{kind: inverter, supply: 380..480 V AC, rated: 750 W, signals: 24 V DC, braking: true, metal: false,
       sto: [STO1-SG1], inputs: [RUN-COM], functions: {{RUN: run}}}}
  M1: {{kind: motor, voltage: 400 V AC, rated_power: 550 W, metal: false}}
  R1: {{kind: braking-resistor, resistance: 100 ohm, power: 200 W}}
  X5: {{kind: terminals, points: 4, bridged: [1-2, 3-4]}}
wires:
{lines}
"""
_ALWAYS = (
    "X0:L1>G1:L X0:N>G1:N G1:V+>A1:24V A1:0V>G1:V- T1:COM>G1:V- T1:SG1>G1:V- T1:U>M1:U T1:V>M1:V T1:W>M1:W "
    "X0:L1>K1:1 X0:L2>K1:3 X0:L3>K1:5 K1:2>T1:L1 K1:4>T1:L2 K1:6>T1:L3 K1:A2>G1:V-"
)
_AT_THE_DRIVE = "T1:R1>R1:R1 T1:R2>R1:R2"


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        (f"{_AT_THE_DRIVE} A1:Q1>T1:RUN G1:V+>T1:STO1 G1:V+>F1:11 F1:12>K1:A1", False),
        (f"{_AT_THE_DRIVE} A1:Q1>F1:11 F1:12>T1:RUN G1:V+>T1:STO1 G1:V+>K1:A1", True),
        (f"{_AT_THE_DRIVE} A1:Q1>T1:RUN G1:V+>F1:11 F1:12>T1:STO1 G1:V+>K1:A1", True),
        (f"{_AT_THE_DRIVE} A1:Q1>T1:RUN G1:V+>T1:STO1 G1:V+>F1:11 F1:12>A1:I1 A1:Q1>K1:A1", True),
        # in the circuit of the resistor itself, and the resistor behind terminals
        ("T1:R1>F1:11 F1:12>R1:R1 T1:R2>R1:R2 A1:Q1>T1:RUN G1:V+>T1:STO1 G1:V+>K1:A1", False),
        ("T1:R1>X5:1 X5:2>R1:R1 T1:R2>X5:3 X5:4>R1:R2 A1:Q1>F1:11 F1:12>T1:RUN G1:V+>T1:STO1 G1:V+>K1:A1", True),
    ],
)
def test_a_braking_resistor_is_parted_from_the_bus_or_the_drive_from_its_feed(ends: str, *, told: bool) -> None:
    """The chopper's transistor fails closed: R1 then stands on the bus for as long as the drive has mains."""
    pairs = [pair.split(">") for pair in f"{_ALWAYS} {ends}".split()]
    lines = "\n".join(f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(pairs))
    plan = design(BRAKED.format(lines=lines))
    assert [one.subjects for one in fired(SLUG, plan)] == ([("F1", "R1")] if told else [])
    assert open_questions(SLUG, plan) == []
    assert all(one.summary.endswith("stays fed, in every state") for one in fired(SLUG, plan))
