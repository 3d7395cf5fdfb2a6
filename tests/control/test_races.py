"""Circuits whose outcome hangs on which contact is faster, derived by hand before the first run.

Each coil is taken as the faster one in turn (common practice: a race is judged by its worst outcome, no source).
"""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path

import pytest
from helpers import design, most_alive
from operated import button, contactor, heater, machine, stop_button

from wiring.control.script import Moment
from wiring.design.load import load_text
from wiring.design.stop.proof import full_proof
from wiring.design.stop.records import StopResult
from wiring.design.stop.uses import FromRunning, results_of

SPECS = Path(__file__).parents[2] / "specs"


def relay(name: str, contacts: str) -> str:
    return f"{name}: {{kind: relay, coil: 230 V AC 1 W, contacts: {{{contacts}}}}}\n"


def each_alone(names: tuple[str, ...], chosen: str) -> str:
    """Relays behind S1, each through a break contact of every other one; `chosen` closes the coil of K1 behind S1.

    Whichever attracts first keeps the others out: any of them may, when S1 is released and when the mains return.
    """
    contacts = {name: ["13-14: NO"] for name in names}
    wires = ["X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>" + chosen + ":13 " + chosen + ":14>K1:A1"]
    for name in names:
        at = "S1:12"
        for other in (one for one in names if one != name):
            pair = f"{len(contacts[other]) + 1}1", f"{len(contacts[other]) + 1}2"
            contacts[other].append(f"{pair[0]}-{pair[1]}: NC")
            wires.append(f"{at}>{other}:{pair[0]}")
            at = f"{other}:{pair[1]}"
        wires += [f"{at}>{name}:A1", f"{name}:A2>X0:N"]
    parts = stop_button() + button("S2") + heater() + contactor("K1")
    parts += "".join(relay(name, ", ".join(held)) for name, held in contacts.items())
    return machine(parts, " ".join(wires))


def proved(text: str) -> StopResult:
    return full_proof(design(text).stopping).results["emergency"]


@pytest.mark.parametrize(
    ("names", "chosen"),
    [
        (("K3", "K4"), "K3"),
        (("K3", "K4"), "K4"),
        # Neither the first nor the last by name.
        (("K3", "K4", "K5"), "K4"),
        (("A3", "K4", "Z5", "B6"), "K4"),
    ],
)
def test_the_dangerous_order_is_told_once_and_no_fault_for_it(names: tuple[str, ...], chosen: str) -> None:
    """E1 starts at the release and with the mains where the chosen relay is the fastest. The stop itself cuts all of
    them, so that only what keeps K1 in is a dangerous fault; S1 opens by force."""
    result = proved(each_alone(names, chosen))
    [sound] = result.sound
    assert (sound.left, sound.on_release, sound.on_mains) == ((), ("E1",), ("E1",))
    assert sound.faster[Moment.RELEASE, "E1"] == chosen
    assert {one.fault.id for one in result.dangerous} == {"weld:K1:1-2", "held:K1:coil"}
    assert not [one for one in result.verdicts if one.race]


def test_a_race_that_a_fault_makes_is_told_in_its_dangerous_order() -> None:
    """K3 attracts behind S1 and opens K4, which closes K1; K4 also hangs behind the make contact of K5, which a sound
    K3 keeps out for ever: K5 stands behind K3:21-22 too. With K3:21-22 welded K4 and K5 pick up when S1 is released:
    E1 starts, whatever is faster. K3:31-32 welded lets K5 pick up, which nothing that feeds K1 rests on.

    Of the faults that keep power on: K1 welded or held; K3 dead, or its coil broken, lets K4 pick up at the release.
    """
    contacts = "21-22: NC, 31-32: NC"
    parts = stop_button() + button("S2") + heater() + contactor("K1") + relay("K3", contacts)
    parts += relay("K4", "13-14: NO") + relay("K5", "13-14: NO")
    wires = (
        "X0:L>K1:1 K1:2>E1:1 X0:N>E1:2 K1:A2>X0:N X0:L>S1:11 S1:12>K3:A1 K3:A2>X0:N S1:12>K3:21 K3:22>K4:A1 "
        "K4:A2>X0:N S1:12>K3:31 K3:32>K5:A1 K5:A2>X0:N S1:12>K4:13 K4:14>K1:A1"
    )
    result = proved(machine(parts, wires))
    [sound] = result.sound
    # Released, K3 and K4 want to pick up at once: where K4 is faster K1 follows it for a moment and lets go again.
    assert (sound.left, sound.on_release, sound.on_mains) == ((), (), ())
    dangerous = {one.fault.id for one in result.dangerous}
    assert {
        "weld:K1:1-2",
        "held:K1:coil",
        "weld:K3:21-22",
        "dead:K3:coil",
        "held:K4:coil",
        "weld:K4:13-14",
    } <= dangerous
    assert not {"weld:K3:31-32", "stay:K5:13-14", "held:K5:coil"} & dangerous


def renamed(text: str, names: dict[str, str]) -> str:
    """The plan with some parts renamed wherever their name stands as a word."""
    pattern = re.compile(r"(?<![\w.-])(" + "|".join(map(re.escape, names)) + r")(?![\w-])")
    return pattern.sub(lambda found: names[found[1]], text)


@pytest.mark.parametrize("name", sorted(path.stem for path in SPECS.glob("*.yaml")))
def test_names_of_relays_decide_nothing(name: str) -> None:
    text = (SPECS / f"{name}.yaml").read_text(encoding="utf-8")
    machine_ = load_text(text, "a.yaml", SPECS).design
    assert machine_ is not None
    relays = [part for part in machine_.parts if part.startswith("K")]
    names = {old: f"K{90 - n}" for n, old in enumerate(relays)}
    other = load_text(renamed(text, names), "b.yaml", SPECS).design
    assert other is not None
    assert len(names) == len(set(names.values()))
    assert not set(names.values()) & set(machine_.parts)
    back = {new: old for old, new in names.items()}
    for stop, result in machine_.stopping.proof.results.items():
        again = other.stopping.proof.results[stop]
        assert verdicts(result, {}) == verdicts(again, back)
        assert [one.left for one in result.sound] == [one.left for one in again.sound]


def verdicts(result: StopResult, back: dict[str, str]) -> dict[tuple[str, frozenset[str]], str]:
    """Verdict by device and fault, the ends of bridges in no order, names put back."""
    found = {}
    for one in result.verdicts:
        pieces = frozenset(re.split(r"[:+]", renamed(one.fault.id, back) if back else one.fault.id))
        found[one.device, pieces] = one.verdict.value
    return found


def without_a_fault(text: str) -> StopResult:
    """The stop of the sound machine, no fault tried."""
    machine_ = design(text)
    stopping = machine_.stopping
    running = most_alive(machine_, stopping.uses[0].targets)
    orders = stopping.unfaulted.orders
    return results_of([FromRunning(stopping.uses, (), running, orders)], machine_.lowered, machine_.operation)[0][
        "emergency"
    ]


def test_orders_are_those_of_every_coil() -> None:
    """Two coils that move at once leave two outcomes; which is which does not hang on the order of the plan."""
    names = ("K3", "K4", "K5")
    for chosen, _ in combinations(names, 2):
        forward, backward = (without_a_fault(each_alone(order, chosen)) for order in (names, names[::-1]))
        assert forward.sound[0].on_release == backward.sound[0].on_release == ("E1",)
