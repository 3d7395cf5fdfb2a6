"""Colours that a rulebook binds: IEC 60204-1:2016 13.2.2 and 13.2.3, NFPA 79:2021 13.2.2 and 13.2.3."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal
from wiring.plan.colours import COLOURS

SLUG = "conductor-colour-wrong"


def machine(live: str = "BK", neutral: str = "LBU", earth: str = "GNYE", plus: str = "DBU") -> str:
    """A mains supply with one lamp; every conductor of the colour asked for."""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 6 A, curve: B}}}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 100..240 V AC, output: 24 V DC, rated: 2 A}}
  H1: {{kind: lamp, rated: 24 V DC 20 mA}}
wires:
  - {{wire: L, from: X0:L, to: G1:L, size: 2.5 mm2, colour: {live}, length: 1 m}}
  - {{wire: N, from: X0:N, to: G1:N, size: 2.5 mm2, colour: {neutral}, length: 1 m}}
  - {{wire: E, from: X0:PE, to: G1:PE, size: 2.5 mm2, colour: {earth}, length: 1 m}}
  - {{wire: 1, from: G1:V+, to: H1:X1, size: 1 mm2, colour: {plus}, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: H1:X2, size: 1 mm2, colour: DBU, length: 1 m}}
"""


def told(book: str, **colours: str) -> list[tuple[str, Signal]]:
    return [(finding.subjects[0], finding.signal) for finding in fired(SLUG, design(machine(**colours), book))]


NA_RIGHT = {"neutral": "WH", "plus": "BU"}


def test_right_colours_are_quiet() -> None:
    assert told("iec") == []
    assert told("na", **NA_RIGHT) == []
    assert told("na", **(NA_RIGHT | {"earth": "GN"})) == []  # NFPA 79 13.2.2: green with or without yellow


@pytest.mark.parametrize(
    ("book", "colours", "wire", "signal"),
    [
        ("iec", {"plus": "GNYE"}, "1", Signal.WARNING),  # 60204-1 13.2.2: reserved for the protective conductor
        ("iec", {"plus": "YEGN"}, "1", Signal.WARNING),  # the same two colours named the other way round
        ("iec", {"live": "GNYE"}, "L", Signal.WARNING),
        ("iec", {"earth": "BK"}, "E", Signal.CAUTION),  # 13.2.2
        ("iec", {"earth": "GN"}, "E", Signal.CAUTION),  # green alone is no protective conductor under IEC
        ("iec", {"neutral": "BK"}, "N", Signal.CAUTION),  # 13.2.3
        ("iec", {"live": "LBU"}, "L", Signal.CAUTION),  # 13.2.3: blue where it could be taken for the neutral
        ("na", NA_RIGHT | {"live": "WH"}, "L", Signal.CAUTION),  # NFPA 79 13.2.3
        ("na", NA_RIGHT | {"neutral": "BU"}, "N", Signal.CAUTION),  # 13.2.3
        ("na", NA_RIGHT | {"plus": "GN"}, "1", Signal.WARNING),  # 13.2.2
    ],
)
def test_a_binding_colour_that_is_broken(book: str, colours: dict[str, str], wire: str, signal: Signal) -> None:
    assert told(book, **colours) == [(wire, signal)]


@pytest.mark.parametrize("colours", [{"live": "RD"}, {"live": "BN"}, {"plus": "BK"}, {"plus": "RD"}])
def test_recommended_colours_are_the_builders_choice(colours: dict[str, str]) -> None:
    assert told("iec", **colours) == []


def test_one_wire_type_makes_one_finding_at_the_type() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}
  H1: {kind: lamp, rated: 24 V DC 20 mA}
  H2: {kind: lamp, rated: 24 V DC 20 mA}
wire_types:
  feed: {size: 1 mm2, colour: GNYE, length: 1 m}   #! conductor-colour-wrong
  back: {size: 1 mm2, colour: DBU, length: 1 m}
wires:
  - {wire: 1, through: [G1:V+, H1:X1, H2:X1], type: feed}
  - {wire: 2, through: [G1:V-, H1:X2, H2:X2], type: back}
""")


def test_a_wire_of_a_type_used_for_something_else_is_told_where_it_is() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 6 A, curve: B}}
parts:
  X0: {kind: inlet}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}
  MP: {kind: metalwork}
  XPE: {kind: earth-bar, points: 4}
wire_types:
  line:  {size: 2.5 mm2, colour: BK, length: 1 m}
  earth: {size: 2.5 mm2, colour: GNYE, length: 1 m}
wires:
  - {wire: 1, from: X0:L, to: G1:L, type: line}
  - {wire: 2, from: X0:N, to: G1:N, type: line}   #! conductor-colour-wrong
  - {wire: 3, from: X0:PE, to: XPE:1, type: earth}
  - {wire: 4, from: XPE:2, to: G1:PE, type: earth}
  - {wire: 5, from: XPE:3, to: MP:1, type: earth}
""")


def cable(second: str, first: str = "BN") -> str:
    """A motor on a cable of four cores that are told apart by their colours."""
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 2 A}}
  D1: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: 1 A peak}}
  M1: {{kind: stepper-motor, phase_current: 1 A peak, phase_resistance: 2 ohm, metal: false}}
