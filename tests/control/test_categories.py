# ruff: noqa: E501 - a circuit is a row of the table
"""Circuits as the examples of ISO 13849-1 and ISO 13849-2 build them, with the behaviour that their category has.

What a category means for faults: ISO 13849-1, 6.2.3 to 6.2.7 (from memory). B and 1: a single fault can lose the
function. 3: no single fault does, some stay unseen until a second one does. 4: no single fault does, and none stays
unseen until a second one defeats the stop. The proof gives no category; it must not contradict one.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest
from circuits import SEAL, two_channels
from helpers import design
from operated import RELAY_PARTS, RELAY_WIRES, button, contactor, heater, machine, one_contactor, relay, stop_button

from wiring.design.stop.proof import full_proof


class Example(NamedTuple):
    name: str
    category: str
    plan: str
    unseen: bool = False  # category 3 allows faults that stay unseen; where they must be found


SEALED = "X0:L>S1:11 S1:12>S2:13 S2:13>K1:13 S2:14>K1:A1 K1:14>K1:A1"
#: Two contactors driven by one contact of the stop device each, no unit between; both break contacts in the start.
TWO_BY_HAND = machine(
    stop_button() + button("S2", "13-14: NO, 23-24: NO") + heater() + contactor("K1", "13-14: NO, 21-22: NC mirror, 31-32: NC mirror")
    + contactor("K2", "13-14: NO, 21-22: NC mirror, 31-32: NC mirror"),
    "X0:L>K1:1 K1:2>K2:1 K2:2>E1:1 X0:N>E1:2 K1:A2>X0:N K2:A2>X0:N "
    "X0:L>S1:11 S1:12>S2:13 S2:14>K2:21 K2:22>K1:A1 S1:12>K1:13 K1:14>K1:A1 "
    "X0:L>S1:21 S1:22>S2:23 S2:24>K1:31 K1:32>K2:A1 S1:22>K2:13 K2:14>K2:A1",
)  # fmt: skip

EXAMPLES = (
    # One contactor, sealed in: the well-tried circuit of category 1.
    Example("a contactor sealed in behind its stop", "1", SEAL),
    # The stop device in the coil alone, held by a selector.
    Example("a stop in the coil of one contactor", "1", one_contactor(button("S2") + button("S7", kind="selector"), "X0:L>S1:11 S1:12>S7:13 S7:14>K1:A1", states="hot: {S7: worked}")),
    # A guard switch with one contact.
    Example("a guard switch in one channel", "1", one_contactor(button("S2"), SEALED).replace("S1:", "B7:").replace("[S1]", "[B7]").replace("B7: {kind: emergency-stop", "B7: {kind: guard-switch")),
    # Two channels into a unit, one contactor behind it: what follows the unit has one channel.
    Example("a unit with one contactor", "1", two_channels(poles=1)),
    # Two contactors, each with its own channel, mirror contacts in the loop, channels at one polarity in one cable.
    Example("two contactors, shorts between channels unseen", "3", two_channels(), unseen=True),
    Example("the same with single wires", "3", two_channels(cable=False), unseen=True),
    # Nobody sees a welded contactor.
    Example("two contactors without feedback", "3", two_channels(feedback=False, cross_fault=True), unseen=True),
    # Shorts between the channels are seen, welded contactors are, the reset is monitored.
    Example("two contactors, all seen", "4", two_channels(cross_fault=True)),
    Example("the same with single wires", "4", two_channels(cross_fault=True, cable=False)),
    # Everything in one enclosure, so that no channel touches the other.
    Example("two contactors in one enclosure", "4", relay()),
    # Two contacts, two contactors, no unit: no single weld defeats it. A welded start keeps K1 in, whose break contact
    # then bars the start of K2: the machine does not run, and that is seen. So nothing need stay unseen here.
    Example("two contactors without a unit", "3", TWO_BY_HAND),
)  # fmt: skip


@pytest.mark.parametrize("example", EXAMPLES, ids=[f"{one.name}, category {one.category}" for one in EXAMPLES])
def test_faults_do_what_the_category_says(example: Example) -> None:
    result = full_proof(design(example.plan).stopping).results["emergency"]
    dangerous = {
        one.fault.id for one in result.dangerous if one.fault.kind in ("weld", "held", "bridge", "cores", "wires")
    }
    hidden = {one.fault.id for one in result.hidden}
    assert not any(sound.left for sound in result.sound)
    assert bool(dangerous) is (example.category == "1")
    if example.unseen:
        assert hidden
    if example.category == "4":
        assert not hidden
        assert not result.dangerous


def test_the_parts_of_a_unit_are_those_of_its_example() -> None:
    """The circuits of `operated` and of `circuits` are the same two channels, written apart."""
    mine = full_proof(design(machine(RELAY_PARTS, RELAY_WIRES + "K2:2>E1:1")).stopping).results["emergency"]
    assert {one.fault.id for one in mine.dangerous} == set()
