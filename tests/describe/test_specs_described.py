"""The hand-made plans of `specs/`, described: what is worked out takes no more than a person took, stops no less."""

from __future__ import annotations

from pathlib import Path

import pytest

from wiring.describe.reading import read_description
from wiring.describe.settling import composed
from wiring.design.design import Design
from wiring.design.load import load
from wiring.parts.incoming import Transformer
from wiring.parts.sources import Supply

ROOT = Path(__file__).parents[2] / "specs"
NAMES = [path.stem for path in sorted((ROOT / "machines").glob("*.yaml")) if (ROOT / path.name).exists()]
STOPS = ("emergency-stop", "guard-switch", "safety-relay", "contactor")


def copper(design: Design) -> float:
    """Cross-section times length of all conductors [mm2·m]."""
    conductors = [one for one in design.circuit.conductors if one.kind != "shield"]
    return sum(one.size.area_mm2 * one.length_m for one in conductors if one.size and one.length_m)


def supply_w(design: Design) -> float:
    """What all supplies are rated for [W], and control transformers [VA]."""
    found = [part.data for part in design.parts.values()]
    supplies = sum(data.rated * data.output.volts for data in found if isinstance(data, Supply))
    return supplies + sum(data.rated for data in found if isinstance(data, Transformer))


def stop_parts(design: Design) -> int:
    """Parts of the stop chain."""
    return sum(part.kind in STOPS for part in design.parts.values())


@pytest.mark.parametrize("name", NAMES)
def test_a_described_machine_takes_no_more_than_the_hand_made_one(name: str) -> None:
    """A tenth more parts, copper and supply power at most; no part of a stop chain fewer.

    What is worked out accepts nothing and stops through two channels, so it takes a stop relay, a second contactor and
    their supply, and a larger cabinet with longer wires for them: a plan by hand that accepts a stop of one channel is
    no measure of its parts, supplies and copper.
    """
    described = read_description(ROOT / "machines" / f"{name}.yaml")
    assert described.description is not None, [str(fault) for fault in described.faults]
    assert described.tree is not None
    made = composed(described.description, described.tree, f"{name}.yaml")
    by_hand = load(ROOT / f"{name}.yaml").design
    assert by_hand is not None
    assert made.report.verdict == "clear"
    assert stop_parts(made.design) >= stop_parts(by_hand)
    if not any(one.finding == "stop-single-channel" for one in by_hand.plan.accepted):
        assert len(made.design.parts) <= 1.1 * len(by_hand.parts)
        assert copper(made.design) <= 1.1 * copper(by_hand)
        assert supply_w(made.design) <= 1.1 * supply_w(by_hand)
