"""What a stop is worth while other operators are worked: tables derived by hand before the first run.

`left`: fed while the stop is in, in any position of the other operators. `release`, `mains`: starts then, with no hand
on the machine (selectors, keys and process switches stay where they are). `held`: starts at the release or with the
mains because a hand holds a spring-return operator, and not without it. `reset`: starts by the reset of a unit alone.
`unfed`: fed in no state.
Sources: stop functions override start functions, IEC 60204-1 9.2.3.3; resetting starts nothing, IEC 60204-1 9.2.3.4.2,
ISO 13849-1 5.2.2; the return of the mains starts nothing, IEC 60204-1 7.5 (all from memory).
"""

# ruff: noqa: E501 - a circuit is a row of the table

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import pytest
from circuits import SEAL
from helpers import design, loaded
from operated import button, heater, machine, one_contactor, relay, stop_button

from wiring.control.script import Moment
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopProof, StopResult
from wiring.design.stop.stopping import Stopping
from wiring.findings import NotJudged, Signal
from wiring.reports.stop_report import stop_exit
from wiring.rules import stop_leaves_hazard
from wiring.rules.run import judge


class Row(NamedTuple):
    name: str
    plan: str
    left: str = ""
    release: str = ""
    mains: str = ""
    held: str = ""
    reset: str = ""
    unfed: str = ""
    by: str = ""  # operators that decide, at the first moment named above


SELECTOR = button("S7", kind="selector")
PEDAL = button("S4", kind="foot-switch")
#: A second heater straight on the mains behind a contact, beside the two channels of E1.
BESIDE = "K2:2>E1:1 X0:L>S7:13 S7:14>E2:1 E2:2>X0:N"

