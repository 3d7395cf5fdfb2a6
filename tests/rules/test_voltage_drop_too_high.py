"""Drop from the source to a load and back, against published examples and hand calculation."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, folded_under, open_questions
from says import assert_says

from wiring.rules.voltage_drop_too_high import requirements

SLUG = "voltage-drop-too-high"


def dc(length: str, size: str = "1.5 mm2", amps: float = 5.0, ambient_c: float = 20.0) -> str:
    """A load of constant current at 24 V, behind a pair of conductors."""
    return f"""
site: {{ambient: {ambient_c} °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}}
  E1: {{kind: load, rated: 24 V DC {24 * amps} W, behaviour: current}}
wires:
  - {{wire: 1, from: G1:V+, to: E1:1, size: {size}, length: {length}, conductor_class: 5}}
  - {{wire: 2, from: G1:V-, to: E1:2, size: {size}, length: {length}, conductor_class: 5}}
"""


def ac(volts: float, amps: float, size: str, length: str, ambient_c: float, conductor_class: int) -> str:
    """A load of constant current at the mains."""
    return f"""
site: {{ambient: {ambient_c} °C}}
mains: {{inlet: X0, system: single-phase, voltage: {volts} V, upstream: {{kind: breaker, rating: 20 A, curve: B}}}}
parts:
  X0: {{kind: inlet}}
  E1: {{kind: load, rated: {volts} V AC {volts * amps} W, behaviour: current}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1, size: {size}, length: {length}, conductor_class: {conductor_class}}}
  - {{wire: 2, from: X0:N, to: E1:2, size: {size}, length: {length}, conductor_class: {conductor_class}}}
"""


def test_published_single_phase_branch_on_10_awg() -> None:
    """120 V, 20 A, 100 ft one way on 10 AWG: 4.97 V, 4.1 % (Voltage Drop Calculations Explained, exam tutorial on
    the circular-mil method; its K of 12.9 is copper at 75 °C, so the air is set to 75 °C here)."""
    drop = design(ac(120, 20, "10 AWG", "100 ft", 75, 2), "na").drops["E1"]
    assert drop.drop_v == pytest.approx(4.97, rel=0.01)
    assert drop.percent == pytest.approx(4.1, rel=0.02)


def test_published_single_phase_branch_on_8_awg() -> None:
    """The same on 8 AWG: 3.1 V, 2.6 %."""
    drop = design(ac(120, 20, "8 AWG", "100 ft", 75, 2), "na").drops["E1"]
    assert drop.drop_v == pytest.approx(3.1, rel=0.02)


def test_published_drop_of_2_5_mm2() -> None:
    """18 mV/A/m, 16 A, 18 m: 5.18 V (City and Guilds 2391 lesson; BS 7671 table 4D2B, copper at 70 °C, class 2)."""
    drop = design(ac(230, 16, "2.5 mm2", "18 m", 70, 2)).drops["E1"]
    assert drop.drop_v == pytest.approx(5.18, rel=0.02)


# IEC 60228: 13.3 ohm/km for 1.5 mm2 of class 5 at 20 °C. 5 % of 24 V are 1.2 V (IEC 60204-1 12.5, from memory):
# at 5 A over two conductors that is 1.2 / (2 * 5 * 0.0133) = 9.02 m.
def test_the_limit_is_five_percent() -> None:
    assert fired(SLUG, design(dc("8.95 m"))) == []
    [finding] = fired(SLUG, design(dc("9.1 m")))
    assert finding.limit is not None
    assert finding.limit.value == 5.0
    assert finding.limit.source.clause == "12.5"
    assert finding.numbers[0].value == pytest.approx(2 * 5 * 0.0133 * 9.1, rel=1e-3)


def test_logic_keeps_three_percent() -> None:
    """Common practice, no source: 3 % of 5 V are 0.15 V; 1 A over 2 * 5.64 m of 1.5 mm2 loses that."""

    def card(length: str) -> str:
        return f"""
site: {{ambient: 20 °C}}
parts:
  G1: {{kind: supply, input: 230 V AC, output: 5 V DC, rated: 4 A}}
  A1: {{kind: io-card, supply: {{between: [5V, 0V], voltage: 5 V DC, current: 1 A}}, outputs: {{P1: push-pull 5 V}}}}
wires:
  - {{wire: 1, from: G1:V+, to: "A1:5V", size: 1.5 mm2, length: {length}, conductor_class: 5}}
  - {{wire: 2, from: G1:V-, to: "A1:0V", size: 1.5 mm2, length: {length}, conductor_class: 5}}
