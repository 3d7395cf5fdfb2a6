"""Two signals in quadrature give the sense by which of them leads: cos(x) and sin(x) exchanged count -x. Three phases
moved on by one turn the field by 120 degrees, so that torque has the sign of cos 120 < 0 (first physics)."""

from __future__ import annotations

from itertools import permutations
from math import cos, pi

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "encoder-crossed"


def axes(first: str = "M1", channels: str = "AB", phases: str = "UVW") -> str:
    """Two servo axes; the first drive reads the encoder of `first`, its own channels and phases in this order."""
    other = "M2" if first == "M1" else "M1"
    lines = [
        "parts:",
        *(f"  D{n}: {{kind: servo-drive, supply: 200..240 V AC, encoder: {{voltage: 5 V DC}}}}" for n in (1, 2)),
        *(f"  M{n}: {{kind: servo-motor, rated_power: 400 W, encoder: {{voltage: 5 V DC}}}}" for n in (1, 2)),
        "wires:",
    ]
    ends = [(f"D1:{a}", f"M1:{b}") for a, b in zip("UVW", phases, strict=True)]
    ends += [(f"D2:{a}", f"M2:{a}") for a in "UVW"]
    ends += [(f"D1:E{a}{s}", f"{first}:E{b}{s}") for a, b in zip("AB", channels, strict=True) for s in "+-"]
    ends += [(f"D2:E{a}{s}", f"{other}:E{a}{s}") for a in "AB" for s in "+-"]
    lines += [f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(ends, 1)]
    return "\n".join(lines) + "\n"


def test_a_and_b_exchanged() -> None:
    [finding] = fired(SLUG, design(axes(channels="BA")))
    assert finding.subjects[:2] == ("D1", "M1")
    assert_says(finding, "WARNING", mend="to the channel of the same letter")


@pytest.mark.parametrize("phases", sorted(permutations("UVW")))
def test_every_order_of_phases_but_one_is_wrong(phases: tuple[str, ...]) -> None:
    """Turned by a third the torque has the other sign, and with two exchanged the field turns the other way."""
    assert cos(2 * pi / 3) < 0
    assert bool(fired(SLUG, design(axes(phases="".join(phases))))) == (phases != ("U", "V", "W"))


def test_the_encoder_of_the_other_axis() -> None:
    found = fired(SLUG, design(axes(first="M2")))
    assert [one.subjects for one in found] == [("D1", "M2", "M1"), ("D2", "M1", "M2")]


def test_right_axes_and_motors_without_an_encoder() -> None:
    assert fired(SLUG, design(axes())) == []
    bare = axes(phases="VUW").splitlines()
    text = "\n".join(line for line in bare if ":E" not in line).replace(", encoder: {voltage: 5 V DC}", "")
    assert fired(SLUG, design(text)) == []
