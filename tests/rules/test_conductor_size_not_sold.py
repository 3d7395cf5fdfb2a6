"""Cross-sections of IEC 60228 (one source) and American gauges (ASTM B258: 0.127 mm x 92^((36 - n)/39))."""

from __future__ import annotations

from math import pi

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "conductor-size-not-sold"


def wires(*sizes: str) -> str:
    rows = "".join(f"  - {{wire: {n}, from: X1:1, to: X2:1, size: {size}}}\n" for n, size in enumerate(sizes, 1))
    return f"""
parts:
  X1: {{kind: terminals, points: 2}}
  X2: {{kind: terminals, points: 2}}
wires:
{rows}"""


@pytest.mark.parametrize(
    "size", ["0.14", "0.25", "0.34", "0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "240"]
)
def test_the_sizes_of_the_standard_are_sold(size: str) -> None:
    assert fired(SLUG, design(wires(f"{size} mm2"))) == []


@pytest.mark.parametrize("gauge", [24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4])
def test_a_gauge_is_sold_by_its_number_and_by_its_cross_section(gauge: int) -> None:
    area = pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2
    assert fired(SLUG, design(wires(f"{gauge} AWG", f"{area:.3g} mm2"))) == []


@pytest.mark.parametrize("size", ["1.55", "0.4", "1.7", "2.6", "7", "12", "1.45"])
def test_what_lies_between_is_not(size: str) -> None:
    [finding] = fired(SLUG, design(wires(f"{size} mm2", "1.5 mm2", f"{size} mm2")))
    assert finding.subjects == ("1", "3")


def test_what_it_says() -> None:
    """1.55 mm2 is none; after 1.5 mm2 IEC 60228 has 2.5 mm2."""
    [finding] = fired(SLUG, design(wires("1.55 mm2")))
    assert_says(finding, "CAUTION", number=("size", 1.55 * 1e-6, "m2"), mend="Take 2.5 mm2")
