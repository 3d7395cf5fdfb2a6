"""Drives fed one from the other: told with the drop along the chain (drive makers' manuals, common practice)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from small_plans import plan

from wiring.findings import Signal

SLUG = "drives-daisy-chained"


def drives(count: int) -> str:
    return "\n".join(
        f"D{n}: {{kind: stepper-drive, supply: 20..48 V DC, phase_current: 2 A peak, signals: 5 V DC}}"
        for n in range(1, count + 1)
    )


def chain(count: int, size: str = "") -> str:
    plus = ", ".join(f"'D{n}:V+'" for n in range(1, count + 1))
    minus = "\n".join(f"- {{wire: 2{n}, from: X2:{n + 1}, to: 'D{n}:V-'}}" for n in range(1, count + 1))
    return plan(drives(count), f"- {{wire: 10, through: [X1:2, {plus}]{size}}}\n{minus}")


@pytest.mark.parametrize(("count", "fires"), [(1, False), (2, True), (4, True)])
def test_two_drives_make_a_chain(count: int, fires: bool) -> None:
    found = fired(SLUG, design(chain(count)))
    assert bool(found) is fires
    assert all(finding.signal is Signal.NOTICE for finding in found)
    assert all(len([s for s in finding.subjects if s.startswith("D")]) == count for finding in found)


def test_a_star_is_right() -> None:
    plus = "\n".join(f"- {{wire: 1{n}, from: X1:{n + 1}, to: 'D{n}:V+'}}" for n in (1, 2))
    minus = "\n".join(f"- {{wire: 2{n}, from: X2:{n + 1}, to: 'D{n}:V-'}}" for n in (1, 2))
    assert fired(SLUG, design(plan(drives(2), f"{plus}\n{minus}"))) == []


def test_the_drop_is_that_of_the_pieces_between_the_drives() -> None:
    """Drives at rest take 1.5 W, 62.5 mA at 24 V; 1 m of 1 mm2 has 19.5 mohm at 20 °C (IEC 60228)."""
    [finding] = fired(SLUG, design(chain(2, ", size: 1 mm2, length: 1 m")))
    assert finding.numbers[0].value == pytest.approx(0.0625 * 0.0195 * (1 + 0.00393 * 20), rel=0.03)
