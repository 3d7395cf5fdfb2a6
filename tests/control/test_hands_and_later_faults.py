"""Three operators at once, hands that hold, a second demand, faults that come with the stop in, and low supplies;
derived by hand before the first run.

Stop over start, and no start by a release: IEC 60204-1, 9.2.3.3 and 7.5 (from memory).
"""

from __future__ import annotations

import pytest
from circuits import SEAL
from helpers import design
from operated import RELAY_PARTS, RELAY_WIRES, button, contactor, heater, machine, one_contactor, stop_button

from wiring.control.script import Moment
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult
from wiring.design.stop.resets import reset_starts


def proved(text: str, fault: str | None = None) -> StopResult:
    return full_proof(design(text).stopping, fault=fault).results["emergency"]


def one(text: str, fault: str) -> FaultVerdict:
    [found] = [one for one in proved(text, fault).verdicts if one.fault.id == fault]
    return found


def past_each(contactors: int, jogs: int) -> str:
    """K1, K2 and more in series before E1, all off at the stop; S11, S12 ... each past the pole of one of them, and S9,
    a break contact in the feed itself, so that all operators worked at once leave E1 dead."""
    more = [f"K{n}" for n in range(3, contactors + 1)]
    parts = RELAY_PARTS + "".join(contactor(name, "21-22: NC mirror", "24 V DC 3 W") for name in more)
    parts += button("S9", "11-12: NC") + "".join(button(f"S{10 + n}") for n in range(1, jogs + 1))
    wires = RELAY_WIRES
    for n, name in enumerate(more, 3):
        wires += f"K{n - 1}:2>{name}:1 K0:24>{name}:A1 {name}:A2>G1:V- "
    wires += f"K{contactors}:2>S9:11 S9:12>E1:1 "
    wires += "".join(f"K{n}:1>S{10 + n}:13 S{10 + n}:14>K{n}:2 " for n in range(1, jogs + 1))
    return machine(parts, wires)


def test_three_jog_buttons_past_three_contactors() -> None:
    """One or two of them leave a pole open; all operators at once open S9. Only these three, S9 at rest, feed E1."""
    [sound] = proved(past_each(3, 3)).sound
    assert sound.left == ("E1",)
    assert sound.worked[Moment.TRIED, "E1"] == ("S11", "S12", "S13")


def test_three_jog_buttons_and_a_weld() -> None:
    """K4 has no button past it: dead without a fault, whatever is pressed; with K4 welded the three feed E1."""
    result = proved(past_each(4, 3))
    assert not any(sound.left for sound in result.sound)
    welded = {one.fault.id: one for one in result.dangerous}
    for name in ("weld:K4:1-2", "held:K4:coil"):
        assert welded[name].operators == tuple((button_, "operator") for button_ in ("S11", "S12", "S13"))
        assert welded[name].moment is Moment.TRIED
    assert "weld:K1:1-2" not in welded


TWO_HANDS = one_contactor(
    button("S2") + button("S9") + button("S10"), "X0:L>S1:11 S1:12>S9:13 S9:14>S10:13 S10:14>K1:A1"
)


def test_two_hands_held_across_the_release() -> None:
    """Both in series behind the stop: one of them held starts nothing, both held start E1 at the release and with the
    mains."""
    [sound] = proved(TWO_HANDS).sound
    assert (sound.left, sound.on_release, sound.on_mains) == ((), (), ())
    assert sound.on_held == ("E1",)
    assert sound.worked[Moment.HELD, "E1"] == ("S10", "S9")


def test_what_a_hand_held_while_the_machine_ran_is_held_on() -> None:
    """The state says that the pedal is down; there is nothing else to press."""
    text = one_contactor(
        "S4: {kind: foot-switch, contacts: {13-14: NO}}\n",
        "X0:L>S1:11 S1:12>S4:13 S4:14>K1:A1",
        states="hot: {S4: worked}",
        stops="emergency: {devices: [S1], category: 0}",
    )
    [sound] = proved(text).sound
    assert sound.on_held == ("E1",)
    assert sound.worked[Moment.HELD, "E1"] == ("S4",)


#: K1 sealed in behind S1. K3 may bridge S1: its coil is fed by the second contact of S2 behind S1, or by its own seal
#: past S1, in both cases through a break contact of K4, which L keeps attracted for ever.
REMEMBERED = machine(
    stop_button()
    + button("S2", "13-14: NO, 23-24: NO")
    + heater()
    + contactor("K1")
    + "K3: {kind: relay, coil: 230 V AC 1 W, contacts: {13-14: NO, 23-24: NO}}\n"
    + "K4: {kind: relay, coil: 230 V AC 1 W, contacts: {21-22: NC}}\n",
    "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 "
    "S1:12>S2:23 S2:24>K4:21 K4:22>K3:A1 K3:A2>X0:N X0:L>K3:13 K3:14>S2:24 X0:L>K4:A1 K4:A2>X0:N "
    "X0:L>K3:23 K3:24>S1:12",
)


def test_a_fault_that_shows_at_the_second_demand_alone() -> None:
    """K4 dead, or its contact stays closed: nothing yet, since S2 is not pressed while the machine runs, and S1 cuts
    what S2 feeds. The start after the first stop pulls K3 in, which seals itself in and bridges S1: the second stop
    does nothing. The mains lost, K3 forgets."""
    result = proved(REMEMBERED)
    assert not any(sound.left or sound.on_demand for sound in result.sound)
    later = {one.fault.id for one in result.dangerous if one.moment is Moment.DEMAND}
    assert {"dead:K4:coil", "weld:K4:21-22"} <= later
    at_once = {one.fault.id for one in result.dangerous if one.moment is Moment.STOP}
    assert {"held:K3:coil", "weld:K3:23-24", "weld:K1:1-2", "held:K1:coil"} <= at_once


