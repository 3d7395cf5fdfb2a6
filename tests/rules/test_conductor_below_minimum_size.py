"""A conductor is thinner than table 5 of IEC 60204-1 or 12.6 of NFPA 79 allow for its place and use."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "conductor-below-minimum-size"


def single(size: str, at: str, load: str = "lamp, rated: 24 V DC 20 mA", conductor_class: str = "5") -> str:
    """A supply and one load in a place, on single wires of a size."""
    ends = ("X1", "X2") if load.startswith("lamp") else ("1", "2")
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A}}
  H1: {{kind: {load}, at: {at}}}
wires:
  - {{wire: 1, from: G1:V+, to: H1:{ends[0]}, size: {size}, length: 1 m, conductor_class: {conductor_class}}}
  - {{wire: 2, from: G1:V-, to: H1:{ends[1]}, size: 16 mm2, length: 1 m, conductor_class: 5}}
"""


def cable(size: str, cores: int, at: str = "machine", shield: str = "") -> str:
    """A limit switch on a cable of so many cores."""
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A}}
  A1: {{kind: io-card, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 50 mA}},
       inputs: {{I1: sink}}, common: 0V}}
  B1: {{kind: limit-switch, at: {at}, contacts: {{11-12: NC}}}}
  XPE: {{kind: earth-bar, points: 4}}
wires:
  - {{wire: 1, from: G1:V+, to: A1:24V, size: 1 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: A1:0V, size: 1 mm2, length: 1 m}}
cables:
  - {{cable: C1, cores: {cores}, size: {size}, length: 2 m, conductor_class: 5,
     join: {{1: ["G1:V+", "B1:11"], 2: ["B1:12", "A1:I1"]}}{shield}}}
"""


HEATER = "heater, rated: 24 V DC 20 W, metal: false"

# IEC 60204-1:2016 table 5, single flexible (class 5) and rigid (class 2) conductors. Power in the enclosure and single
# power conductors on the machine read in one public source, the rest from memory.
TABLE_5 = [
    ("cabinet", HEATER, "5", "0.75 mm2", "0.5 mm2"),
    ("machine", HEATER, "5", "1 mm2", "0.75 mm2"),
    ("machine", HEATER, "2", "1.5 mm2", "1 mm2"),
    ("cabinet", "lamp, rated: 24 V DC 20 mA", "5", "0.25 mm2", "0.14 mm2"),  # 0.2 mm2; 0.2 is no size of IEC 60228
    ("machine", "lamp, rated: 24 V DC 20 mA", "5", "1 mm2", "0.75 mm2"),
]


@pytest.mark.parametrize(("at", "load", "conductor_class", "enough", "too_thin"), TABLE_5)
def test_the_limit_is_table_5(at: str, load: str, conductor_class: str, enough: str, too_thin: str) -> None:
    assert fired(SLUG, design(single(enough, at, load, conductor_class))) == []
    [finding] = fired(SLUG, design(single(too_thin, at, load, conductor_class)))
    assert finding.subjects == ("1",)
    assert finding.limit is not None
    assert "table 5" in finding.limit.source.clause


# The same table, control circuits on the machine: two cores 0.5 mm2, two shielded 0.2 mm2, three and more 0.2 mm2.
@pytest.mark.parametrize(
    ("cores", "shield", "enough", "too_thin"),
    [
        (2, "", "0.5 mm2", "0.34 mm2"),
        (2, ", shield: {ends: [XPE:1]}", "0.25 mm2", "0.14 mm2"),
        (4, "", "0.25 mm2", "0.14 mm2"),
    ],
)
def test_cores_of_a_cable_may_be_thinner(cores: int, shield: str, enough: str, too_thin: str) -> None:
    assert fired(SLUG, design(cable(enough, cores, shield=shield))) == []
    [finding] = fired(SLUG, design(cable(too_thin, cores, shield=shield)))
    assert finding.subjects == ("C1.1", "C1.2")


# NFPA 79:2021 12.6: electronic circuits on the machine 30 AWG in a cable (from memory), control in the enclosure
# 18 AWG (one source), single power conductors on the machine 14 AWG (from memory).
def test_north_american_sizes() -> None:
    assert fired(SLUG, design(cable("30 AWG", 4), "na")) == []
    assert [f.subjects for f in fired(SLUG, design(single("20 AWG", "cabinet"), "na"))] == [("1",)]
    assert fired(SLUG, design(single("18 AWG", "cabinet"), "na")) == []
    assert [f.subjects for f in fired(SLUG, design(single("16 AWG", "machine", HEATER), "na"))] == [("1",)]
    assert fired(SLUG, design(single("14 AWG", "machine", HEATER), "na")) == []


def test_it_points_at_the_wire() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A}
  H1: {kind: lamp, at: machine, rated: 24 V DC 20 mA}
wire_types:
  control: {size: 1 mm2, conductor_class: 5, length: 2 m}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, type: control}
  - {wire: 2, from: G1:V-, to: H1:X2, type: control, size: 0.5 mm2}   #! conductor-below-minimum-size
""")