ROWS = (
    # S7 closed feeds E2 past everything. No state closes it, so E2 is also fed in no state. Reset alone feeds E1.
    Row("a heater behind a selector alone", relay(SELECTOR + heater("E2"), BESIDE), left="E2", mains="E2", reset="E1", unfed="E2", by="S7"),
    # The state says that S7 is worked: fed, and still past the stop.
    Row("the same, and a state works the selector", relay(SELECTOR + heater("E2"), BESIDE, states="hot: {S7: worked}"), left="E2", mains="E2", reset="E1"),
    # S7 ahead of K1, K2: nothing reaches it while they are out; they fall with the mains and wait for the reset.
    Row("a selector behind the contactors", relay(SELECTOR, "K2:2>S7:13 S7:14>E1:1"), unfed="E1"),
    Row("the same, worked", relay(SELECTOR, "K2:2>S7:13 S7:14>E1:1", states="hot: {S7: worked}"), reset="E1"),
    # The key joins 13-14 and 23-24 of K0: both coils stay fed from G1 whatever K0 does, mains returned as well. The
    # mirror contacts then keep the reset from counting, but nothing needs it.
    Row("a key across both outputs", relay(button("S8", "13-14: NO, 23-24: NO", "key-switch"), "K2:2>E1:1 K0:13>S8:13 S8:14>K0:14 K0:23>S8:23 S8:24>K0:24"), left="E1", mains="E1", reset="E1", by="S8"),
    # One output bridged keeps K1 in; K2 falls and parts E1.
    Row("a key across one output", relay(button("S8", kind="key-switch"), "K2:2>E1:1 K0:13>S8:13 S8:14>K0:14"), reset="E1"),
    # A jog button with two contacts, past both poles. Let go it parts them again.
    Row("a jog button across both poles", relay(button("S9", "13-14: NO, 23-24: NO"), "K2:2>E1:1 K1:1>S9:13 S9:14>K1:2 K2:1>S9:23 S9:24>K2:2"), left="E1", reset="E1", by="S9"),
    # Two buttons, each past one pole: both pressed feed E1.
    Row("two jog buttons across one pole each", relay(button("S9") + button("S10"), "K2:2>E1:1 K1:1>S9:13 S9:14>K1:2 K2:1>S10:13 S10:14>K2:2"), left="E1", reset="E1", by="S9 S10"),
    # One button past one pole: the other pole stands open.
    Row("one jog button across one pole", relay(button("S9"), "K2:2>E1:1 K1:1>S9:13 S9:14>K1:2"), reset="E1"),
    # Start held while the stop is released, or the mains return, feeds the coil. No unit, so no reset of one.
    Row("a seal with its start held", SEAL, held="E1", by="S2"),
    # The stop stands in the seal only: the start feeds the coil past it, and let go the seal is open.
    Row("a start past the stop", one_contactor(button("S2"), "X0:L>S2:13 S2:14>K1:A1 X0:L>S1:11 S1:12>K1:13 K1:14>K1:A1"), left="E1", by="S2"),
    Row("a pedal past the stop", one_contactor(button("S2") + PEDAL, "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 X0:L>S4:13 S4:14>K1:A1"), left="E1", by="S4"),
    # Hold to run behind the stop: dead while it is in; a foot that stays on the pedal starts it at the release.
    Row("a pedal behind the stop", one_contactor(button("S2") + PEDAL, "X0:L>S1:11 S1:12>S4:13 S4:14>K1:A1"), held="E1", unfed="E1", by="S4"),
    Row("the same, worked in a state", one_contactor(button("S2") + PEDAL, "X0:L>S1:11 S1:12>S4:13 S4:14>K1:A1", states="hot: {S4: worked}"), held="E1"),
    # A selector stays: the release starts E1, and so do the mains.
    Row("a selector in place of a start", one_contactor(button("S2") + SELECTOR, "X0:L>S1:11 S1:12>S7:13 S7:14>K1:A1"), release="E1", mains="E1", unfed="E1", by="S7"),
    # A pressure switch closes by itself.
    Row("a pressure switch in place of a start", one_contactor(button("S2") + button("B3", kind="pressure-switch"), "X0:L>S1:11 S1:12>B3:13 B3:14>K1:A1"), release="E1", mains="E1", unfed="E1", by="B3"),
    # A pressure switch with a break contact is closed at rest: the same with no operator worked.
    Row("a pressure switch that opens", one_contactor(button("S2") + button("B3", "11-12: NC", "pressure-switch"), "X0:L>S1:11 S1:12>B3:11 B3:12>K1:A1"), release="E1", mains="E1"),
    # The selector sits in the seal beside the start: at rest the start must be pressed; worked, K1 is fed for ever.
    Row("a selector across the start", one_contactor(button("S2") + SELECTOR, "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 S2:13>S7:13 S7:14>S2:14"), release="E1", mains="E1", by="S7"),
    # A reset that counts while it is held: held across the release it starts E1. The mains: the same.
    Row("a manual reset", relay(mode="manual"), held="E1", reset="E1", by="S2"),
    # A monitored reset counts when it is let go.
    Row("a monitored reset", relay(), reset="E1"),
    # No reset at all: the release is one. The loop S33-S34 is closed by the mirrors alone.
    Row("an automatic reset", relay(mode="automatic").replace("from: 'S2:14', to: 'K1:21'", "from: 'K0:S33', to: 'K1:21'"), release="E1", mains="E1"),
    # Start behind the outputs, one contact a channel, each coil sealed by its own contact: the reset feeds no coil. A
    # start held at the reset is the start.
    Row(
        "a start behind the stop relay",
        relay(button("S5", "13-14: NO, 23-24: NO"), "K2:2>E1:1 K0:14>S5:13 S5:14>K1:A1 K1:14>K1:A1 K0:24>S5:23 S5:24>K2:A1 K2:14>K2:A1")
        .replace("{21-22: NC mirror}", "{13-14: NO, 21-22: NC mirror}")
        .replace("from: 'K0:14', to: 'K1:A1'", "from: 'K0:14', to: 'K1:13'")
        .replace("from: 'K0:24', to: 'K2:A1'", "from: 'K0:24', to: 'K2:13'"),
    ),
    # The guard opened feeds the service heater: the stop S1 takes nothing from it. The door stays open when S1 is
    # released and when the mains return.
    Row("a heater fed through a closed guard alone", relay(button("B7", "13-14: NC", "guard-switch") + heater("E3"), "K2:2>E1:1 X0:L>B7:13 B7:14>E3:1 E3:2>X0:N"), left="E3", mains="E3", reset="E1"),
    Row("a contact that an opened guard closes", relay(button("B7", "13-14: NO", "guard-switch") + heater("E3"), "K2:2>E1:1 X0:L>B7:13 B7:14>E3:1 E3:2>X0:N"), left="E3", mains="E3", reset="E1", unfed="E3", by="B7"),
    # E1 on the mains: no stop, and the mains start it.
    Row("no contact at all", machine(stop_button() + button("S2") + heater(), "X0:L>E1:1 E1:2>X0:N"), left="E1", mains="E1"),
    # A selector that springs back is let go before the release; held it is a held start.
    Row("a spring-return selector in place of a start", one_contactor(button("S2") + button("S7", kind="selector", more=", action: spring-return"), "X0:L>S1:11 S1:12>S7:13 S7:14>K1:A1"), held="E1", unfed="E1", by="S7"),
    # S6 held opens nothing that holds E1 off: a break contact in series with the coil only takes power away.
    Row("a break contact in series", one_contactor(button("S2") + button("S6", "11-12: NC"), "X0:L>S1:11 S1:12>S6:11 S6:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1"), held="E1", by="S2"),
    # S6 worked takes K3 away, whose break contact feeds K1 past the stop. When the mains return that contact is closed
    # until K3 attracts: K1 attracts with it and seals itself in.
    Row(
        "a break contact whose relay closes another way",
        one_contactor(
            button("S2") + button("S6", "11-12: NC") + "K3: {kind: relay, coil: 230 V AC 1 W, contacts: {21-22: NC}}\n",
            "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 X0:L>S6:11 S6:12>K3:A1 K3:A2>X0:N X0:L>K3:21 K3:22>K1:A1",
        ),
        left="E1", mains="E1", by="S6",
    ),
)  # fmt: skip


