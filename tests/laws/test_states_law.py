"""Law: whatever a state runs or switches on and nothing feeds there is told, or its start is played; a state that names
what its part cannot do is a fault of the plan."""

from __future__ import annotations

from copy import deepcopy

import pytest
from law_cases import ROOT, SPECS, pieces, sound
from marked_plans import fired
from plain_plans import Plan, written

from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.design.stop.starts import unfed
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Output, Resistance, Switch
from wiring.parts.motors import Shaft


def _unfed(design: Design) -> dict[str, tuple[str, ...]]:
    states = design.states.items()
    found = {state: unfed(design.machine, design.state_entries[state], point) for state, point in states}
    return {state: names for state, names in found.items() if names}


@pytest.mark.parametrize("name", SPECS)
def test_a_plan_that_is_right_feeds_all_that_its_states_run(name: str) -> None:
    assert _unfed(sound(name)) == {}


def _states(name: str) -> list[Plan]:
    """The plan with each operator that a state gives as worked taken out of it, one at a time."""
    plans = []
    for state, entries in pieces(name).get("states", {}).items():
        for part in [part for part, entry in entries.items() if entry == "worked"]:
            plan = deepcopy(pieces(name))
            del plan["states"][state][part]
            plans.append(plan)
    return plans


@pytest.mark.parametrize("name", [name for name in SPECS if _states(name)])
def test_what_no_hand_is_named_for_is_played_or_told(name: str) -> None:
    for plan in _states(name):
        loaded = load_text(written(plan), f"{name}.yaml", ROOT / "specs")
        assert loaded.design is not None
        dead = {part for names in _unfed(loaded.design).values() for part in names}
        told = {one.subjects[0] for one in fired("state-not-fed", loaded.design)}
        assert dead <= told


@pytest.mark.parametrize("name", SPECS)
@pytest.mark.parametrize("word", ["hold", "worked", "on", "off"])
def test_a_state_asks_of_a_part_only_what_it_can_do(name: str, word: str) -> None:
    """`hold` needs a shaft, `worked` a switch that something outside moves, `on` what takes or gives power."""
    parts = sound(name).parts
    plan = deepcopy(pieces(name))
    plan["states"] = {"law": dict.fromkeys(parts, word)}
    refused = {fault.summary.split(" ")[0] for fault in load_text(written(plan), f"{name}.yaml", ROOT / "specs").faults}
    assert refused == {part.name for part in parts.values() if not _may(part, word)}


def _may(part: Part, word: str) -> bool:
    moved = {switch.actuator for switch in part.of(Switch)}
    if word == "worked":
        return bool(moved & {"operator", "handle"})
    if word == "hold" or isinstance(part.data, Shaft):
        return isinstance(part.data, Shaft)
    loads = any(one.load for one in part.of(Resistance))
    programs = any(one.startswith("output ") for one in moved)
    return loads or programs or bool(part.of(Draw, Input, Output, Coil))
