"""What limits the current of each conductor, on circuits drawn by hand."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.design.design import Design
from wiring.design.device.overcurrent_protection import motor_current


def protection(found: Design, wire: str) -> tuple[str, float]:
    """Name and rated current of what protects a conductor."""
    known = found.protections[wire]
    return known.part, known.rating_a


#   G1 (40 A) --1-- F1 (16 A) --2-- X1 --3-- F2 (6 A) --4-- E1 --5--+
#                                    +---6---------------- E2 --7-- X2 --8-- G1
CASCADE = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A, overload: {mode: hiccup, limit: 110 %}}
  F1: {kind: breaker, rating: 16 A, curve: C}
  F2: {kind: breaker, rating: 6 A, curve: C}
  X1: {kind: terminals, points: 3, bridged: [1-3]}
  X2: {kind: terminals, points: 3, bridged: [1-3]}
  E1: {kind: load, rated: 24 V DC 24 W}
  E2: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 10 mm2}
  - {wire: 2, from: F1:2, to: X1:1, size: 4 mm2}
  - {wire: 3, from: X1:2, to: F2:1, size: 4 mm2}
  - {wire: 4, from: F2:2, to: E1:1, size: 1 mm2}
  - {wire: 5, from: E1:2, to: X2:1, size: 1 mm2}
  - {wire: 6, from: X1:3, to: E2:1, size: 4 mm2}
  - {wire: 7, from: E2:2, to: X2:2, size: 4 mm2}
  - {wire: 8, from: X2:3, to: G1:V-, size: 10 mm2}
"""


@pytest.mark.parametrize(
    ("wire", "part", "rating"),
    [
        ("1", "G1", 40.0),  # nothing but the supply's own limit
        ("2", "F1", 16.0),
        ("3", "F1", 16.0),  # in front of F2
        ("4", "F2", 6.0),
        ("5", "F2", 6.0),  # the return of E1 alone
        ("6", "F1", 16.0),
        ("7", "F1", 16.0),
        ("8", "F1 + F2", 22.0),  # both returns: 16 + 6 A, below the supply's 40 A
    ],
)
def test_the_weakest_device_on_the_way_counts(wire: str, part: str, rating: float) -> None:
    assert protection(design(CASCADE), wire) == (part, rating)


#   F1 (6 A) and F2 (16 A) feed E1 and E2, which return over 5 and 6 to X2 and X3. From there 8 and 9 lead to G1, and 7
#   closes the ring; 10 ends at an empty terminal.
RING = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A, overload: {mode: hiccup, limit: 110 %}}
  F1: {kind: breaker, rating: 6 A, curve: C}
  F2: {kind: breaker, rating: 16 A, curve: C}
  X2: {kind: terminals, points: 4, bridged: [1-4]}
  X3: {kind: terminals, points: 4, bridged: [1-4]}
  X4: {kind: terminals, points: 1}
  E1: {kind: load, rated: 24 V DC 24 W}
  E2: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 10 mm2}
  - {wire: 2, from: G1:V+, to: F2:1, size: 10 mm2}
  - {wire: 3, from: F1:2, to: E1:1, size: 1 mm2}
  - {wire: 4, from: F2:2, to: E2:1, size: 2.5 mm2}
  - {wire: 5, from: E1:2, to: X2:1, size: 1 mm2}
  - {wire: 6, from: E2:2, to: X3:1, size: 2.5 mm2}
  - {wire: 7, from: X2:2, to: X3:2, size: 1 mm2}
  - {wire: 8, from: X2:3, to: G1:V-, size: 1 mm2}
  - {wire: 9, from: X3:3, to: G1:V-, size: 2.5 mm2}
  - {wire: 10, from: X3:4, to: X4:1, size: 2.5 mm2}
