"""Locks of valves, worked as relays by hand: a contact 1-4 is closed while its coil is fed, 1-2 while it is not.

Every choice of coils is tried on the wires of the plan. No pair that excludes one another is ever fed together (IEC
60204-1:2016, 9.3.4), and each set of valves that may be on together can be.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Set
from itertools import chain, combinations, product
from pathlib import Path
from random import Random

import networkx as nx
import pytest
import yaml
from second_judge import joins, parts_of

from wiring.describe.draft import Chosen
from wiring.describe.generate import plan_of
from wiring.describe.reading import read_description

HEAD = """describe: Valves
rulebook: iec
mains: {system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA, rcd: none,
        upstream: {kind: breaker, rating: 16 A, curve: B}, connection: fixed, shared: false}
"""
CLIQUE = "up: down hold, down: hold, hold:"
PATH = "a: b, b: c, c: d, d:"
STAR = "hub: a b c, a: , b: , c:"
LEAVES_FIRST = "a: hub, b: hub, hub: a b"


def described(valves: Mapping[str, Set[str]], tmp_path: Path, more: str = "") -> str:
    loads = "".join(
        f"  {name}: {{kind: valve, rated: 24 V DC 5 W, excludes: [{', '.join(sorted(others))}]}}\n"
        for name, others in valves.items()
    )
    path = tmp_path / "machine.yaml"
    path.write_text(f"{HEAD}loads:\n{loads}{more}", encoding="utf-8")
    found = read_description(path)
    assert found.description is not None, [str(fault) for fault in found.faults]
    assert found.tree is not None
    return plan_of(found.description, found.tree, Chosen())


def fed(plan: dict, on: Set[str]) -> set[str]:
    """The titles of the valves that are fed while the relays of these titles are attracted."""
    parts, graph = parts_of(plan), nx.Graph([pair for _, *pair in joins(plan)])
    for name, data in parts.items():
        if data["kind"] == "terminals":
            for span in data.get("bridged", []):
                first, last = map(int, span.split("-"))
                graph.add_edges_from((f"{name}:{n}", f"{name}:{n + 1}") for n in range(first, last))
        elif data["kind"] == "relay":
            side = "4" if data["title"] in on else "2"
            graph.add_edges_from((f"{name}:{n}1", f"{name}:{n}{side}") for n in range(1, 5))
    live = nx.node_connected_component(graph, "K0:34")
    return {data["title"] for name, data in parts.items() if data["kind"] == "valve" and f"{name}:1" in live}


def exclusions(words: str) -> dict[str, set[str]]:
    return {name.strip(): set(others.split()) for name, _, others in (one.partition(":") for one in words.split(","))}


def drawn() -> Iterator[dict[str, set[str]]]:
    for seed in range(12):
        draw = Random(seed)
        names = [f"v{n}" for n in range(draw.randint(2, 5))]
        yield {name: {other for other in names if other != name and draw.random() < 0.3} for name in names}


@pytest.mark.parametrize("valves", [*map(exclusions, (CLIQUE, PATH, STAR, LEAVES_FIRST)), *drawn()])
def test_no_pair_is_ever_fed_together_and_all_else_can_be(valves: dict[str, set[str]], tmp_path: Path) -> None:
    apart = {frozenset((one, other)) for one, others in valves.items() for other in others}
    plan = yaml.load(described(valves, tmp_path), Loader=yaml.BaseLoader)
    for choice in product((False, True), repeat=len(valves)):
        on = {name for name, attracted in zip(valves, choice, strict=True) if attracted}
        found = fed(plan, on)
        assert found <= on
        assert not any(frozenset(pair) in apart for pair in combinations(found, 2))
        if not any(frozenset(pair) in apart for pair in combinations(on, 2)):
            assert found == on
    named = {data["title"]: name for name, data in plan["parts"].items() if data.get("kind") == "valve"}
    said = {frozenset((name, other)) for name in named.values() for other in plan["parts"][name]["excludes"]}
    assert said == {frozenset(named[one] for one in pair) for pair in apart}
    states = [
        {name for name, part in named.items() if entries[part] == "on"}
        for state, entries in plan["states"].items()
        if state != "ready"
    ]
    assert set(chain(*states)) == set(valves)
    assert not any(frozenset(pair) in apart for state in states for pair in combinations(state, 2))


def test_what_no_state_names_works_in_one_of_its_own(tmp_path: Path) -> None:
    plan = yaml.load(described({"a": set(), "b": set()}, tmp_path, "runs: {filling: [a]}\n"), Loader=yaml.BaseLoader)
    assert {state: sorted(entries.values()) for state, entries in plan["states"].items()} == {
        "ready": ["off", "off"],
        "filling": ["off", "on"],
        "b-alone": ["off", "on"],
    }


def test_a_state_with_two_that_exclude_each_other_is_a_fault(tmp_path: Path) -> None:
    path = tmp_path / "machine.yaml"
    valve = "{kind: valve, rated: 24 V DC 5 W, excludes: "
    path.write_text(f"{HEAD}loads:\n  a: {valve}[b]}}\n  b: {valve}[]}}\nruns: {{both: [a, b]}}\n", encoding="utf-8")
    [fault] = read_description(path).faults
    assert "a and b exclude each other" in str(fault)
