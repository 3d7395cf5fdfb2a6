"""Devices that are held to run: let go, they stop (IEC 60204-1:2016 9.2.3.7, from memory).

Expected by hand before the first run. A pedal S7 lies in the way of the coils; a state says that a foot holds it. The
stop of S7 is the pedal let go; it stays let go until it is pressed again, which is a start. What a foot on it
brings back by the return of the mains is told (IEC 60204-1 7.5). A contact of it that fails closed, and the pedal stuck
down, are faults of it as of any other device (ISO 13849-2:2012 table D.8, from memory).
"""

from __future__ import annotations

import json
from functools import cache
from typing import NamedTuple

import pytest
from helpers import design
from operated import button, one_contactor, relay

from wiring.control.alive import is_alive
from wiring.control.numeric_simulation import run_script
from wiring.control.script import Moment
from wiring.control.verdicts import Verdict
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult
from wiring.powerup.sheet import build
from wiring.powerup.step import Stage
from wiring.rehearsal.bench import Bench
from wiring.rehearsal.stories import Play, stories_of
from wiring.reports.stop_json import render_stop_json
from wiring.reports.stop_report import render_stop
from wiring.rules.run import judge

STOPS = "emergency: {devices: [S1], category: 0, reset: S2}, pedal: {devices: [S7], category: 0}"
HELD = "heating: {E1: on, S7: worked}"
PEDAL = button("S7", kind="foot-switch")
TWO = button("S7", "13-14: NO, 23-24: NO", kind="foot-switch")
#: One contact of the pedal before the one coil.
PLAIN = one_contactor(PEDAL, "X0:L>S1:11 S1:12>S7:13 S7:14>K1:A1", stops=STOPS.replace(", reset: S2", ""), states=HELD)
#: Two contacts, each before the coil of one of two contactors behind a stop relay.
RELAYED = relay(TWO, "K2:2>E1:1", stops=STOPS, states=HELD)
RELAYED = RELAYED.replace("'K0:14', to: 'K1:A1'", "'K0:14', to: 'S7:13'").replace(
    "'K0:24', to: 'K2:A1'", "'K0:24', to: 'S7:23'"
)
RELAYED = RELAYED.replace(
    "wires:\n",
    "wires:\n  - {wire: 91, from: 'S7:14', to: 'K1:A1', size: 1.5 mm2, length: 1 m}\n"
    "  - {wire: 92, from: 'S7:24', to: 'K2:A1', size: 1.5 mm2, length: 1 m}\n",
)
#: The pedal with a wire across its contact.
BRIDGED = PLAIN.replace("wires:\n", "wires:\n  - {wire: 99, from: 'S7:13', to: 'S7:14', size: 1.5 mm2, length: 1 m}\n")
#: A pedal that latches is worked, not held.
LATCHING = PLAIN.replace("kind: foot-switch", "kind: foot-switch, action: latching")


class Row(NamedTuple):
    """What the pedal leaves, what starts by itself, what starts with a foot on it, and faults that defeat it."""

    plan: str
    left: tuple[str, ...]
    on_mains: tuple[str, ...]
    on_held: tuple[str, ...]
    dangerous: dict[str, Moment]


ROWS = {
    "one contact": Row(
        PLAIN,
        (),
        (),
        ("E1",),
        {
            "weld:S7:13-14": Moment.STOP,
            "jammed:S7": Moment.STOP,
            "weld:K1:1-2": Moment.STOP,
            "held:K1:coil": Moment.STOP,
        },
    ),
    "two contacts behind a stop relay": Row(RELAYED, (), (), (), {"jammed:S7": Moment.STOP}),
    "bridged": Row(BRIDGED, ("E1",), ("E1",), ("E1",), {}),
    "latching": Row(LATCHING, ("E1",), ("E1",), (), {}),
}
#: Kinds of fault of which a row gives all that are dangerous.
KINDS = ("weld", "held", "jammed")


@cache
def proved(text: str) -> dict[str, StopResult]:
    return dict(full_proof(design(text).stopping).results)


@pytest.mark.parametrize("name", ROWS)
def test_the_stop_of_what_is_held_is_letting_go(name: str) -> None:
    row = ROWS[name]
    result = proved(row.plan)["pedal"]
    [sound] = result.sound
    assert (sound.running, sound.again, sound.left) == (("E1",), True, row.left)
    assert sound.on_demand == sound.on_release == ()
    if not row.left:
        assert (sound.on_mains, sound.on_held) == (row.on_mains, row.on_held)
        found = {one.fault.id: one.moment for one in result.dangerous if one.fault.kind in KINDS}
        assert found == row.dangerous


def test_a_welded_contact_of_two_stays_unseen_until_the_other_one_welds() -> None:
    """K1 stays in, K2 lets go, and the pedal pressed again runs the machine: nobody sees it before the next weld."""
    hidden = {one.fault.id: set(one.next) for one in proved(RELAYED)["pedal"].hidden}
    assert {"weld:S7:23-24", "weld:K2:1-2", "held:K2:coil"} <= hidden["weld:S7:13-14"]