"""


def test_conductors_of_a_ring_carry_what_returns_through_all_of_it() -> None:
    """Kirchhoff: with 9 broken all of E1 and E2 comes back through 8, with 8 broken through 7 and 9; 22 A in each."""
    found = design(RING)
    assert {wire: protection(found, wire) for wire in "56789"} == {
        "5": ("F1", 6.0),
        "6": ("F2", 16.0),
        **dict.fromkeys("789", ("F1 + F2", 22.0)),
    }
    assert "10" not in found.protections  # nothing comes back from there


def test_the_sum_of_returns_never_exceeds_the_source() -> None:
    small = CASCADE.replace("rated: 40 A", "rated: 20 A")
    assert protection(design(small), "8") == ("G1", 20.0)


def test_the_strongest_of_two_ways_counts() -> None:
    """A bridge past F2 lets F1's 16 A reach the conductor behind F2."""
    bridged = CASCADE + "  - {wire: 9, from: X1:3, to: F2:2, size: 4 mm2}\n"
    assert protection(design(bridged), "4") == ("F1", 16.0)


def test_two_sources_on_one_conductor_count_with_the_stronger() -> None:
    two = CASCADE.replace("  F1:", "  G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 60 A}\n  F1:")
    two += "  - {wire: 9, from: G2:V+, to: E1:1, size: 10 mm2}\n  - {wire: 10, from: G2:V-, to: X2:1, size: 10 mm2}\n"
    assert protection(design(two), "4") == ("G2", 60.0)


def test_a_motor_conductor_is_guarded_by_what_its_drive_is_set_to() -> None:
    """4.2 A of amplitude are 2.97 A RMS (4.2 / sqrt 2)."""
    found = design("""
parts:
  D1: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 4.2 A peak}
  M1: {kind: stepper-motor, phase_current: 4.2 A peak, phase_resistance: 0.75 ohm}
wires:
  - {wire: 1, from: D1:A+, to: M1:A+, size: 1 mm2}
""")
    part, rating = protection(found, "1")
    assert part == "D1"
    assert rating == pytest.approx(2.970, abs=0.001)


def test_a_transformer_limits_nothing_and_the_mains_only_by_what_stands_in_front() -> None:
    text = """
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet}
  T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}
  E1: {kind: load, rated: 24 V AC 24 W}
wires:
  - {wire: 1, from: X0:L, to: "T1:1.1", size: 1.5 mm2}
  - {wire: 2, from: X0:N, to: "T1:1.2", size: 1.5 mm2}
  - {wire: 3, from: "T1:2.1", to: E1:1, size: 1.5 mm2}
  - {wire: 4, from: "T1:2.2", to: E1:2, size: 1.5 mm2}
"""
    bare = design(text)
    assert protection(bare, "3") == ("T1", float("inf"))
    assert protection(bare, "1")[1] == float("inf")
    fed = design(text.replace("voltage: 230 V}", "voltage: 230 V, upstream: {kind: breaker, rating: 10 A, curve: B}}"))
    assert protection(fed, "1") == ("upstream", 10.0)
    assert protection(fed, "3") == ("T1", float("inf"))


def test_a_conductor_that_no_source_reaches_has_no_guard() -> None:
    text = CASCADE.replace("wires:", "  X3: {kind: terminals, points: 2}\nwires:")
    found = design(text + "  - {wire: 9, from: X3:1, to: X3:2, size: 1 mm2}\n")
    assert "9" not in found.protections


def test_an_earth_conductor_has_no_guard() -> None:
    text = CASCADE.replace("wires:", "  XPE: {kind: earth-bar, points: 2}\nwires:")
    found = design(text + "  - {wire: 9, from: G1:V-, to: XPE:1, size: 4 mm2}\n")
    assert "9" not in found.protections


@pytest.mark.parametrize(
    ("rated", "expected"), [(", rated_current: 2.5 A rms", 2.5), ("", None)], ids=["known", "unknown"]
)
def test_a_drive_of_unknown_current_gives_what_its_motor_is_rated_for(rated: str, expected: float | None) -> None:
    body = f"""
parts:
  D1: {{kind: servo-drive, supply: 24..60 V DC, metal: false}}
  M1: {{kind: servo-motor, rated_power: 100 W{rated}, metal: false}}
wires:
  - {{wire: 1, from: D1:U, to: M1:U}}
  - {{wire: 2, from: D1:V, to: M1:V}}
  - {{wire: 3, from: D1:W, to: M1:W}}
"""
    [axis] = design(body).axes.values()
    assert motor_current(axis) == (pytest.approx(expected) if expected else None)


