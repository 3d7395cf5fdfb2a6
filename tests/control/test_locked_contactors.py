"""Contactors that a mechanical lock keeps apart, in the stop proof.

Expected by hand before the first run: a lock only keeps a contactor out, it never lets one go. So while one is in, the
other stays out though its coil is fed; when the first lets go, the second comes in. Of two that are fed at once either
may win, and a proof must not hang on their names.
"""

from __future__ import annotations

import pytest
from helpers import design, most_alive
from operated import button, contactor, heater, machine, stop_button

from wiring.control.condition import Condition
from wiring.control.numeric_simulation import run_either_way
from wiring.control.screening import screen_faults
from wiring.control.script import Moment
from wiring.control.sound import SoundStop
from wiring.control.verdicts import Verdict
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult

NAMES = [("K1", "K2"), ("K2", "K1")]
#: Each contactor feeds a heater of its own; `way` leads to their coils.
FEEDS = "X0:L>{a}:1 {a}:2>E1:1 X0:L>{b}:1 {b}:2>E2:1 X0:N>E1:2 X0:N>E2:2 {a}:A2>X0:N {b}:A2>X0:N "


def pair(a: str, b: str, way: str, parts: str = "", lock: bool = True) -> str:
    """Two contactors, `a` before E1 and `b` before E2."""
    lines = contactor(a) + contactor(b)
    if lock:
        lines = lines.replace(f"{a}: {{", f"{a}: {{interlock: {b}, ")
    text = stop_button() + heater("E1") + heater("E2") + button("S2") + lines + parts
    return machine(text, (FEEDS + way).format(a=a, b=b))


def proved(text: str) -> StopResult:
    return full_proof(design(text).stopping).results["emergency"]


def told(result: StopResult) -> SoundStop:
    return result.sound[0]


@pytest.mark.parametrize(("a", "b"), NAMES)
def test_the_one_that_was_locked_out_comes_in_when_the_other_lets_go(a: str, b: str) -> None:
    """`b` is fed past the stop and stands out only because `a` is in, which its seal holds: the stop starts E2."""
    way = "X0:L>S1:11 S1:12>S2:13 S2:14>{a}:A1 S1:12>{a}:13 {a}:14>{a}:A1 X0:L>S1:21 {b}:13>{b}:A1 X0:L>{b}:A1"
    text = pair(a, b, way).replace("stops:", "states: {heating: {E1: on, S2: worked}}\nstops:")
    result = told(proved(text))
    assert result.left == ("E2",)


@pytest.mark.parametrize(("a", "b"), NAMES)
def test_a_contactor_that_stays_in_keeps_the_other_one_out(a: str, b: str) -> None:
    """Both coils behind the stop and fed at once. With one stuck in, its own heater alone stays fed."""
    result = proved(pair(a, b, "X0:L>S1:11 S1:12>{a}:A1 S1:12>{b}:A1"))
    alive = {one.fault.id: one.alive for one in result.of(Verdict.DANGEROUS) if one.fault.kind == "held"}
    assert alive == {f"held:{a}:coil": ("E1",), f"held:{b}:coil": ("E2",)}


@pytest.mark.parametrize(("a", "b"), NAMES)
def test_either_of_two_that_are_fed_at_once_may_come_in(a: str, b: str) -> None:
    """The stop released feeds both coils again: E1 or E2 starts, whichever is faster, and both are told."""
    result = told(proved(pair(a, b, "X0:L>S1:11 S1:12>{a}:A1 S1:12>{b}:A1")))
    assert result.on_release == ("E1", "E2")


@pytest.mark.parametrize(("a", "b"), NAMES)
def test_a_welded_main_pole_keeps_the_other_one_out(a: str, b: str) -> None:
    """A main pole that is welded holds the armature, and the lock with it: released, the stop feeds both coils and E2
    stays dead. An auxiliary contact that is welded alone holds nothing: either may come in."""
    machine_ = design(pair(a, b, "X0:L>S1:11 S1:12>{a}:A1 S1:12>{b}:A1"))
    use = machine_.stopping.uses[0]
    known = {one.id: one for one in machine_.stopping.proof.faults}
    for contact, may in (("1-2", {"E1"}), ("13-14", {"E1", "E2"})):
        fault = known[f"weld:{a}:{contact}"]
        ways = run_either_way(most_alive(machine_, use.targets), use, "S1", (fault,), Condition())
        assert {name for _, seen in ways for name in seen[Moment.RELEASE].alive} == may
        [screening] = screen_faults(machine_.lowered, use, (fault,))
        targets = zip(use.targets, screening.screened[0].seen[Moment.RELEASE].targets, strict=True)
        place = screening.place("S1", fault.id)
        assert {target.name for target, (_, perhaps) in targets if perhaps >> place & 1} == may


def test_without_the_lock_both_come_in() -> None:
    """The same circuit without the lock: E2 is fed while the machine runs, and past the stop."""
    way = "X0:L>S1:11 S1:12>{a}:A1 X0:L>{b}:A1"
    assert told(proved(pair("K1", "K2", way, lock=False))).running == ("E1", "E2")
    assert told(proved(pair("K1", "K2", way))).running == ("E1",)
    assert told(proved(pair("K1", "K2", way))).left == ("E2",)
