"""Standard sizes rise strictly and evenly, and those that follow a series of preferred numbers are numbers of it."""

from __future__ import annotations

from itertools import pairwise
from math import inf

import pytest

from wiring.rulebooks import steps

LADDERS = {
    name: values
    for name, values in vars(steps).items()
    if name.isupper() and isinstance(values, tuple) and isinstance(values[0], float)
} | {f"NOMINAL_V {kind}": values for kind, values in steps.NOMINAL_V.items()}
#: The series R10 of preferred numbers (ISO 3), one decade, as rounded for ratings: 3.15 to 3.2, 6.3 to 6 in places.
R10 = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0)


@pytest.mark.parametrize("name", LADDERS)
def test_every_step_is_larger_than_the_last(name: str) -> None:
    assert all(low < high for low, high in pairwise(LADDERS[name]))


@pytest.mark.parametrize("name", ["RESIDUAL_A", "SWITCH_A", "TRANSFORMER_VA"])
def test_steps_of_r10_lie_near_its_numbers(name: str) -> None:
    """Within 3 %, as 16 A, 20 A, 25 A, 32 A … do, each near another one; 100 VA to 4 kVA alike."""
    series = [number * 10**decade for decade in range(4) for number in R10]
    near = [min(series, key=lambda number: abs(step / number - 1)) for step in LADDERS[name]]
    assert all(abs(step / number - 1) < 0.03 for step, number in zip(LADDERS[name], near, strict=True))
    assert len(set(near)) == len(near)


def test_contactors_by_their_frames() -> None:
    """Frames of contactors as the trade sells them (common practice, no source): half as much again at the most."""
    assert all(high / low <= 1.51 for low, high in pairwise(steps.CONTACTOR_A))
    assert {9.0, 12.0, 18.0, 25.0, 32.0, 40.0, 65.0, 95.0} <= set(steps.CONTACTOR_A)


def test_resistors_of_e12() -> None:
    """IEC 60063: 10 to the n/12, in two digits, a few of them rounded otherwise by convention."""
    assert [step for n, step in enumerate(steps.E12) if abs(step / 10 ** (n / 12) - 1) > 0.05] == []
    assert len(steps.E12) == 12


def test_the_settings_of_protective_switches_leave_no_gap() -> None:
    """The ranges of the trade (common practice, no source) begin where the last one ends, or below."""
    assert all(low < high for low, high in steps.PROTECTOR_A)
    assert all(after[0] <= before[1] and after[1] > before[1] for before, after in pairwise(steps.PROTECTOR_A))


@pytest.mark.parametrize("name", ["SMALL_UL_FUSE_A", "SUPPLEMENTARY_A"])
def test_small_fuses_end_in_the_standard_ratings_of_north_america(name: str) -> None:
    """15, 20, 25, 30 A; 1, 3, 6 and 10 A are standard ratings of fuses too (NFPA 70:2023, 240.6(A), from memory).
    Supplementary protectors come in 16 A besides, as IEC 60934 has them (common practice)."""
    ladder = getattr(steps, name)
    assert [step for step in ladder if step >= 15.0 and step != 16.0] == [15.0, 20.0, 25.0, 30.0]
    assert {1.0, 3.0, 6.0, 10.0} <= set(ladder)


def test_ducts_grow_from_one_to_the_next() -> None:
    """Sides of 25, 40, 60, 80, 100 and 120 mm (common practice); a larger one is no narrower and no lower."""
    assert {side for duct in steps.DUCTS_MM for side in duct} == {25.0, 40.0, 60.0, 80.0, 100.0, 120.0}
    for small, large in pairwise(steps.DUCTS_MM):
        assert small != large
        assert small[0] <= large[0]
        assert small[1] <= large[1]


def test_nominal_voltages_are_those_of_the_standards() -> None:
    """Preferred values of IEC 60038:2009, table 6 (direct and alternating), and its table 1; ANSI C84.1 for 120 V
    systems; all from memory. 5 V is that of logic."""
    assert set(steps.NOMINAL_V["DC"]) == {5, 6, 12, 24, 36, 48, 60, 72, 96, 110, 220, 440}
    assert set(steps.NOMINAL_V["AC"]) == {6, 12, 24, 48, 110} | {230, 400, 690} | {120, 208, 240, 277, 480, 600}


def test_supplies_come_in_the_usual_currents() -> None:
    """Those of the trade for 24 V (common practice, no source)."""
    assert {1.0, 2.5, 3.0, 4.0, 5.0, 10.0, 15.0, 20.0, 40.0} <= set(steps.SUPPLY_A)


@pytest.mark.parametrize(
    ("value", "digits", "up", "down"),
    [
        (1234.5, 3, 1240.0, 1230.0),
        (0.01234, 2, 0.013, 0.012),
        (9.96, 2, 10.0, 9.9),
        (7.0, 3, 7.0, 7.0),
        (inf, 3, inf, inf),
    ],
)
def test_a_printed_bound_is_never_on_the_wrong_side(value: float, digits: int, up: float, down: float) -> None:
    """By hand: so many digits, a least one up and a most one down."""
    assert steps.rounded_up(value, digits) == pytest.approx(up)
    assert steps.rounded_down(value, digits) == pytest.approx(down)


@pytest.mark.parametrize(("least_a", "rated_a"), [(0.0, 1.0), (1.1, 1.25), (7.0, 8.0), (63.0, 63.0), (64.0, 80.0)])
def test_rated_currents_of_the_series(least_a: float, rated_a: float) -> None:
    """IEC 60059 (from memory): the numbers of R10, and 1 A for what takes nothing."""
    assert steps.rated_current(least_a) == pytest.approx(rated_a)


def test_supplies_as_they_are_sold() -> None:
    """Rated currents of rail-mounted and enclosed supplies (common practice, no source), each in reach of the next."""
    assert all(high / low <= 1.67 for low, high in pairwise(steps.SUPPLY_A))
    assert {1.0, 2.5, 3.0, 5.0, 6.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0} <= set(steps.SUPPLY_A)