wires:
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 1.5 mm2, colour: BK, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: D1:V-, size: 1.5 mm2, colour: BK, length: 1 m}}
cables:
  - {{cable: C1, size: 1 mm2, length: 1 m, cores: 4,
     join: {{{first}: ["D1:A+", "M1:A+"], {second}: ["D1:A-", "M1:A-"],
            BK: ["D1:B+", "M1:B+"], GY: ["D1:B-", "M1:B-"]}}}}
"""


def test_a_blue_core_without_a_neutral_in_its_cable_is_free() -> None:
    """IEC 60204-1 13.2.3 (from memory): such a core may serve for anything but protective earth."""
    assert fired(SLUG, design(cable("LBU"))) == []
    [finding] = fired(SLUG, design(cable("GNYE")))
    assert finding.subjects == ("C1.GNYE",)
    assert finding.signal is Signal.WARNING


def test_the_bond_of_a_rail_may_have_any_colour() -> None:
    for colour in ("GNYE", "PK", "DBU"):
        body = machine() + f"  - {{wire: B, from: G1:V-, to: G1:PE, size: 2.5 mm2, colour: {colour}, length: 1 m}}\n"
        assert fired(SLUG, design(body)) == []


def test_missing_colours_are_asked_for_once() -> None:
    body = machine().replace("colour: BK, ", "").replace("colour: LBU, ", "")
    assert fired(SLUG, design(body)) == []
    [item] = open_questions(SLUG, design(body))
    assert item.subjects == ("L", "N")
    assert "`colour`" in item.missing


@given(st.sampled_from(sorted(COLOURS)), st.sampled_from(["iec", "na"]))
def test_no_colour_is_right_for_earth_and_for_a_live_conductor(colour: str, book: str) -> None:
    right = {} if book == "iec" else NA_RIGHT
    as_live = "L" in [row[0] for row in told(book, **(right | {"live": colour}))]
    as_earth = "E" in [row[0] for row in told(book, **(right | {"earth": colour}))]
    assert as_live or as_earth


def test_what_it_says() -> None:
    """IEC 60204-1 13.2.2 keeps green-yellow for the protective conductor; 13.2.4 advises dark blue here."""
    [finding] = fired(SLUG, design(machine(plus="GNYE")))
    assert_says(finding, "WARNING", mend="Make 1 dark blue (DBU)")


@pytest.mark.parametrize(("wire", "told"), [("1", True), ("2", False)])
def test_white_is_for_the_grounded_side_of_a_control_circuit(wire: str, told: bool) -> None:
    """NFPA 79, 13.2.3 and NFPA 70, 200.7 (public): white marks a grounded conductor."""
    text = """
mains: {inlet: X0, system: single-phase, voltage: 120 V}
parts:
  X0: {kind: inlet}
  T1: {kind: transformer, primary: 120 V AC, secondary: 24 V AC, rated: 63 VA}
  H1: {kind: lamp, rated: 24 V AC 2 W}
  X2: {kind: terminals, points: 3, bridged: [1-3]}
  XPE: {kind: earth-bar, points: 3}
wires:
  - {wire: a, from: X0:L, to: T1:1.1, colour: BK}
  - {wire: b, from: X0:N, to: T1:1.2, colour: WH}
  - {wire: 1, from: T1:2.1, to: H1:X1, colour: RD}
  - {wire: 2, from: H1:X2, to: X2:1, colour: WH}
  - {wire: 3, from: T1:2.2, to: X2:2, colour: WH}
  - {wire: g, from: X2:3, to: XPE:1, colour: GN}
  - {wire: p, from: X0:PE, to: XPE:2, colour: GN}
""".replace(f"wire: {wire}, ", f"wire: {wire}, COLOUR")
    lines = [line.replace("COLOUR", "").replace("RD", "WH") if "COLOUR" in line else line for line in text.splitlines()]
    found = fired("conductor-colour-wrong", design("\n".join(lines) + "\n", "na"))
    assert [one.subjects for one in found] == ([(wire,)] if told else [])


def transformer(colour: str, bond: str = "  - {wire: B, from: T1:2.2, to: T1:PE, size: 16 AWG, colour: GN}\n") -> str:
    """A lamp on a control transformer, its return of the colour asked for and grounded by `bond`."""
    return f"""
parts:
  T1: {{kind: transformer, primary: 480 V AC, secondary: 120 V AC, rated: 100 VA}}
  H1: {{kind: lamp, rated: 120 V AC 20 mA}}
wires:
  - {{wire: 1, from: T1:2.1, to: H1:X1, size: 16 AWG, colour: RD, length: 1 m}}
  - {{wire: 2, from: T1:2.2, to: H1:X2, size: 16 AWG, colour: {colour}, length: 1 m}}
{bond}"""


@pytest.mark.parametrize(
    ("book", "colour", "grounded", "wrong"),
    [
        ("na", "RD", True, ["2"]),  # NFPA 79, 13.2.3: the grounded conductor of AC is white or gray
        ("na", "BU", True, ["2"]),
        ("na", "WH", True, []),
        ("na", "GY", True, []),
        ("na", "RD", False, []),  # red is right for AC control that is not grounded: 13.2.4
        ("iec", "RD", True, []),  # IEC 60204-1, 13.2.3 binds the neutral alone
    ],
)
def test_the_grounded_side_of_a_control_transformer(book: str, colour: str, grounded: bool, wrong: list[str]) -> None:
    text = transformer(colour) if grounded else transformer(colour, "")
    assert [one.subjects[0] for one in fired(SLUG, design(text, book))] == wrong