"""

    assert fired(SLUG, design(card("5.2 m"))) == []
    [finding] = fired(SLUG, design(card("6.2 m")))
    assert finding.limit is not None
    assert finding.limit.value == 3.0


def test_loads_behind_one_thin_conductor_make_one_finding() -> None:
    """20 m of 1 mm2 in front of three loads of 1 A: 3 A * 19.5 ohm/km * 20 m = 1.17 V, and 6 mm2 back loses 0.2 V."""
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, overload: {mode: hiccup, limit: 110 %}}
  X1: {kind: terminals, points: 4, bridged: [1-4]}
  E1: {kind: load, rated: 24 V DC 24 W, behaviour: current}
  E2: {kind: load, rated: 24 V DC 24 W, behaviour: current}
  E3: {kind: load, rated: 24 V DC 24 W, behaviour: current}
wires:
  - {wire: 1, from: G1:V+, to: X1:1, size: 1 mm2, length: 20 m, colour: DBU}   #! voltage-drop-too-high
  - {wire: 2, from: X1:2, to: E1:1, size: 1 mm2, length: 0.3 m, colour: DBU}
  - {wire: 3, from: X1:3, to: E2:1, size: 1 mm2, length: 0.3 m, colour: DBU}
  - {wire: 4, from: X1:4, to: E3:1, size: 1 mm2, length: 0.3 m, colour: DBU}
  - {wire: 5, through: [G1:V-, E1:2, E2:2, E3:2], size: 6 mm2, length: 10 m, colour: DBU}
""")


def test_a_branch_that_is_switched_off_loses_nothing() -> None:
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
  S1: {kind: push-button, contacts: {13-14: NO}}
  E1: {kind: load, rated: 24 V DC 120 W, behaviour: resistance}
wires:
  - {wire: 1, from: G1:V+, to: S1:13, size: 1.5 mm2, length: 50 m}
  - {wire: 2, from: S1:14, to: E1:1, size: 1.5 mm2, length: 50 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 50 m}
"""
    assert fired(SLUG, design(body)) == []


def test_an_overloaded_conductor_is_told_by_its_own_rule() -> None:
    assert "conductor-overloaded" in folded_under(SLUG, design(dc("4 m", amps=20.0)))


def test_a_conductor_without_length_is_asked_for() -> None:
    body = dc("30 m").replace(", length: 30 m, conductor_class: 5}\n  - {wire: 2", "}\n  - {wire: 2")
    assert fired(SLUG, design(body)) == []
    [item] = open_questions(SLUG, design(body))
    assert item.subjects == ("1",)
    assert "`length`" in item.missing


def test_the_size_it_offers_is_enough() -> None:
    """Wire 1 loses 0.0133 * 12 * 5 = 0.8 V and so does wire 2; with wire 1 at 4 mm2 (4.95 ohm/km) 1.1 V are lost."""
    [finding] = fired(SLUG, design(dc("12 m")))
    offered = finding.mend[0].split("Make ")[1]
    name, size = offered.split(" of ", 1)
    size = size.split(",")[0]
    body = dc("12 m").splitlines()
    mended = [
        line.replace("size: 1.5 mm2", f"size: {size}") if line.startswith(f"  - {{wire: {name},") else line
        for line in body
    ]
    assert fired(SLUG, design("\n".join(mended))) == []


@given(st.floats(0.5, 40.0), st.floats(1.0, 3.0), st.sampled_from([("1 mm2", "1.5 mm2"), ("1.5 mm2", "4 mm2")]))
def test_longer_and_thinner_lose_more(length_m: float, factor: float, sizes: tuple[str, str]) -> None:
    def lost(metres: float, size: str) -> float:
        return design(dc(f"{metres:.4f} m", size, amps=2.0)).drops["E1"].drop_v

    assert lost(length_m * factor, sizes[0]) >= lost(length_m, sizes[0]) * (1 - 1e-3)
    assert lost(length_m, sizes[1]) < lost(length_m, sizes[0])


def test_what_it_says() -> None:
    """IEC 60204-1 12.5: 5 %. IEC 60228: 13.3 ohm/km, there and back over 9.1 m at 5 A."""
    [finding] = fired(SLUG, design(dc("9.1 m")))
    assert_says(
        finding,
        "CAUTION",
        limit=(5.0, "%", "IEC 60204-1 12.5"),
        number=("drop", 2 * 9.1 * 5 * 0.0133, "V"),
        mend="Make 2 of 2.5 mm2",
    )


def test_the_least_areas_leave_what_a_breaker_takes() -> None:
    """By hand: 5 A through a breaker of 20 mohm lose 0.1 V of the 1.2 V (IEC 60204-1 12.5); two conductors of 1.5 mm2
    and 9.1 m that lose 1.2103 V are to lose 1.1 V."""
    breaker = "parts:\n  F1: {kind: breaker, rating: 10 A, curve: C, resistance: 20 mohm}"
    body = dc("9.1 m").replace("parts:", breaker).replace("from: G1:V+, to: E1:1", "from: F1:2, to: E1:1")
    body += "  - {wire: 3, from: G1:V+, to: F1:1, size: 50 mm2, length: 1 mm}\n"
    least = {one.item: one.least for one in requirements(design(body))}
    assert least["1"] == pytest.approx(least["2"], rel=1e-6)
    assert least["1"] == pytest.approx(1.5 * (2 * 5 * 0.0133 * 9.1) / (1.2 - 5 * 0.020), rel=2e-3)


@pytest.mark.parametrize(("loads", "tail"), [(1, ""), (7, "E6; E7"), (8, "E7 …")])
def test_up_to_six_of_the_others_are_named(loads: int, tail: str) -> None:
    """All loads lose the same 2 * 19.5 ohm/km * 20 m * 3 A = 2.3 V (IEC 60228, 1 mm2 of class 5) but for the wire from
    one to the next, so that the last of the chain loses most and the others come behind it by their names."""
    names = [f"E{n}" for n in range(1, loads + 1)]
    parts = "".join(f"  {name}: {{kind: load, rated: 24 V DC {72 / loads} W, behaviour: current}}\n" for name in names)
    ends = [", ".join(f"{name}:{end}" for name in names) for end in (1, 2)]
    summary = next(
        finding.summary
        for finding in fired(
            SLUG,
            design(f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  X1: {{kind: terminals, points: 2, bridged: [1-2]}}
{parts}wires:
  - {{wire: 1, from: G1:V+, to: X1:1, size: 1 mm2, length: 40 m}}
  - {{wire: 2, through: [X1:2, {ends[0]}], size: 6 mm2, length: 0.1 m}}
  - {{wire: 3, through: [G1:V-, {ends[1]}], size: 6 mm2, length: 0.1 m}}
"""),
        )
    )
    others = [name for name in names if name != f"E{loads}"]
    assert summary.startswith(f"E{loads} loses ")
    also = f"; {', '.join(others[:6])}{' …' if loads > 7 else ''} lose too much as well" if others else ""
    assert summary.endswith(f"most of it in 1{also}")