def test_the_other_stop_stands_over_the_pedal() -> None:
    """IEC 60204-1 9.2.3.4.1, from memory: with the foot on the pedal S1 stops; a stuck pedal starts K1 again when S1 is
    released, a foot that stays on it too. Behind the stop relay neither does before the reset."""
    plain, relayed = proved(PLAIN)["emergency"], proved(RELAYED)["emergency"]
    assert (plain.sound[0].left, plain.sound[0].on_held) == ((), ("E1",))
    assert {one.fault.id: one.moment for one in plain.dangerous}["jammed:S7"] is Moment.RELEASE
    assert (relayed.sound[0].left, relayed.sound[0].on_held) == ((), ())
    assert "jammed:S7" not in {one.fault.id for one in relayed.dangerous}


def test_check_knows_what_is_held() -> None:
    """No finding wants a break contact of the pedal or that it latches; the wire across it is named as a bypass."""
    for text, wanted in ((RELAYED, set()), (BRIDGED, {"stop-contact-bypassed"})):
        told = {one.rule for one in judge(design(text)).standing if "S7" in one.subjects}
        assert not {"stop-contact-normally-open", "stop-device-not-latching"} & told
        assert wanted <= told


def test_what_a_person_reads() -> None:
    """The page and the JSON say that S7 stops by being let go, and tell its stories so."""
    stopping = design(PLAIN).stopping
    told = account(stopping, full_proof(stopping))
    text = render_stop(told, "plan.yaml", width=100, colour=False)
    for words in (
        "Stop pedal, category 0, devices S7 (held to run)",
        "E1 starts when the mains return, with S7 held.",
        "E1 stays fed while S7 is let go",
        "let S7 go: nothing answers",
    ):
        assert words in text
    assert "press S7" not in text
    data = json.loads(render_stop_json(told, "plan.yaml"))["stops"]
    assert data["pedal"]["devices"]["S7"]["stops_by"] == "being let go"
    assert data["emergency"]["devices"]["S1"]["stops_by"] == "being worked"
    story = next(one["story"] for one in data["pedal"]["faults"] if one["fault"] == "weld:S7:13-14")
    assert story[0] == "contact S7:13-14 does not open"
    assert story[2].startswith("let S7 go: ")


def test_a_wrong_pedal_is_dangerous_in_logic_alone_as_well() -> None:
    [verdict] = [
        one
        for one in design(PLAIN).stop_proof.results["pedal"].verdicts
        if one.fault.id == "jammed:S7" and one.device == "S7"
    ]
    assert verdict.verdict is Verdict.DANGEROUS


def test_the_power_up_sheet_lets_it_go() -> None:
    """Held, K1 is in; let go, it is out: the row of the pedal wants both. S1 is pressed with the pedal held."""
    lines = [one for one in build(design(PLAIN)).lines if one.stage is Stage.STOP and not one.annex]
    seen = [
        (line.action.partition(", A1-A2, ")[2], [event.on for event in line.setting.events])
        for line in lines
        if line.setting is not None
    ]
    assert ("before foot-switch (S7) is let go", [True]) in seen
    assert ("with foot-switch (S7) let go", [True, False]) in seen
    assert ("with emergency-stop (S1) pressed", [True, True]) in seen


def test_a_rehearsed_story_lets_it_go_as_the_proof_does() -> None:
    machine = design(PLAIN)
    proof = full_proof(machine.stopping)
    for fault in ("", "weld:S7:13-14", "open:1"):
        story = stories_of(proof)["pedal", "S7", fault]
        seen = run_script(proof.running, story.use, "S7", story.faults, story.condition)
        play = Play(Bench(machine), story)
        before: tuple[str, ...] = ()
        while play.steps:
            moment = play.next()
            alive = tuple(one.name for one in story.use.targets if is_alive(one, play.bench.last_point))
            if moment is not None:
                gone = before if moment in (Moment.MAINS_OFF, Moment.MAINS_ON) else ()
                assert tuple(name for name in alive if name not in gone) == seen[moment].alive, (fault, moment)
                before = alive if moment in (Moment.AGAIN, Moment.MAINS_OFF) else before
        assert "S7 is let go" in play.told


def test_the_reset_is_pressed_with_no_foot_on_the_pedal() -> None:
    """A contact of the pedal in the reset loop, as is common: who resets lets it go, and steps on it again after."""
    text = RELAYED.replace("23-24: NO}, ", "23-24: NO, 31-32: NC}, ").replace("23-24: NO}}", "23-24: NO, 31-32: NC}}")
    assert "31-32: NC" in text
    text = text.replace("from: 'K0:S33', to: 'S2:13'", "from: 'K0:S33', to: 'S7:31'").replace(
        "wires:\n", "wires:\n  - {wire: 93, from: 'S7:32', to: 'S2:13', size: 1.5 mm2, length: 1 m}\n", 1
    )
    stopping = design(text).stopping
    use = next(one for one in stopping.uses if "S1" in one.devices)
    seen = run_script(stopping.from_states[0].running, use, "S1", ())
    assert (seen[Moment.RELEASE].alive, seen[Moment.AGAIN].alive) == ((), ("E1",))
