"""IEC 60204-1, 9.3.4: what must never be on together is locked, whatever relays lie in between."""

from __future__ import annotations

from itertools import product

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "excluded-parts-on-together"
#: Two valves on relays that buttons hold; every wire ends where the ladder leads it.
SELF = ["S1:14>K1:A1", "S2:14>K2:A1"]
LADDERS = {
    "free": (SELF, True),
    "one way": (["S1:14>K2:21", "K2:22>K1:A1", "S2:14>K2:A1"], False),
    "both ways": (["S1:14>K2:21", "K2:22>K1:A1", "S2:14>K1:21", "K1:22>K2:A1"], False),
    "in the valve": (SELF, False),
    "one button": (["S1:14>S2:21", "S2:22>K1:A1", "S2:14>K2:A1"], False),
    "a third relay": (["K3:12>K1:A1", "K3:14>K2:A1", "G1:V+>K3:11", "S2:14>K3:A1", "K3:A2>G1:V-"], False),
    "a lock past its relay": (["S1:14>K3:A1", "K3:A2>G1:V-", "S2:14>K3:11", "K3:12>K2:A1", "S1:14>K1:A1"], False),
    "a contact of nothing": (["S1:14>K3:11", "K3:12>K1:A1", "S2:14>K2:A1"], True),
}


def valves(ladder: str = "free", excludes: str = "excludes: [Y2], ", second: str = "", states: str = "") -> str:
    """Y1 on K1 and Y2 on K2, each by its own button."""
    ends = ["X0:L>G1:L", "X0:N>G1:N", "X0:PE>G1:V-", "G1:V+>S1:13", "G1:V+>S2:13", "K1:A2>G1:V-", "K2:A2>G1:V-"]
    ends += ["G1:V+>K1:13", "G1:V+>K2:13", "K1:14>Y1:1", "Y1:2>G1:V-", "Y2:2>G1:V-", *LADDERS[ladder][0]]
    ends += ["K2:14>K1:31", "K1:32>Y2:1"] if ladder == "in the valve" else ["K2:14>Y2:1"]
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    relay = "{kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO, 21-22: NC, 31-32: NC}}"
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
{states}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  S1: {{kind: push-button, contacts: {{13-14: NO, 21-22: NC}}}}
  S2: {{kind: push-button, contacts: {{13-14: NO, 21-22: NC}}}}
  K1: {relay}
  K2: {relay}
  K3: {{kind: relay, coil: 24 V DC 1 W, contacts: {{11-12: NC, 11-14: NO}}}}
  Y1: {{kind: valve, {excludes}rated: 24 V DC 5 W}}
  Y2: {{kind: valve, {second}rated: 24 V DC 5 W}}
wires:
{lines}
"""


def by_hand(ladder: str) -> bool:
    """Whether some position of both buttons feeds both valves: the relays iterated from rest, in plain logic."""

    def settled(s1: bool, s2: bool) -> bool:
        k1 = k2 = k3 = False
        for _ in range(8):
            k3 = {"a third relay": s2, "a lock past its relay": s1}.get(ladder, False)
            k1, k2 = (
                {
                    "one way": s1 and not k2,
                    "both ways": s1 and not k2,
                    "one button": s1 and not s2,
                    "a third relay": not k3,
                }.get(ladder, s1),
                {"both ways": s2 and not k1, "a third relay": k3, "a lock past its relay": s2 and not k3}.get(
                    ladder, s2
                ),
            )
        return k1 and k2 and ladder != "in the valve"

    return any(settled(*pressed) for pressed in product((False, True), repeat=2))


@pytest.mark.parametrize("ladder", LADDERS)
def test_both_can_be_on_only_where_nothing_locks_them(ladder: str) -> None:
    found = fired(SLUG, design(valves(ladder)))
    assert bool(found) is LADDERS[ladder][1]
    assert ladder == "both ways" or by_hand(ladder) is LADDERS[ladder][1]  # both relays chatter in step by this logic
    assert all(one.subjects == ("Y1", "Y2") for one in found)


def test_either_may_say_it_and_a_lock_of_the_relays_counts_for_the_relays() -> None:
    assert fired(SLUG, design(valves("free", "", "excludes: [Y1], ")))
    relays = valves("free", "").replace("  K1: {kind: relay, ", "  K1: {kind: relay, excludes: [K2], ")
    assert [one.subjects for one in fired(SLUG, design(relays))] == [("K1", "K2")]
    assert fired(SLUG, design(relays.replace("excludes: [K2], ", "excludes: [K2], interlock: K2, "))) == []


@pytest.mark.parametrize(
    ("ladder", "excludes", "second", "states", "asked"),
    [
        ("free", "", "", "", True),
        ("both ways", "", "", "", False),
        ("free", "excludes: [], ", "", "", False),
        ("free", "", "excludes: [], ", "", False),
        ("free", "", "", "states: {on: {S1: worked, S2: worked}}", False),
    ],
)
def test_valves_of_which_nothing_is_said_are_asked(
    ladder: str, excludes: str, second: str, states: str, asked: bool
) -> None:
    found = open_questions(SLUG, design(valves(ladder, excludes, second, states)))
    assert [one.subjects for one in found] == ([("Y1", "Y2")] if asked else [])


INVERTER = "K1: {kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO, 21-22: NC}}\n" + (
    "A1: {kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 50 mA}, "
    "outputs: {O1: pnp, O2: pnp}, boot: off}\n"
    "T1: {use: inverter-230v-1.5kw%s}\n"
    "M1: {kind: motor, voltage: 230 V AC, phases: 3, rated_power: 1 kW, excludes: [Y1]}\n"
    "Y1: {kind: valve, rated: 24 V DC 5 W}\n"
)
ENDS = ["X0:L>T1:L", "X0:N>T1:N", "T1:U>M1:U", "T1:V>M1:V", "T1:W>M1:W", "X1:2>A1:24V", "X2:2>A1:0V"]
ENDS += ["A1:O1>K1:A1", "K1:A2>X2:3", "X1:3>K1:13", "K1:14>T1:FWD", "T1:DCOM>X2:4", "Y1:2>X2:5"]


@pytest.mark.parametrize(
    ("functions", "more", "told"),
    [
        (", functions: {FWD: run}", ["A1:O2>Y1:1"], True),
        (", functions: {FWD: run}", ["A1:O2>K1:21", "K1:22>Y1:1"], False),
        (", functions: {FWD: reset}", ["A1:O2>Y1:1"], None),
        ("", ["A1:O2>Y1:1"], None),
    ],
)
def test_a_motor_on_an_inverter_is_on_where_a_wire_tells_it_to_run(
    functions: str, more: list[str], told: bool | None
) -> None:
    """A break contact of the relay that tells the inverter to run parts the valve; where no wire is said to tell it,
    a program alone may, which is asked."""
    ends = (pair.split(">") for pair in ENDS + more)
    wires = "\n".join(f"- {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(ends))
    machine = design(plan(INVERTER % functions, wires))
    assert bool(fired(SLUG, machine)) is (told is True)
    assert bool(open_questions(SLUG, machine)) is (told is None)
    assert all("nothing but a program" in one.summary for one in fired(SLUG, machine))


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(valves()))
    assert_says(finding, "WARNING", mend="break contact of what switches the other one: Y1 of Y2, and Y2 of Y1")