def test_the_size_serves_every_load_behind_the_conductor() -> None:
    """5 V, IEC 60228 class 5. The card takes 5 W, at 4.69 V 1.066 A, so that wire 1 loses 0.0133 * 10.5 * 2.066 A =
    0.289 V. The card (3 %: 0.15 V, common practice) loses 0.02 V more and asks for 0.13 V there, 4 mm2 (0.107 V). E1
    (5 %: 0.25 V, IEC 60204-1 12.5) is less far off, yet 0.17 V of its own leave 0.08 V: 6 mm2 (3.3 ohm/km, 0.072 V)."""
    [finding] = fired(
        SLUG,
        design("""
site: {ambient: 20 °C}
parts:
  G1: {kind: supply, input: 230 V AC, output: 5 V DC, rated: 4 A}
  X1: {kind: terminals, points: 3, bridged: [1-3]}
  A1: {kind: io-card, supply: {between: [5V, 0V], voltage: 5 V DC, current: 1 A}, outputs: {P1: push-pull 5 V}}
  E1: {kind: load, rated: 5 V DC 5 W, behaviour: current}
wires:
  - {wire: 1, from: G1:V+, to: X1:1, size: 1.5 mm2, length: 10.5 m, conductor_class: 5}
  - {wire: 2, from: X1:2, to: "A1:5V", size: 1.5 mm2, length: 0.75 m, conductor_class: 5}
  - {wire: 3, from: G1:V-, to: "A1:0V", size: 1.5 mm2, length: 0.75 m, conductor_class: 5}
  - {wire: 4, from: X1:3, to: E1:1, size: 1.5 mm2, length: 6.4 m, conductor_class: 5}
  - {wire: 5, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 6.4 m, conductor_class: 5}
"""),
    )
    assert finding.subjects == ("1", "A1", "E1")
    assert finding.mend[0].startswith("Make 1 of 6 mm2,")
    numbers = {number.name: number.value for number in finding.numbers}
    assert numbers["in"] == pytest.approx(0.0133 * 10.5 * 2.066, rel=1e-3)
    assert numbers["reaches it"] == pytest.approx(5.0 - 0.0133 * (2.066 * 10.5 + 1.066 * 2 * 0.75), rel=1e-3)