def table(result: StopResult) -> dict[str, set[str]]:
    [sound] = result.sound
    return {
        "left": set(sound.left),
        "release": set(sound.on_release),
        "mains": set(sound.on_mains),
        "held": set(sound.on_held),
        "reset": set(sound.on_reset),
        "unfed": set(result.unfed),
    }


_FIRST = (
    ("left", (Moment.TRIED,)),
    ("release", (Moment.RELEASE,)),
    ("mains", (Moment.MAINS_ON,)),
    ("held", (Moment.HELD,)),
)


@pytest.mark.parametrize("proof", [Stopping.proof.func, full_proof])
@pytest.mark.parametrize("row", ROWS, ids=[row.name for row in ROWS])
def test_by_hand(row: Row, proof: Callable[[Stopping], StopProof]) -> None:
    result = proof(design(row.plan).stopping).results["emergency"]
    wanted = {name: set(getattr(row, name).split()) for name in table(result)}
    assert table(result) == wanted
    if row.by:
        name, moments = next(item for item in _FIRST if wanted[item[0]])
        target = sorted(wanted[name])[0]
        [sound] = result.sound
        assert [set(sound.worked[moment, target]) for moment in moments] == [set(row.by.split())]


def test_a_state_works_only_what_can_be_worked() -> None:
    text = one_contactor(button("S2"), "X0:L>S1:11 S1:12>S2:13 S2:14>K1:A1", states="hot: {E1: worked}")
    faults = loaded(text).faults
    assert [fault.summary for fault in faults] == ["E1 is no switch that can be worked"]


@pytest.mark.parametrize("name", ["a heater behind a selector alone", "a selector behind the contactors"])
def test_what_no_state_feeds_is_asked_for(name: str) -> None:
    """The exit status is 1, and the question is one of a rule that can speak DANGER."""
    machine = design(next(row.plan for row in ROWS if row.name == name))
    assert stop_exit(account(machine.stopping, full_proof(machine.stopping))) == 1
    asked = [item for item in stop_leaves_hazard.check(machine) if isinstance(item, NotJudged)]
    assert [(item.signal, set(item.subjects)) for item in asked] in (
        [(Signal.DANGER, {"E1"})],
        [(Signal.DANGER, {"E2"})],
    )


def test_no_fault_counts_as_hidden_because_of_what_the_machine_leaves_alive_anyway() -> None:
    """E1 stays alive past the stop by the pedal: no pair of faults is needed for that, and none is told."""
    row = next(row for row in ROWS if row.name == "a pedal past the stop")
    assert full_proof(design(row.plan).stopping).results["emergency"].hidden == ()


def test_a_hold_to_run_button_is_a_make_contact_that_a_state_holds() -> None:
    """ISO 10218-1 and IEC 60947-5-8: open, closed, open again when pressed through, so that letting go and pressing
    through are one. It counts as any other operator. As a device of a stop it stops by being let go where a state holds
    it; where none does it is told, for it opens nothing when it is worked."""
    held = SEAL.replace("9, from: K1:A2, to: X0:N", "9, from: K1:A2, to: S9:13")
    held = held.replace("wires:\n", "wires:\n  - {wire: 10, from: S9:14, to: X0:N, size: 1.5 mm2, length: 1 m}\n", 1)
    held = held.replace("parts:\n", "parts:\n  S9: {kind: push-button, contacts: {13-14: NO}}\n", 1)
    state = "states: {jogging: {S9: worked, S2: worked}}\n"
    for text, unfed in ((held, ("E1",)), (held + state, ())):
        [result] = design(text).stop_proof.results.values()
        assert (result.unfed, [sound.left for sound in result.sound]) == (unfed, [()])
    as_stop = held.replace("devices: [S1]", "devices: [S1, S9]")
    wanted = {"stop-leaves-hazard", "stop-contact-normally-open"}
    for text, told in ((as_stop, wanted), (as_stop + state, set())):
        found = {one.rule for one in judge(design(text)).standing if "S9" in one.subjects}
        assert found & wanted == told
