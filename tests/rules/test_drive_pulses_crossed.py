"""What an output gives and an input takes: functions written in the plan, or marked on the drive (common practice)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "drive-pulses-crossed"


def card(first: str, second: str, *, names: str = "STEP1 DIR1 STEP2 DIR2", third: str = "D2:STEP+") -> str:
    one, two, three, four = names.split()
    return f"""
parts:
  A1: {{kind: io-card, outputs: {{{one}: push-pull 5 V, {two}: push-pull 5 V, {three}: push-pull 5 V, {four}: push-pull
  5 V}},
       functions: {{{one}: step, {two}: direction, {three}: step, {four}: direction}}, output_common: GND}}
  D1: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}}
  D2: {{kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}}
wires:
  - {{wire: 1, from: A1:{one}, to: '{first}'}}
  - {{wire: 2, from: A1:{two}, to: '{second}'}}
  - {{wire: 3, from: A1:{three}, to: '{third}'}}
  - {{wire: 4, from: A1:{four}, to: 'D2:DIR+'}}
"""


def test_step_and_direction_exchanged() -> None:
    [finding] = fired(SLUG, design(card("D1:DIR+", "D1:STEP+")))
    assert finding.subjects == ("D1",)
    assert_says(finding, "CAUTION", mend="of its own function")


def test_steps_of_another_axis() -> None:
    found = fired(SLUG, design(card("D2:STEP+", "D1:DIR+", third="D1:STEP+")))
    assert sorted(one.subjects for one in found) == [("D1", "A1"), ("D2", "A1")]


def test_a_card_that_numbers_its_outputs_and_not_its_axes_is_left_alone() -> None:
    assert fired(SLUG, design(card("D1:STEP+", "D1:DIR+", names="O1 O2 O3 O4"))) == []


def test_right_ones() -> None:
    assert fired(SLUG, design(card("D1:STEP+", "D1:DIR+"))) == []


def commanded(forward: str, reverse: str) -> str:
    return f"""
parts:
  A1: {{kind: controller, outputs: {{O1: pnp, O2: pnp, O3: pnp}}, common: 0V,
       functions: {{O1: run, O2: other, O3: other}}}}
  T1: {{kind: inverter, supply: 200..240 V AC, rated: 750 W, inputs: [FWD-DCOM, REV-DCOM],
       functions: {{FWD: run, REV: reverse}}}}
wires:
  - {{wire: 1, from: 'A1:{forward}', to: 'T1:FWD'}}
  - {{wire: 2, from: 'A1:{reverse}', to: 'T1:REV'}}
"""


def test_run_and_reverse_by_one_output_or_by_one_for_something_else() -> None:
    """A motor turns one way at a time; an output whose function is another one than run does not tell to run."""
    [both] = fired(SLUG, design(commanded("O1", "O1")))
    assert both.summary.endswith("T1 is told to run both ways at once")
    [other] = fired(SLUG, design(commanded("O3", "O2")))
    assert other.summary == "A1:O3 (other) leads to T1:FWD (run); A1:O2 (other) leads to T1:REV (reverse)"
    assert fired(SLUG, design(commanded("O1", "O2"))) == []


@pytest.mark.parametrize(
    ("words", "joined", "told"),
    [
        (("run", "reset"), True, "takes its faults back with every start"),
        (("reset", "reverse"), True, "takes its faults back with every start"),
        (("enable", "reset"), True, "takes its faults back with every start"),
        (("run", "reset"), False, ""),
        (("run", "enable"), True, ""),  # a start may enable
    ],
)
def test_a_start_takes_back_no_fault(words: tuple[str, str], joined: bool, told: str) -> None:
    """IEC 60204-1, 7.3 (from memory): what a protection has stopped does not start again by itself."""
    text = commanded("O1", "O1" if joined else "O2").replace(
        "FWD: run, REV: reverse", f"FWD: {words[0]}, REV: {words[1]}"
    )
    found = [one.summary for one in fired(SLUG, design(text)) if "are joined" in one.summary]
    assert [told in one for one in found] == ([True] if told else [])
