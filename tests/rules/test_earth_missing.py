"""A metal part reaches the protective earth of the inlet through conductors and earth points alone."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal
from wiring.rules.run import judge

SLUG = "earth-missing"

# IEC 60204-1:2016, 8.2.1 and 8.2.3 (from memory): every exposed conductive part is bonded; no switching device and no
# overcurrent device in a protective conductor; a conduit, a cable sheath or a shield is no protective conductor.


def body(*wires: str, parts: str = "", metal: str = "  MP: {kind: metalwork}\n", cables: str = "") -> str:
    lines = "".join(f"  - {wire}\n" for wire in wires)
    return f"""
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 4}}
{parts}{metal}wires:
  - {{wire: PE1, from: X0:PE, to: XPE:1, size: 2.5 mm2, colour: GNYE}}
{lines}{cables}"""


MARKED = body(metal="  MP: {kind: metalwork}   #! earth-missing\n")
DIRECT = "{wire: PE2, from: XPE:2, to: MP:1, size: 2.5 mm2, colour: GNYE}"


def test_the_finding_points_at_the_part() -> None:
    assert_marked(MARKED)


def test_its_own_conductor_to_the_bar_earths_it() -> None:
    assert_marked(body(DIRECT))


@pytest.mark.parametrize(
    ("part", "terminals"),
    [
        ("Q9: {kind: disconnector, poles: 1}", ("1", "2")),
        ("F9: {kind: fuse, rating: 10 A, class: gG}", ("1", "2")),
        ("F9: {kind: breaker, rating: 10 A, curve: C}", ("1", "2")),
        ("K9: {kind: contactor, poles: 1, rated: 9 A, coil: 24 V DC 3 W}", ("1", "2")),
        ("S9: {kind: selector, contacts: {13-14: NO}}", ("13", "14")),
    ],
)
def test_a_way_that_can_be_opened_does_not_count(part: str, terminals: tuple[str, str]) -> None:
    name = part.split(":")[0]
    found = design(
        body(
            f"{{wire: PE2, from: XPE:2, to: {name}:{terminals[0]}, size: 2.5 mm2, colour: GNYE}}",
            f"{{wire: PE3, from: {name}:{terminals[1]}, to: MP:1, size: 2.5 mm2, colour: GNYE}}",
            parts=f"  {part}\n",
        )
    )
    [lost] = [f for f in judge(found).findings if f.rule == SLUG and "MP" in f.subjects]
    assert [root.rule for root in lost.explained_by] == ["earth-conductor-switched"]
    [told] = [f for f in fired("earth-conductor-switched", found) if name in f.subjects]
    assert "MP" in told.subjects
    assert told.signal is Signal.DANGER


def test_a_shield_does_not_count() -> None:
    shield = "cables:\n  - {cable: C1, cores: 2, size: 1 mm2, join: {}, shield: {ends: [XPE:2, MP:1]}}\n"
    found = design(body(cables=shield))
    [finding] = fired(SLUG, found)
    assert finding.subjects == ("MP",)
    assert finding.summary.endswith("its protective conductor is missing; a shield is none")


def test_the_zero_volts_of_a_rail_does_not_count() -> None:
    """A return that is bonded at the bar earths no metal: the way leads through a terminal that is no earth point."""
    supply = "  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, class: II}\n"
    found = design(
        body(
            "{wire: 8, from: G1:V-, to: XPE:3, size: 2.5 mm2}",
            "{wire: 9, from: G1:V-, to: MP:1, size: 2.5 mm2}",
            parts=supply,
        )
    )
    assert [f.subjects for f in fired(SLUG, found)] == [("MP",)]


def test_a_second_bar_counts_when_it_is_earthed_itself() -> None:
    second = "  XP2: {kind: earth-bar, points: 2}\n"
    on = ("{wire: PE2, from: XPE:2, to: XP2:1, size: 2.5 mm2}", "{wire: PE3, from: XP2:2, to: MP:1, size: 2.5 mm2}")
    assert fired(SLUG, design(body(*on, parts=second))) == []
    assert fired(SLUG, design(body(on[1], parts=second)))


def test_a_bar_that_is_cut_off_is_told_once_with_what_hangs_on_it() -> None:
    second = "  XP2: {kind: earth-bar, points: 4}\n  BED: {kind: metalwork}\n"
    on = ("{wire: PE2, from: XP2:1, to: BED:1, size: 4 mm2}", "{wire: PE3, from: XP2:2, to: MP:1, size: 4 mm2}")
    [finding] = fired(SLUG, design(body(*on, parts=second)))
    assert finding.subjects == ("XP2", "BED", "MP")
    assert finding.signal is Signal.DANGER


def test_a_bar_that_shields_alone_hold_is_told() -> None:
    """IEC 60204-1:2016, 8.2.3 (from memory): a cable sheath or screen is no protective conductor."""
    bar = "  XSH: {kind: earth-bar, points: 4}\n"
    shield = "cables:\n  - {cable: C1, cores: 2, size: 1 mm2, join: {}, shield: {ends: [XSH:2, MP:1]}}\n"
    [finding] = fired(SLUG, design(body(DIRECT, parts=bar, cables=shield)))
    assert (finding.subjects, finding.signal) == (("XSH",), Signal.CAUTION)
    joined = "{wire: PE9, from: XSH:1, to: XPE:3, size: 4 mm2}"
    assert fired(SLUG, design(body(DIRECT, joined, parts=bar, cables=shield))) == []


def test_a_bar_that_nothing_is_joined_to_is_a_spare_one() -> None:
    assert fired(SLUG, design(body(DIRECT, parts="  XSH: {kind: earth-bar, points: 4}\n"))) == []


def test_a_body_of_class_two_needs_none() -> None:
    """Class II equipment has no protective conductor terminal (IEC 61140, 7.4, from memory)."""
    supply = "  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, class: II}\n"
    assert fired(SLUG, design(body(DIRECT, parts=supply))) == []
    assert fired(SLUG, design(body(DIRECT, parts=supply.replace(", class: II", ""))))


def test_a_plan_without_an_inlet_is_not_judged() -> None:
    [item] = open_questions(SLUG, design("parts:\n  MP: {kind: metalwork}\n  BED: {kind: metalwork}\n"))
    assert item.subjects == ("BED", "MP")
    assert "inlet" in item.missing


NAMES = ("MA", "MB", "MC")


@given(st.lists(st.tuples(st.sampled_from(("XPE", *NAMES)), st.sampled_from(NAMES)), max_size=6), st.data())
def test_the_direction_of_a_conductor_and_one_more_of_them_change_nothing_for_the_worse(
    joins: list[tuple[str, str]], data: st.DataObject
) -> None:
    """Reachability by hand: a part is earthed when a chain of joins leads to the bar."""
    metal = "".join(f"  {name}: {{kind: metalwork, points: 9}}\n" for name in NAMES)
    bar = "  XPE: {kind: earth-bar, points: 20}\n"

    def plan(pairs: list[tuple[str, str]]) -> str:
        lines = [
            f"{{wire: W{n}, from: {a}:{2 + n}, to: {b}:{2 + n}, size: 4 mm2}}"
            for n, (a, b) in enumerate(pairs)
            if a != b
        ]
        return body(*lines, metal=metal).replace("  XPE: {kind: earth-bar, points: 4}\n", bar)

    earthed = {"XPE"}
    for _ in NAMES:
        earthed |= {end for a, b in joins if {a, b} & earthed for end in (a, b)}
    expected = {name for name in NAMES if name not in earthed}
    assert {f.subjects[0] for f in fired(SLUG, design(plan(joins)))} == expected
    turned = [(b, a) if data.draw(st.booleans()) else (a, b) for a, b in joins]
    assert {f.subjects[0] for f in fired(SLUG, design(plan(turned)))} == expected


@pytest.mark.parametrize(
    ("material", "metal", "asked"),
    [
        ("painted-steel", "", True),
        ("aluminium", "  BED: {kind: metalwork, at: machine}\n", True),
        ("plastic", "", False),
        ("painted-steel", "  CAB: {kind: metalwork}\n", False),
    ],
)
def test_a_metal_cabinet_that_is_no_part_of_the_plan_is_asked_for(material: str, metal: str, asked: bool) -> None:
    """IEC 60204-1:2016, 8.2.1 (from memory): the cabinet is an exposed conductive part like any other."""
    plan = f"enclosure: {{size: 400 x 500 x 200 mm, material: {material}}}\n" + body(metal=metal).lstrip("\n")
    questions = [item.missing for item in open_questions(SLUG, design(plan))]
    assert any("cabinet" in missing for missing in questions) is asked


@pytest.mark.parametrize(
    ("volts", "signal"),
    [(24, Signal.NOTICE), (30, Signal.NOTICE), (48, Signal.CAUTION), (60, Signal.CAUTION), (72, Signal.DANGER)],
)
def test_the_voltage_that_can_reach_the_metal_decides_how_grave_it_is(volts: int, signal: Signal) -> None:
    """PELV may have 60 V DC where it is dry (IEC 60204-1, 6.4.1); up to 30 V DC hurts nobody (NFPA 70, class 2, from
    memory). A part of which no rail is known, and bare metal, count as what the mains may reach."""
    plan = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 4}}
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 5 A}}
  E1: {{kind: load, rated: {volts} V DC 24 W, metal: true}}
  E2: {{kind: load, rated: 230 V AC 24 W, metal: true}}
wires:
  - {{wire: 1, through: [X0:L, G1:L, "E2:1"]}}
  - {{wire: 2, through: [X0:N, G1:N, "E2:2"]}}
  - {{wire: 3, from: G1:V+, to: "E1:1"}}
  - {{wire: 4, from: G1:V-, to: "E1:2"}}
  - {{wire: PE1, from: X0:PE, to: "XPE:1", colour: GNYE}}
  - {{wire: PE2, from: G1:PE, to: "XPE:2", colour: GNYE}}
"""
    told = {finding.subjects[0]: finding for finding in fired(SLUG, design(plan))}
    assert told["E1"].signal is signal
    assert told["E2"].signal is Signal.DANGER
    assert (told["E1"].harm == told["E2"].harm) is (signal is Signal.DANGER)


