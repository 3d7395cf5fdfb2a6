"""The voltage of control circuits: IEC 60204-1:2016 9.1.2, NFPA 79 9.1.2, from memory."""

from __future__ import annotations

import pytest
from coils_on_mains import coils
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired
from says import assert_says

from wiring.findings import Signal

SLUG = "control-voltage-too-high"


# NFPA 79 9.1.2: AC up to 120 V, DC up to 250 V.
@pytest.mark.parametrize(
    ("coil", "count"),
    [("120 V AC 3 W", 0), ("121 V AC 3 W", 1), ("240 V AC 3 W", 1), ("250 V DC 3 W", 0), ("251 V DC 3 W", 1)],
)
def test_north_american_control_voltage(coil: str, count: int) -> None:
    found = fired(SLUG, design(coils(1, coil), "na"))
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
    found = fired(SLUG, design(coils(1, coil, hertz=hertz)))
    assert [finding.signal for finding in found] == [Signal.NOTICE] * count


def test_coils_of_one_voltage_are_told_together() -> None:
    [finding] = fired(SLUG, design(coils(3, "240 V AC 3 W"), "na"))
    assert finding.subjects == ("K1", "K2", "K3")


@given(st.floats(5, 400), st.floats(0, 200), st.sampled_from(["AC", "DC"]), st.sampled_from(["iec", "na"]))
def test_a_higher_voltage_is_never_better(volts: float, more: float, kind: str, book: str) -> None:
    """Above what its feed attracts a coil is told by `load-undervoltage` instead, as one cause has one finding."""
    made = [design(coils(1, f"{v:.2f} V {kind} 3 W"), book) for v in (volts, volts + more)]
    low, high = (len(fired(SLUG, one)) for one in made)
    assert low <= high + len(fired("load-undervoltage", made[1]))


def test_what_it_says() -> None:
    """NFPA 79 9.1.2: AC up to 120 V; the coil has 121 V."""
    [finding] = fired(SLUG, design(coils(1, "121 V AC 3 W"), "na"))
    assert_says(finding, "CAUTION", limit=(120.0, "V", "NFPA 79 9.1.2"), number=("control", 121.0, "V"), mend="24 V DC")