def test_it_points_at_the_wire_type_that_all_its_wires_share() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A}
  H1: {kind: lamp, at: machine, rated: 24 V DC 20 mA}
wire_types:
  control: {size: 0.5 mm2, conductor_class: 5, length: 2 m}   #! conductor-below-minimum-size
wires:
  - {wire: 1, from: G1:V+, to: H1:X1, type: control}
  - {wire: 2, from: G1:V-, to: H1:X2, type: control}
""")


def test_a_lamp_on_the_rail_of_the_motors_is_a_control_circuit() -> None:
    """0.5 mm2 is enough for control in the enclosure (table 5: 0.2) and too thin for power (0.75)."""
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 3 A, overload: {mode: constant-current, limit: 110 %}}
  F1: {kind: fuse, rating: 2 A, class: T}
  H1: {kind: lamp, rated: 24 V DC 20 mA}
  E1: {kind: heater, at: cabinet, rated: 24 V DC 20 W, metal: false}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 0.75 mm2, length: 1 m}
  - {wire: 2, from: F1:2, to: H1:X1, size: 0.5 mm2, length: 1 m}
  - {wire: 3, from: H1:X2, to: G1:V-, size: 0.5 mm2, length: 1 m}
  - {wire: 4, from: G1:V+, to: E1:1, size: 0.75 mm2, length: 1 m}
  - {wire: 5, from: E1:2, to: G1:V-, size: 0.5 mm2, length: 1 m}   #! conductor-below-minimum-size
""")


def test_the_class_is_asked_for_where_it_decides() -> None:
    """1 mm2 of a power circuit on the machine is enough when flexible and too thin when rigid (1.5 mm2)."""
    body = single("1 mm2", "machine", HEATER).replace(", conductor_class: 5}\n  - {wire: 2", "}\n  - {wire: 2")
    assert fired(SLUG, design(body)) == []
    [item] = open_questions(SLUG, design(body))
    assert item.subjects == ("1",)
    assert "`conductor_class" in item.missing


SIZES = ["0.14 mm2", "0.25 mm2", "0.34 mm2", "0.5 mm2", "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2"]


@given(st.integers(0, 6), st.integers(1, 7), st.sampled_from(["cabinet", "machine"]), st.booleans())
def test_thicker_is_never_worse_and_the_machine_never_milder(n: int, more: int, at: str, power: bool) -> None:
    load = HEATER if power else "lamp, rated: 24 V DC 20 mA"
    thin, thick = SIZES[n], SIZES[min(n + more, 7)]
    assert len(fired(SLUG, design(single(thick, at, load)))) <= len(fired(SLUG, design(single(thin, at, load))))
    inside, outside = (len(fired(SLUG, design(single(thin, place, load)))) for place in ("cabinet", "machine"))
    assert inside <= outside


def test_what_it_says() -> None:
    """IEC 60204-1 table 5: a flexible power conductor in the enclosure has 0.75 mm2."""
    [finding] = fired(SLUG, design(single("0.5 mm2", "cabinet", HEATER)))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.75, "mm2", "IEC 60204-1 table 5"),
        number=("fitted", 0.5 * 1e-6, "m2"),
        mend="0.75 mm2 or thicker",
    )


@pytest.mark.parametrize(("size", "gauge"), [("30 AWG", []), ("32 AWG", ["30 AWG"])])
def test_the_supply_of_a_sensor_is_a_circuit_of_electronics_in_north_america(size: str, gauge: list[str]) -> None:
    """NFPA 79 12.6.4: 30 AWG in cables on the machine; a control circuit would want 18 AWG (12.6.2)."""
    body = f"""
parts:
  G1: {{kind: supply, input: 120 V AC, output: 24 V DC, rated: 1 A}}
  B1: {{kind: sensor, output: pnp NO, supply: 10..30 V DC}}
cables:
  - {{cable: C1, cores: 2, size: {size}, length: 2 m, join: {{1: ["G1:V+", "B1:1"], 2: ["G1:V-", "B1:3"]}}}}
"""
    found = fired(SLUG, design(body, "na"))
    assert [one.limit.note.split(";")[0] for one in found[:1] if one.limit] == gauge
