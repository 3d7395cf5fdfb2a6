"""Neutrals that are opened without their lines."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

SLUG = "neutral-switched-alone"


def test_the_finding_points_at_the_part_in_the_neutral() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {kind: breaker, rating: 16 A, curve: C}}
parts:
  X0: {kind: inlet}
  F1: {kind: breaker, rating: 6 A, curve: C, breaking: 6 kA}        #! neutral-switched-alone
  E1: {kind: load, rated: 230 V AC 100 W}
wires:
  - {wire: 1, from: X0:L, to: E1:1, size: 4 mm2, length: 1 m}
  - {wire: 2, from: E1:2, to: F1:2, size: 4 mm2, length: 1 m}
  - {wire: 3, from: "X0:N", to: F1:1, size: 4 mm2, length: 0.3 m}
""")


def switched(poles: int, wires: str) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  Q1: {{kind: disconnector, poles: {poles}, rated: 16 A}}
  E1: {{kind: load, rated: 230 V AC 100 W}}
wires:
{wires}"""


LINE = "  - {wire: 1, from: X0:L, to: Q1:1}\n  - {wire: 2, from: Q1:2, to: E1:1}\n"
STRAIGHT = "  - {wire: 1, from: X0:L, to: E1:1}\n"


# IEC 60204-1, 7.2.3: the neutral is not opened before its lines; a device for both is allowed, the line alone too.
@pytest.mark.parametrize(
    ("poles", "wires", "fires"),
    [
        (2, LINE + '  - {wire: 3, from: "X0:N", to: Q1:3}\n  - {wire: 4, from: Q1:4, to: E1:2}\n', False),
        (2, STRAIGHT + '  - {wire: 3, from: "X0:N", to: Q1:3}\n  - {wire: 4, from: Q1:4, to: E1:2}\n', True),
        (1, LINE + '  - {wire: 3, from: "X0:N", to: E1:2}\n', False),
    ],
)
def test_a_switch_in_the_neutral(poles: int, wires: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(switched(poles, wires)))) is fires


@pytest.mark.parametrize(
    ("device", "ends", "told"),
    [
        ("contactor, poles: 3, coil: 24 V DC", ["X0:L>K1:1", "K1:2>E1:1", "E1:2>K1:4", "K1:3>X0:N"], ()),
        # a pole in the line of E1 alone, another in the neutral of E2 alone
        ("contactor, poles: 3, coil: 24 V DC", ["X0:L>K1:1", "K1:2>E1:1", "E1:2>X0:N"], ("K1", "E2")),
        ("breaker, poles: 2, rating: 6 A, curve: C", ["X0:L>K1:1", "K1:2>E1:1", "E1:2>X0:N"], ("K1", "E2")),
    ],
)
def test_a_pole_in_the_line_of_another_load_helps_nobody(device: str, ends: list[str], told: tuple[str, ...]) -> None:
    """IEC 60204-1, 7.2.3, and NFPA 70, 404.2(B): the grounded conductor of a load opens with its line or not at all."""
    other = ["X0:L>E2:1", "E2:2>K1:4", "K1:3>X0:N"] if told else ["X0:L>K1:5", "K1:6>E2:1", "E2:2>X0:N"]
    wires = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}"
        for n, (a, b) in enumerate(end.split(">") for end in [*ends, *other])
    )
    body = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  K1: {{kind: {device}}}
  E1: {{kind: load, rated: 230 V AC 100 W}}
  E2: {{kind: load, rated: 230 V AC 100 W}}
wires:
{wires}
"""
    assert [one.subjects for one in fired(SLUG, design(body))] == ([told] if told else [])


def test_the_minus_of_a_supply_is_no_neutral() -> None:
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  S1: {kind: push-button, contacts: {13-14: NO}}
  H1: {kind: lamp, rated: 24 V DC 20 mA}
wires:
  - {wire: 1, from: G1:V+, to: H1:X1}
  - {wire: 2, from: H1:X2, to: S1:13}
  - {wire: 3, from: S1:14, to: G1:V-}
"""
    assert not fired(SLUG, design(body))


def test_what_it_says() -> None:
    """IEC 60204-1 7.2.3: the neutral does not open without the lines, which stay at 230 V."""
    [finding] = fired(
        SLUG,
        design(switched(1, STRAIGHT + '  - {wire: 2, from: "X0:N", to: Q1:1}\n  - {wire: 3, from: Q1:2, to: E1:2}\n')),
    )
    assert_says(finding, "WARNING", number=("mains", 230.0, "V"), mend="Move Q1 into the line")


@pytest.mark.parametrize("right", [True, False])
def test_line_and_neutral_exchanged_ahead_of_all_are_told_once(right: bool) -> None:
    """Three fuses in one conductor, three loads back by the other one."""
    first, second = ("L", "N") if right else ("N", "L")
    rows = "".join(
        f'  - {{wire: {n}a, from: "X0:{first}", to: F{n}:1}}\n  - {{wire: {n}b, from: F{n}:2, to: E{n}:1}}\n'
        f'  - {{wire: {n}c, from: E{n}:2, to: "X0:{second}"}}\n'
        for n in (1, 2, 3)
    )
    parts = "".join(
        f"  F{n}: {{kind: breaker, rating: 6 A, curve: C, breaking: 6 kA}}\n"
        f"  E{n}: {{kind: load, rated: 230 V AC 100 W}}\n"
        for n in (1, 2, 3)
    )
    head = "mains: {inlet: X0, system: single-phase, voltage: 230 V}\nparts:\n  X0: {kind: inlet}\n"
    found = fired(SLUG, design(f"{head}{parts}wires:\n{rows}"))
    assert [one.subjects[0] for one in found] == ([] if right else ["X0"])
    assert all({"F1", "F2", "F3"} <= set(one.subjects) for one in found)
