"""A stop is proved from every state of the plan that differs in what is worked, picked up or fed.

Expected by hand before the first run, on circuits small enough to see through. Each has a stop that is right in
one state and wrong in another; the wrong wire is an ordinary mistake: a feed taken ahead of the stop. The circuits are
common practice, no source.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import cache

import pytest
from helpers import design
from operated import button, contactor, heater, machine, stop_button

from wiring.control.script import Moment
from wiring.design.design import Design
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.documents.contents import stops_of
from wiring.rehearsal.bench import Bench
from wiring.reports.stop_json import render_stop_json
from wiring.reports.stop_report import render_stop, stop_exit
from wiring.rules.run import judge
from wiring.rules.stop_leaves_hazard import by_proof

SELECTORS = button("S3", "13-14: NO", "selector") + button("S4", "13-14: NO", "selector")
RIGHT, WRONG = "S1:12", "X0:L"
STATES = "right: {E1: on, S3: worked}, left: {E1: on, S4: worked}"
#: One load that two contactors feed, each by a selector of its own, each out while the other is in.
REVERSING = (
    "X0:L>K1:1 K1:2>E1:1 X0:L>K2:1 K2:2>E1:1 X0:N>E1:2 K1:A2>X0:N K2:A2>X0:N X0:L>S1:11 S1:12>S3:13 "
    "S3:14>K2:21 K2:22>K1:A1 {feed}>S4:13 S4:14>K1:21 K1:22>K2:A1"
)
#: A drive of its own and a heater that one state alone feeds, and at the same time as nothing else.
HEATING = (
    "X0:L>K1:1 K1:2>E1:1 X0:L>K2:1 K2:2>E2:1 X0:N>E1:2 X0:N>E2:2 K1:A2>X0:N K2:A2>X0:N X0:L>S1:11 S1:12>S3:13 "
    "S3:14>K1:A1 {feed}>S4:13 S4:14>K2:A1"
)
#: Slow and fast over contactors locked mechanically: the selector at rest runs slow.
TWO_SPEEDS = (
    "X0:L>K1:1 K1:2>E1:1 X0:L>K2:1 K2:2>E1:1 X0:N>E1:2 K1:A2>X0:N K2:A2>X0:N X0:L>S1:11 S1:12>S3:11 S3:12>K1:A1 "
    "{feed}>S3:13 S3:14>K2:A1"
)
#: A position of one selector feeds the load itself, past the contactor that the stop lets go.
POSITION = (
    "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>S3:11 S3:12>K1:A1 X0:L>S1:21 {past}>S3:13 S3:14>E1:1"
)
#: The seal of the second contactor is fed ahead of the stop, its start button behind it: once it has let go, no hand
#: brings it back while the stop is in.
SEALED = (
    "X0:L>K1:1 K1:2>E1:1 X0:L>K2:1 K2:2>E1:1 X0:N>E1:2 K1:A2>X0:N K2:A2>X0:N X0:L>S1:11 S1:12>S3:13 S3:14>K2:21 "
    "K2:22>K1:A1 S1:12>K1:13 K1:14>K2:21 S1:12>S4:13 S4:14>K1:21 K1:22>K2:A1 {feed}>K2:13 K2:14>K1:21"
)
BUTTONS, SEALS = button("S3") + button("S4"), "13-14: NO, 21-22: NC"

PLANS = {
    "sealed": (heater() + contactor("K1", SEALS) + contactor("K2", SEALS) + BUTTONS, SEALED, STATES, "left", "E1"),
    "reversing": (
        heater() + contactor("K1", "21-22: NC") + contactor("K2", "21-22: NC") + SELECTORS,
        REVERSING,
        STATES,
        "left",
        "E1",
    ),
    "heater": (
        heater() + heater("E2") + contactor("K1") + contactor("K2") + SELECTORS,
        HEATING,
        "work: {E1: on, S3: worked}, heat: {E2: on, S4: worked}",
        "heat",
        "E2",
    ),
    "two speeds": (
        heater()
        + contactor("K1").replace("{kind", "{interlock: K2, kind")
        + contactor("K2")
        + button("S3", "11-12: NC, 13-14: NO", "selector"),
        TWO_SPEEDS,
        "slow: {E1: on}, fast: {E1: on, S3: worked}",
        "fast",
        "E1",
    ),
    "position": (
        heater() + contactor("K1") + button("S3", "11-12: NC, 13-14: NO", "selector"),
        POSITION.replace("{past}", "{feed}"),
        "work: {E1: on}, by hand: {E1: on, S3: worked}",
        "by hand",
        "E1",
    ),
}
BOOKS = ("iec", "na")


@cache
def made(name: str, feed: str, book: str) -> Design:
    parts, wires, states, _, _ = PLANS[name]
    right = "S1:22" if name == "position" else RIGHT
    states = states.replace("by hand:", "by-hand:")
    text = machine(stop_button() + parts, wires.format(feed=right if feed == RIGHT else feed), states=states)
    return design(text.replace(", reset: S2", ""), book)


def told(name: str) -> tuple[str, str]:
    *_, state, target = PLANS[name]
    return state.replace(" ", "-"), target


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize("name", PLANS)
def test_what_another_state_alone_feeds_past_the_stop_is_danger(name: str, book: str) -> None:
    state, target = told(name)
    found = [one for one in judge(made(name, WRONG, book)).findings if one.rule == "stop-leaves-hazard"]
    assert any(target in one.subjects and f"`{state}`" in one.summary for one in found), [one.summary for one in found]


@pytest.mark.parametrize("name", PLANS)
def test_the_same_behind_the_stop_is_quiet(name: str) -> None:
    slugs = {one.rule for one in judge(made(name, RIGHT, "iec")).findings}
    assert "stop-leaves-hazard" not in slugs


def test_what_the_proof_leaves_alive_is_told_where_the_effects_of_the_stop_take_it_as_gone() -> None:
    machine_ = made("sealed", WRONG, "iec")
    left = {(effect.stop, effect.device, name) for effect in machine_.stops for name in effect.left}
    assert ("emergency", "S1", "E1") in left
    summary = "S1 of stop emergency leaves E1 alive while `left` runs"
    assert summary not in [one.summary for one in by_proof(machine_, frozenset())]
    assert summary in [one.summary for one in by_proof(machine_, left)]


def test_the_complete_proof_fails_the_stop_in_text_and_json() -> None:
    machine_ = made("sealed", WRONG, "iec")
    whole = account(machine_.stopping, full_proof(machine_.stopping))
    data = json.loads(render_stop_json(whole, "plan.yaml"))["stops"]["emergency"]
    assert stop_exit(whole) == 1
    assert "ALIVE" in render_stop(whole, "plan.yaml", width=100, colour=False)
    assert data["devices"]["S1"]["left"] == []
    assert data["while"]["left"]["devices"]["S1"]["left"] == ["E1"]


def test_a_fault_that_only_one_state_shows_is_told_with_it() -> None:
    """K2 welded is the danger while E2 is heated; K1 that fails closed is told once."""
    proof = made("heater", RIGHT, "iec").stop_proof
    by_state = {
        result.use.state: {one.fault.id: one.alive for one in result.dangerous if one.fault.kind == "weld"}
        for result in proof.results.values()
    }
    merged = {fault: alive for found in by_state.values() for fault, alive in found.items()}
    assert merged["weld:K1:1-2"] == ("E1",)
    assert merged["weld:K2:1-2"] == ("E2",)
    assert sum("weld:K1:1-2" in found for found in by_state.values()) == 1


#: A stop with two contacts in the line of a seal, the first of them bridged, and a third one in the start. In each row
#: the bridge, its parts and wires, what the second state works, the names of both, and the one in which the bridge
#: conducts: there a second contact that does not open keeps K1 in. In the other, which is proved first and has as many
#: coils in or more, the first contact opens, K1 lets go, and no hand brings it back while the stop is in.
BRIDGED = {
    "a selector": (
        "S3:13 S3:14",
        button("S3", "13-14: NO", "selector"),
        "",
        "S3: worked",
        ("work", "by-hand"),
        "by-hand",
    ),
    "a relay that is out": (
        "K3:21 K3:22",
        contactor("K3", "21-22: NC") + button("S4", "13-14: NO", "selector"),
        "X0:L>S4:13 S4:14>K3:A1 K3:A2>X0:N",
        "S4: worked",
        ("bare", "more"),
        "bare",
    ),
}


@pytest.mark.parametrize("name", BRIDGED)
def test_a_fault_counts_in_the_state_with_fewer_coils_in_too(name: str) -> None:
    bridge, parts, wires, worked, (one, other), state = BRIDGED[name]
    near, far = bridge.split()
    stop = "S1: {kind: push-button, contacts: {11-12: NC, 21-22: NC, 31-32: NC}}\n"
    text = machine(
        stop + heater() + contactor("K1") + button("S2") + parts,
        f"X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:31 S1:32>S2:13 S2:14>K1:A1 X0:L>S1:11 S1:12>S1:21 "
        f"X0:L>{near} {far}>S1:21 S1:22>K1:13 K1:14>K1:A1 {wires}",
        states=f"{one}: {{E1: on}}, {other}: {{E1: on, {worked}}}",
    )
    [told] = stops_of(design(text), judge(design(text)))
    assert design(text).stopping.from_states[0].state != state
    faults = dict(told["verdicts"])["Dangerous"]
    assert [words for words in faults if "S1:21-22" in words] == [
        f"weld:S1:21-22: contact S1:21-22 does not open while `{state}` runs"
    ]


def test_a_guard_that_no_stop_names_is_opened_in_every_state() -> None:
    """The start leads over one contact of B1, the seal over another that a selector bridges: worked by hand, the
    machine goes on with B1 open; otherwise K1 lets go, and no hand brings it back meanwhile."""
    wires = (
        "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>B1:21 B1:22>S2:13 S2:14>K1:A1 S1:12>B1:11 "
        "B1:12>K1:13 S1:12>S3:13 S3:14>K1:13 K1:14>K1:A1"
    )
    parts = stop_button() + heater() + contactor("K1") + button("S2") + button("S3", "13-14: NO", "selector")
    text = machine(
        parts + "B1: {kind: guard-switch, contacts: {11-12: NC, 21-22: NC}}\n",
        wires,
        states="work: {E1: on}, by-hand: {E1: on, S3: worked}",
    )
    machine_ = design(text)
    told = account(machine_.stopping, full_proof(machine_.stopping))
    assert [(use.state, sound.left) for use, sound in told.guards] == [("", ()), ("by-hand", ("E1",))]
    assert "B1 while `by-hand` runs: E1 ALIVE" in render_stop(told, "plan.yaml", width=100, colour=False)
    assert json.loads(render_stop_json(told, "plan.yaml"))["guards"]["B1"]["while"]["by-hand"]["left"] == ["E1"]


def test_states_that_differ_in_nothing_are_proved_once() -> None:
    parts, wires, _, _, _ = PLANS["heater"]
    states = "one: {E1: on, S3: worked}, two: {E1: on, S3: worked}, off: {S3: worked}"
    plan = machine(stop_button() + parts, wires.format(feed=RIGHT), states=states)
    assert len(design(plan.replace(", reset: S2", "")).stop_proof.results) == 1


#: K3 is started by S4, seals itself in ahead of everything, and only the mains let it go. Its break contact lies past
#: S1: the machine with K3 in stops, and from the first power-up until S4 is pressed it does not.
HOLDS_ITSELF = (
    "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1 "
    "X0:L>S4:13 S4:14>K3:A1 X0:L>K3:13 K3:14>K3:A1 K3:A2>X0:N {near}>K3:21 K3:22>S1:12"
)


@pytest.mark.parametrize(("near", "left"), [("X0:L", ("E1",)), ("S1:12", ())])
def test_a_relay_that_holds_itself_in_may_be_out_as_well(near: str, left: tuple[str, ...]) -> None:
    parts = stop_button() + heater() + contactor("K1") + contactor("K3", "13-14: NO, 21-22: NC")
    text = machine(parts + button("S2") + button("S4"), HOLDS_ITSELF.format(near=near), states="work: {E1: on}")
    machine_ = design(text)
    by_state = {result.use.state: result.sound[0].left for result in machine_.stop_proof.results.values()}
    assert by_state == {"": (), "work with K3 out": left}
    bench = Bench(machine_)
    bench.run_from_work(machine_.stopping.from_states[1].uses[0])
    assert [bench.hands.state, ("K3", "coil") in bench.memory().attracted] == ["work", False]
    told = [one for one in judge(machine_).findings if one.rule == "stop-leaves-hazard"]
    assert [one.summary for one in told] == [
        f"S1 of stop emergency leaves {name} alive while `work with K3 out` runs" for name in left
    ]


#: Relays that seal themselves in ahead of everything, started by buttons of their own, each with the contacts of a wire
#: past S1 that it bears. What no plan says is which of them are in: a mixture is dangerous where all contacts of that
#: wire conduct. By hand: break contacts of those that are out, make contacts of those that are in.
MIXTURES = {
    "one out and one in": ({"K3": "nc", "K4": "no"}, "", {"work with K3 out"}),
    "both out": ({"K3": "nc", "K4": "nc"}, "", {"work with K3 and K4 out"}),
    "two out of three": ({"K3": "nc", "K4": "nc", "K5": "no"}, "", {"work with K3 and K4 out"}),
    "one out of three": ({"K3": "nc", "K4": "no", "K5": "no"}, "", {"work with K3 out"}),
    "all in": ({"K3": "no", "K4": "no"}, "", {""}),
    # Each in the line of the other one's coil: the state has both out, and no plan says that neither is in.
    "in against each other": ({"K4": "no"}, "K3 K4", {"work with K4 in"}),
    "out while the other is in": ({"K3": "no", "K4": "nc"}, "K3 K4", {"work with K3 in"}),
}


def _sealing(relays: Sequence[str], against: str) -> str:
    """The line of every relay: its button, its seal beside it, and the break contact of the other one of a pair."""
    wires = []
    for n, name in enumerate(relays, 4):
        other = next((one for one in against.split() if one != name and name in against.split()), "")
        over = f"X0:L>{other}:31 {other}:32>" if other else "X0:L>"
        wires.append(f"{over}S{n}:13 S{n}:14>{name}:A1 S{n}:13>{name}:13 {name}:14>{name}:A1 {name}:A2>X0:N")
    return " ".join(wires)


def _past(contacts: Mapping[str, str]) -> str:
    """One wire from ahead of S1 to behind it, over a contact of each relay."""
    point, wires = "X0:L", []
    for name, way in contacts.items():
        near, far = (21, 22) if way == "nc" else (43, 44)
        wires.append(f"{point}>{name}:{near}")
        point = f"{name}:{far}"
    return " ".join([*wires, f"{point}>S1:12"])


def _mixed(contacts: Mapping[str, str], against: str, more: Sequence[str] = ()) -> Design:
    relays = sorted({*contacts, *against.split(), *more})
    parts = stop_button() + heater() + contactor("K1") + button("S2")
    for n, name in enumerate(relays, 4):
        parts += button(f"S{n}") + contactor(name, "13-14: NO, 21-22: NC, 31-32: NC, 43-44: NO")
    run = "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1"
    return design(machine(parts, f"{run} {_sealing(relays, against)} {_past(contacts)}", states="work: {E1: on}"))


def _left(machine_: Design) -> set[str]:
    """The states in which E1 stays alive with S1 in and no hand on anything else."""
    return {
        result.use.state
        for result in machine_.stop_proof.results.values()
        if "E1" in result.sound[0].left and (Moment.TRIED, "E1") not in result.sound[0].worked
    }


@pytest.mark.parametrize("name", MIXTURES)
def test_relays_that_hold_themselves_are_tried_in_every_mixture(name: str) -> None:
    contacts, against, dangerous = MIXTURES[name]
    assert _left(_mixed(contacts, against)) == dangerous


def test_of_many_mixtures_any_two_relays_are_tried_in_every_way() -> None:
    """Five relays make 32 mixtures, of which a few are starts: the wire past S1 hangs on two of them."""
    machine_ = _mixed({"K3": "nc", "K6": "no"}, "", ["K4", "K5", "K7"])
    assert 5 <= len(machine_.stopping.from_states) <= 17
    assert _left(machine_)
    assert all("K3" in state and "K6" not in state for state in _left(machine_))
