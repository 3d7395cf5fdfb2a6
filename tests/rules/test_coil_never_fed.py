"""No position can ever feed it: derived by hand from the circuits, switching algebra (Shannon 1938): a and not a is 0.

Law over every break contact of every reset loop and every coil of the plans: made a make contact, or put behind its own
make contact, it can never be closed first.
"""

from __future__ import annotations

import sys
from copy import deepcopy
from functools import cache
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired, read
from plain_plans import Plan, parsed, written
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))
sys.path.append(str(Path(__file__).parents[1] / "laws"))

from circuits import SEAL, two_channels
from law_plans import plan_of

from wiring.design.design import Design
from wiring.parts.elements import Coil
from wiring.parts.switching import Coiled

SLUG = "coil-never-fed"
PLANS = [Path(__file__).parents[2] / "specs" / f"{name}.yaml" for name in ("glue-robot", "parts-washer")]


@cache
def sound(path: Path) -> Plan:
    return plan_of(path.read_text("utf-8"))


def behind_own(plan: Plan, part: str, end: str, contact: str) -> Plan:
    """The coil of a part led through a new contact of its own."""
    plan = deepcopy(plan)
    plan["parts"][part]["contacts"] = {**plan["parts"][part].get("contacts", {}), "95-96": contact}
    for wire in plan["wires"]:
        if "through" in wire:
            wire["through"] = [f"{part}:95" if one == f"{part}:{end}" else one for one in wire["through"]]
        for key in ("from", "to"):
            if wire.get(key) == f"{part}:{end}":
                wire[key] = f"{part}:95"
    for cable in plan.get("cables", ()):
        for core, pair in cable["join"].items():
            cable["join"][core] = [f"{part}:95" if one == f"{part}:{end}" else one for one in pair]
    plan["wires"].append(
        {"wire": "OWN", "from": f"{part}:96", "to": f"{part}:{end}", "size": "1 mm2", "length": "0.1 m"}
    )
    return plan


def coiled(made: Design) -> list[str]:
    """The relays and contactors that something feeds, without those with a delay."""
    return [
        part.name
        for part in made.parts.values()
        if isinstance(part.data, Coiled)
        and not any(coil.on_delay_s or coil.off_delay_s for coil in part.of(Coil))
        and {(part.name, "A1"), (part.name, "A2")} <= made.nets.joined
    ]


@pytest.mark.parametrize(("slug", "contact"), [(SLUG, "NO"), ("control-buzzer", "NC")])
def test_every_coil_behind_a_contact_of_its_own_is_told_by_name(slug: str, contact: str) -> None:
    """A make contact closes too late, a break contact opens the coil that has just picked up."""
    for path in PLANS:
        names = coiled(read(written(sound(path))))
        assert names
        for name in names:
            found = fired(slug, read(written(behind_own(sound(path), name, "A1", contact))))
            assert any(one.subjects[0] == name for one in found), (path.stem, name)


def test_a_make_contact_in_the_reset_loop_is_told_for_each_contactor() -> None:
    """Closed only once its contactor is in, which waits for the reset."""
    for name in ("K1", "K2"):
        plan = parsed("format: 1\nmachine: Bench\nrulebook: iec\n" + two_channels())
        plan["parts"][name]["contacts"] = {"21-22": "NO"}
        [finding] = fired(SLUG, read(written(plan)))
        assert finding.subjects == ("K0", name)
        assert f"{name}:21-22 is a make contact" in finding.summary
        assert_says(finding, "CAUTION", mend=f"{name}:21-22 out of that way")


def test_two_contacts_of_one_button_in_series_bar_what_is_behind_them() -> None:
    """S2 open and closed at once: never. In parallel, or of two buttons, it is fed."""
    both = SEAL.replace("{13-14: NO}}\n  K1", "{13-14: NO, 21-22: NC}}\n  K1", 1)
    led = both.replace("to: K1:A1, size", "to: S2:21, size", 1) + (
        "  - {wire: 10, from: S2:22, to: K1:A1, size: 1.5 mm2, length: 1 m}\n"
    )
    alone = led.replace("  - {wire: 8, from: K1:14, to: K1:A1, size: 1.5 mm2, length: 1 m}\n", "")
    assert [one.subjects[0] for one in fired(SLUG, design(alone))] == ["K1"]
    assert fired(SLUG, design(led.replace("from: S2:22, to: K1:A1", "from: S2:13, to: K1:A1"))) == []


def test_sound_circuits_are_quiet() -> None:
    for text in (SEAL, two_channels()):
        assert fired(SLUG, design(text)) == []
