"""How control circuits are fed: IEC 60204-1:2016 9.1.1 and 9.1.2, NFPA 79 9.1.1 and 9.1.2, from memory."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired

from wiring.findings import Signal

FED, TOO_HIGH = "control-fed-from-mains", "control-voltage-too-high"


def coils(count: int, coil: str = "230 V AC 3 W", feed: tuple[str, str] = ("X0:L", "X0:N"), hertz: float = 50) -> str:
    """A number of contactors whose coils hang side by side on one feed."""
    parts = "\n".join(f"  K{n}: {{kind: contactor, poles: 1, coil: {coil}}}" for n in range(1, count + 1))
    ends = [", ".join([feed[0], *(f"K{n}:A1" for n in range(1, count + 1))])]
    ends.append(", ".join([feed[1], *(f"K{n}:A2" for n in range(1, count + 1))]))
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: {hertz} Hz}}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  T1: {{kind: transformer, primary: 230 V AC, secondary: 110 V AC, rated: 100 VA}}
{parts}
wires:
  - {{wire: 1, through: [{ends[0]}], size: 1 mm2, length: 1 m}}
  - {{wire: 2, through: [{ends[1]}], size: 1 mm2, length: 1 m}}
"""


# 9.1.1: no transformer is asked of a machine with a single motor starter and at most two control devices.
@pytest.mark.parametrize(("count", "found"), [(1, 0), (2, 1), (5, 1)])
def test_more_than_one_coil_on_the_mains(count: int, found: int) -> None:
    said = fired(FED, design(coils(count)))
    assert len(said) == found
    assert not said or len(said[0].subjects) == count


def test_behind_a_transformer_they_may_hang() -> None:
    assert fired(FED, design(coils(4, "110 V AC 3 W", ('"T1:2.1"', '"T1:2.2"')))) == []


def test_it_points_at_the_first_coil() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 6 A, curve: B}}
parts:
  X0: {kind: inlet, rated: 16 A}
  K1: {kind: contactor, poles: 1, coil: 230 V AC 3 W}   #! control-fed-from-mains
  K2: {kind: contactor, poles: 1, coil: 230 V AC 3 W}
wires:
  - {wire: 1, through: [X0:L, K1:A1, K2:A1], size: 1.5 mm2, length: 1 m, colour: RD}
  - {wire: 2, through: [X0:N, K1:A2, K2:A2], size: 1.5 mm2, length: 1 m, colour: LBU}
""")


# NFPA 79 9.1.2: AC up to 120 V, DC up to 250 V.
@pytest.mark.parametrize(
    ("coil", "count"),
    [("120 V AC 3 W", 0), ("121 V AC 3 W", 1), ("240 V AC 3 W", 1), ("250 V DC 3 W", 0), ("251 V DC 3 W", 1)],
)
def test_north_american_control_voltage(coil: str, count: int) -> None:
    found = fired(TOO_HIGH, design(coils(1, coil), "na"))
    assert [finding.signal for finding in found] == [Signal.CAUTION] * count


# IEC 60204-1:2016 9.1.2 prefers 230 V at 50 Hz, 277 V at 60 Hz, 220 V DC.
@pytest.mark.parametrize(
    ("coil", "hertz", "count"),
    [
        ("230 V AC 3 W", 50, 0),
        ("240 V AC 3 W", 50, 1),
        ("240 V AC 3 W", 60, 0),
        ("277 V AC 3 W", 60, 0),
        ("280 V AC 3 W", 60, 1),
        ("220 V DC 3 W", 50, 0),
        ("230 V DC 3 W", 50, 1),
    ],
)
def test_iec_control_voltage_is_a_notice(coil: str, hertz: float, count: int) -> None:
    found = fired(TOO_HIGH, design(coils(1, coil, hertz=hertz)))
    assert [finding.signal for finding in found] == [Signal.NOTICE] * count


def test_coils_of_one_voltage_are_told_together() -> None:
    [finding] = fired(TOO_HIGH, design(coils(3, "240 V AC 3 W"), "na"))
    assert finding.subjects == ("K1", "K2", "K3")


@given(st.floats(5, 400), st.floats(0, 200), st.sampled_from(["AC", "DC"]), st.sampled_from(["iec", "na"]))
def test_a_higher_voltage_is_never_better(volts: float, more: float, kind: str, book: str) -> None:
    """Above what its feed attracts a coil is told by `load-undervoltage` instead, as one cause has one finding."""
    made = [design(coils(1, f"{v:.2f} V {kind} 3 W"), book) for v in (volts, volts + more)]
    low, high = (len(fired(TOO_HIGH, one)) for one in made)
    assert low <= high + len(fired("load-undervoltage", made[1]))
