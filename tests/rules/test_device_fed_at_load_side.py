"""Line and load of devices that tell them apart (IEC 61008-1, 6; UL 943; NFPA 70, 110.3(B); from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "device-fed-at-load-side"


def fed(device: str, line: tuple[int, int], load: tuple[int, int], source: str = "X0:L", back: str = "X0:N") -> str:
    """A lamp behind a device of two poles, fed at the first pair of its terminals."""
    volts = "230 V AC" if source[0] == "X" else "24 V DC"
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  F1: {{{device}}}
  H1: {{kind: lamp, rated: {volts} 5 W}}
wires:
  - {{wire: 1, from: {source}, to: F1:{line[0]}}}
  - {{wire: 2, from: {back}, to: F1:{line[1]}}}
  - {{wire: 3, from: F1:{load[0]}, to: H1:X1}}
  - {{wire: 4, from: F1:{load[1]}, to: H1:X2}}
  - {{wire: 5, from: X0:L, to: G1:L}}
  - {{wire: 6, from: X0:N, to: G1:N}}
"""


INTERRUPTER = "kind: rcd, rated: 25 A, residual: 5 mA, type: A"
RCD = "kind: rcd, rated: 25 A, residual: 30 mA, type: A"
BREAKER = "kind: breaker, poles: 2, rating: 6 A"
DISCONNECTOR = "kind: disconnector, poles: 2"


@pytest.mark.parametrize("device", [INTERRUPTER, RCD, BREAKER, DISCONNECTOR])
@pytest.mark.parametrize("line", ["", ", line: odd", ", line: even", ", line: either"])
@pytest.mark.parametrize("at_odd", [True, False])
def test_the_marking_decides_and_an_interrupter_is_marked(device: str, line: str, at_odd: bool) -> None:
    """Without a marking a ground-fault interrupter counts as marked at its odd terminals, a residual current device
    that is fed at the even ones is asked, and a breaker or switch may be fed from either side."""
    ends = ((1, 3), (2, 4)) if at_odd else ((2, 4), (1, 3))
    plan = design(fed(device + line, *ends))
    wrong = {"odd": not at_odd, "even": at_odd, "either": False, "": device == INTERRUPTER and not at_odd}
    asked = not line and device == RCD and not at_odd
    assert bool(fired(SLUG, plan)) is wrong[line.removeprefix(", line: ")]
    assert [one.subjects for one in open_questions(SLUG, plan)] == ([("F1",)] if asked else [])


def test_an_electronic_fuse_opens_in_one_direction() -> None:
    device = "kind: electronic-fuse, poles: 2, rating: 2 A"
    assert fired(SLUG, design(fed(device, (1, 3), (2, 4), "G1:V+", "G1:V-"))) == []
    assert len(fired(SLUG, design(fed(device, (2, 4), (1, 3), "G1:V+", "G1:V-")))) == 1


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(fed(INTERRUPTER, (2, 4), (1, 3))))
    assert finding.subjects == ("F1",)
    assert_says(finding, "WARNING", mend="the two sides of F1")
