"""A rule of size and its inverse agree on the example of its page: what it finds, it asks another size of; else none.

The example that fires and the one that is quiet come from the page; the size that a thing has now is read from its
ladder, which knows no rule.
"""

from __future__ import annotations

import pytest

from wiring.design.design import Design
from wiring.reports.rule_page import example
from wiring.requirement import Requirement
from wiring.rules import SLUGS, rule_module
from wiring.sizing.engine import ladders_of

OF_SIZE = [slug for slug in SLUGS if hasattr(rule_module(slug), "requirements")]
#: Examples that no size mends: a contact rated for coils by a figure of its own and a main switch, of which no ladder
#: has steps, a motor without any device that a size could be of, and a coil for twice the voltage of its rail.
OTHERWISE = {"contact-overloaded", "inrush-welds-contact", "motor-overload-missing", "load-undervoltage"}


def unmet(slug: str, design: Design) -> list[Requirement]:
    """What a rule asks of the things whose present size does not give it."""
    ladders = {(one.quantity, name): one for one in ladders_of(design).values() for name in one.subjects}
    asked = rule_module(slug).requirements(design)
    return [
        one
        for one in asked
        if (one.quantity, one.item) in ladders
        and not ladders[one.quantity, one.item].present.meets(one.least, one.most)
        and not any(
            (way.quantity, way.item) in ladders and ladders[way.quantity, way.item].present.meets(way.least, way.most)
            for way in one.instead
        )
    ]


@pytest.mark.parametrize("slug", OF_SIZE)
def test_what_fires_asks_for_another_size(slug: str) -> None:
    made = example(slug)
    assert made.loaded.design is not None
    subjects = {name for finding in made.findings(slug) for name in finding.subjects}
    asked = {one.item for one in unmet(slug, made.loaded.design)}
    subjects |= {wire.id for wire in made.loaded.design.circuit.conductors for part, _ in wire.ends if part in subjects}
    assert asked & subjects or slug in OTHERWISE, asked


@pytest.mark.parametrize("slug", OF_SIZE)
def test_what_is_quiet_asks_for_none(slug: str) -> None:
    made = example(slug, "Quiet")
    assert made.loaded.design is not None
    assert [one for one in unmet(slug, made.loaded.design) if one.firm] == []