def test_a_machine_that_stops_once() -> None:
    """Without K4 the sound machine itself does so: the first start leaves S1 bridged for good. While the machine runs
    K3 stands attracted from its last start, so that the first stop fails already."""
    text = REMEMBERED.replace("from: 'S2:24', to: 'K4:21'", "from: 'S2:24', to: 'K3:A1'")
    assert [sound.left for sound in proved(text).sound] == [("E1",)]


#: Two lines of a three-phase feed in one cable to the bench: E1 behind K1 on L1, the socket lamp H1 on L2 unswitched.
TWO_LINES = SEAL.replace("system: single-phase, voltage: 230 V", "system: three-phase, voltage: 400 V")
TWO_LINES = TWO_LINES.replace("X0: {kind: inlet}", "X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}").replace(
    "X0:L,", "X0:L1,"
)
TWO_LINES = (
    TWO_LINES.replace("  E1:", "  H1: {kind: lamp, rated: 230 V AC 10 W, at: machine}\n  E1:").replace(
        "  - {wire: 2, from: K1:2, to: E1:1, size: 1.5 mm2, length: 1 m}\n", ""
    )
    + "  - {wire: 11, from: X0:N, to: H1:X2, size: 1.5 mm2, length: 1 m}\n"
    + "cables:\n  - {cable: W1, cores: 2, size: 1.5 mm2, length: 3 m, "
    + "join: {'1': ['K1:2', 'E1:1'], '2': ['X0:L2', 'H1:X1']}}\n"
)


def test_two_cores_that_touch_while_the_stop_is_in() -> None:
    """While the machine runs L1 meets L2 through the closed pole: the supply is cut, and nothing stays. With the stop
    in the pole is open, and L2 feeds E1 against N with 230 V."""
    found = one(TWO_LINES, "cores:W1.1+W1.2")
    assert found.verdict is Verdict.DANGEROUS
    assert found.while_stopped
    assert (found.moment, found.alive) == (Moment.STOP, ("E1",))


def test_low_supplies_where_a_relay_that_lets_go_closes_another_way() -> None:
    """K3 hangs on L for ever; its break contact leads L past S1 to K1. With full volts it never closes; with few K3 may
    let go while K1 still attracts. In the plain seal nothing that lets go closes anything."""
    text = one_contactor(
        button("S2") + "K3: {kind: relay, coil: 230 V AC 1 W, contacts: {21-22: NC}}\n",
        "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 X0:L>K3:A1 K3:A2>X0:N X0:L>K3:21 K3:22>K1:A1",
    )
    [sound] = proved(text).sound
    assert (sound.left, sound.on_low) == ((), ("E1",))
    [sound] = proved(SEAL).sound
    assert (sound.on_low, sound.by_numbers) == ((), False)


def test_a_broken_conductor_counts_where_another_fault_lets_it_answer() -> None:
    """K3 is held through two ways, wire 9 and the contact of K5. Each alone may fail: K3 stays in, and its break
    contact past K1 stays open. Both gone, K3 lets go and feeds E1 past K1, stop or no stop. The break of wire 9 moves
    no coil by itself, so that it counts as a second fault alone."""
    text = one_contactor(
        contactor("K3", "21-22: NC") + contactor("K5"),
        "X0:L>S1:11 S1:12>K1:A1 K1:1>K3:21 K3:22>K1:2 X0:L>K3:A1 K3:A2>X0:N "
        "X0:L>K5:13 K5:14>K3:A1 X0:L>K5:A1 K5:A2>X0:N",
        stops="emergency: {devices: [S1], category: 0}",
    )
    hidden = {one.fault.id: one.next for one in proved(text).hidden}
    assert "open:9" in hidden["dead:K5:coil"]


#: K5 is sealed in by the reset S2 behind S1; behind it S7, left on, leads to K1.
MASTER = one_contactor(
    "K5: {kind: relay, coil: 230 V AC 1 W, contacts: {13-14: NO, 23-24: NO}}\n"
    + button("S2")
    + button("S7", kind="selector"),
    "X0:L>S1:11 S1:12>S2:13 S2:13>K5:13 S2:14>K5:A1 K5:14>K5:A1 K5:A2>X0:N X0:L>K5:23 K5:24>S7:13 S7:14>K1:A1",
    states="hot: {E1: on, S7: worked}",
)
#: S7 ahead of the start: turned on after S2 it starts nothing, so that S2 is the start.
CHOSEN = one_contactor(
    button("S2") + button("S7", kind="selector"),
    "X0:L>S1:11 S1:12>S7:13 S7:14>S2:13 S7:14>K1:13 S2:14>K1:A1 K1:14>K1:A1",
    states="hot: {E1: on, S7: worked}",
)


@pytest.mark.parametrize(("text", "started"), [(MASTER, ("E1",)), (CHOSEN, ()), (SEAL, ())])
def test_a_reset_that_starts_what_an_operator_was_left_on_for(text: str, started: tuple[str, ...]) -> None:
    """ISO 13849-1 5.2.2, IEC 60204-1 9.2.3.4.2 (from memory): the reset permits a start and makes none, with a stop
    relay and without."""
    assert tuple(name for one in reset_starts(design(text).stopping) for name in one.started) == started