COMMON = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A, overload: {mode: hiccup, limit: 110 %}}
  F1: {kind: breaker, rating: 4 A, curve: C}
  F2: {kind: breaker, rating: 6 A, curve: C}
  F3: {kind: breaker, rating: 2 A, curve: C}
  X2: {kind: terminals, points: 4, bridged: [1-4]}
  K1: {kind: relay, coil: 24 V DC 2.4 W}
  K2: {kind: relay, coil: 24 V DC 2.4 W}
  E3: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, through: [G1:V+, F1:1, F2:1, F3:1], size: 10 mm2}
  - {wire: 2, from: F1:2, to: K1:A1}
  - {wire: 3, from: F2:2, to: K2:A1}
  - {wire: 4, from: K1:A2, to: X2:1}
  - {wire: 5, from: K2:A2, to: X2:2}
  - {wire: 7, from: X2:4, to: G1:V-}
"""


def test_coils_and_signal_inputs_overload_nothing_so_that_one_of_their_devices_gives_its_current_at_a_time() -> None:
    """By hand: a fault at K2 passes 6 A beside 0.1 A of K1, 6.1 A and not 10; a load that may be overloaded adds the
    whole 2 A of its device."""
    made = design(COMMON)
    assert protection(made, "7") == ("F2", pytest.approx(6.1))
    loaded = COMMON + "  - {wire: 6, from: F3:2, to: E3:1}\n  - {wire: 8, from: E3:2, to: X2:3}\n"
    assert protection(design(loaded), "7") == ("F2 + F3", pytest.approx(8.1))


#   F1 (16 A) feeds a bridge of two contactors that turns M1 either way; F2 (2 A) feeds a lamp. Both return to X2.
BRIDGE = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A, overload: {mode: hiccup, limit: 110 %}}
  F1: {kind: breaker, rating: 16 A, curve: C}
  F2: {kind: breaker, rating: 2 A, curve: C}
  K1: {kind: contactor, poles: 2, rated: 25 A, coil: 24 V DC 3 W}
  K2: {kind: contactor, poles: 2, rated: 25 A, coil: 24 V DC 3 W}
  M1: {kind: motor, voltage: 24 V DC, phases: DC, rated_power: 100 W, rated_current: 6 A}
  H1: {kind: lamp, rated: 24 V DC 20 mA}
  X2: {kind: terminals, points: 4, bridged: [1-4]}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 10 mm2}
  - {wire: 2, from: G1:V+, to: F2:1, size: 10 mm2}
  - {wire: 3, through: [F1:2, K1:1, K2:1], size: 4 mm2}
  - {wire: 4, through: [K1:2, K2:3, M1:A1], size: 4 mm2}
  - {wire: 5, through: [K2:2, K1:3, M1:A2], size: 4 mm2}
  - {wire: 6, from: K1:4, to: X2:1, size: 4 mm2}
  - {wire: 7, from: K2:4, to: X2:2, size: 4 mm2}
  - {wire: 8, from: F2:2, to: H1:X1, size: 0.5 mm2}
  - {wire: 9, from: H1:X2, to: X2:3, size: 0.5 mm2}
  - {wire: 10, from: X2:4, to: G1:V-, size: 10 mm2}
"""


@pytest.mark.parametrize(("wire", "part"), [("6", "F1"), ("7", "F1"), ("8", "F2"), ("9", "F2"), ("10", "F1 + F2")])
def test_contacts_of_two_directions_do_not_join_the_poles_of_a_source(wire: str, part: str) -> None:
    """Both contactors closed at once would be a short: each return carries what its own device lets pass."""
    assert protection(design(BRIDGE), wire)[0] == part