def test_what_it_says() -> None:
    """IEC 60204-1 8.2.1; table 1: as thick as the line up to 16 mm2."""
    [finding] = fired(SLUG, design(body()))
    assert_says(finding, "DANGER", mend="(up to 16 mm2)")


def test_what_it_says_of_metal_that_a_fault_makes_live() -> None:
    """IEC 60204-1 8.2.1; the heater stands at the 230 V of the mains."""
    parts = "  E1: {kind: heater, rated: 230 V AC 500 W}\n"
    feed = ("{wire: 1, from: X0:L, to: E1:1}", "{wire: 2, from: X0:N, to: E1:2}")
    text = "mains: {inlet: X0, system: single-phase, voltage: 230 V}" + body(*feed, parts=parts, metal="")
    [finding] = fired(SLUG, design(text))
    assert_says(finding, "DANGER", number=("highest voltage", 230.0, "V"), mend="(up to 16 mm2)")


@pytest.mark.parametrize(("volts", "signal"), [(30, "NOTICE"), (31, "CAUTION"), (60, "CAUTION"), (61, "DANGER")])
def test_the_word_follows_the_voltage_that_may_come_on_the_metal(volts: int, signal: str) -> None:
    """30 V DC hurt nobody (NFPA 70 class 2); 60 V DC end extra-low voltage in dry places (IEC 60204-1 6.4.1)."""
    parts = f"  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 5 A, class: II}}\n"
    parts += f"  E1: {{kind: heater, rated: {volts} V DC 20 W}}\n"
    feed = ("{wire: 1, from: G1:V+, to: E1:1}", "{wire: 2, from: G1:V-, to: E1:2}")
    [finding] = fired(SLUG, design(body(*feed, parts=parts, metal="")))
    assert finding.signal == signal
