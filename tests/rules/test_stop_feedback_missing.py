"""A contactor may fail closed, and the machine starts again as if nothing had happened.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-feedback-missing"


def test_mirror_contacts_in_the_loop_end_it() -> None:
    assert fired(SLUG, design(two_channels())) == []
    [finding] = fired(SLUG, design(two_channels(feedback=False)))
    assert finding.subjects == ("K1", "K2", "emergency")


def behind_a_semiconductor(*, feedback: bool) -> str:
    """The heater behind a solid-state relay that a program drives, so that logic leaves open whether it is fed."""
    text = two_channels(feedback=feedback).replace("to: 'E1:1'", "to: 'T1:1'")
    ends = ("T1:2>E1:1", "A1:O1>T1:A1", "T1:A2>G1:V-", "G1:V+>A1:24V", "G1:V->A1:0V")
    wires = "".join(
        f"  - {{wire: {91 + n}, from: '{a}', to: '{b}', size: 1.5 mm2, length: 1 m}}\n"
        for n, (a, b) in enumerate(end.split(">") for end in ends)
    )
    parts = """
  T1: {kind: solid-state-relay, control: 4..32 V DC, control_current: 12 mA, rated: 40 A, drop: 1.3 V}
  A1: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 100 mA}, outputs: {O1: push-pull 24 V},
       common: 0V}
"""
    return text.replace("\nwires:\n", f"{parts}wires:\n{wires}", 1)


def test_a_load_behind_a_program_is_told_as_one_behind_the_contactors_alone() -> None:
    """The program may hold it on, so both contactors welded leave it fed: the second fault is the same."""
    assert fired(SLUG, design(behind_a_semiconductor(feedback=True))) == []
    [finding] = fired(SLUG, design(behind_a_semiconductor(feedback=False)))
    assert finding.subjects == ("K1", "K2", "emergency")


@pytest.mark.parametrize(("feedback", "told"), [(True, False), (False, True)])
def test_mirror_contacts_in_the_loop_are_not_asked_for_where_a_channel_is_bridged(feedback: bool, told: bool) -> None:
    """The relay waits for its second channel and starts no more, whatever has welded; the loop is as it was."""
    jumped = two_channels(feedback=feedback, cable=False).replace(
        "from: 'K0:S21', to: 'S1:21'", "from: 'K0:S21', to: 'K0:S22'"
    )
    assert bool(fired(SLUG, design(jumped))) is told
    assert fired("stop-single-channel", design(jumped))


def behind_a_program(*, second: bool) -> str:
    """The loop leads on through the contactor of a second heater that a program holds in through the stop; `second`:
    and through K2."""
    heater = ("K2:2>K3:1", "K3:2>E2:1", "X0:N>E2:2")
    ends = ("K2:22>K3:21" if second else "K1:22>K3:21", "K3:22>K0:S34", "A1:O1>K3:A1", "K3:A2>G1:V-", "G1:V+>A1:24V")
    wires = "".join(
        f"  - {{wire: {91 + n}, from: '{a}', to: '{b}', size: 0.75 mm2, length: 1 m}}\n"
        for n, (a, b) in enumerate(end.split(">") for end in (*ends, *heater, "G1:V->A1:0V"))
    )
    parts = """
  K3: {kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {21-22: NC mirror}}
  A1: {kind: io-card, supply: {between: [24V, 0V], voltage: 24 V DC, current: 100 mA}, outputs: {O1: push-pull 24 V},
       common: 0V}
  E2: {kind: heater, rated: 230 V AC 500 W, metal: false}
"""
    old = ["from: 'K2:22', to: 'K0:S34'", *([] if second else ["from: 'K1:22', to: 'K2:21'"])]
    lines = [line for line in two_channels().splitlines() if not any(ends in line for ends in old)]
    return "\n".join(lines).replace("\nwires:\n", f"{parts}wires:\n{wires}", 1)


@pytest.mark.parametrize(("second", "told"), [(True, []), (False, ["K2"])])
def test_one_of_two_is_told_where_a_program_keeps_the_loop_open(*, second: bool, told: list[str]) -> None:
    """K2 welds unseen, and the stop is lost when K1 welds, which its mirror contact shows at the next start alone."""
    assert [one.subjects[0] for one in fired(SLUG, design(behind_a_program(second=second)))] == told


def test_what_it_says() -> None:
    """ISO 13849-1 6.2.6: the single fault is seen before the next demand. What is lost with the next one is the stop,
    and that can kill (ANSI Z535.6: a WARNING could result in death or serious injury)."""
    [finding] = fired(SLUG, design(two_channels(feedback=False)))
    assert_says(finding, "WARNING", mend="mirror contact (break) of each")
