"""Contacts of a motor protective switch by marking (EN 50005, from memory): the function digits 1-2 and 3-4 are plain
break and make contacts, which move with the main ones; 5-6 and 7-8 are those of a trip."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.parts.elements import Switch

DEVICE = "parts:\n  F1: {{kind: motor-protector, setting: 2 A, magnetic: {magnetic}, contacts: {{{pair}: {word}}}}}\n"


@pytest.mark.parametrize(
    ("magnetic", "pair", "word", "closed"),
    [
        ("true", "13-14", '"NO"', True),
        ("true", "21-22", "NC", False),
        ("true", "97-98", '"NO"', False),
        ("true", "95-96", "NC", True),
        ("false", "95-96", "NC", True),
        ("false", "97-98", '"NO"', False),
    ],
)
def test_how_it_stands_while_the_motor_may_run(magnetic: str, pair: str, word: str, closed: bool) -> None:
    [contact] = design(DEVICE.format(magnetic=magnetic, pair=pair, word=word)).parts["F1"].of(Switch)
    assert contact.closed_at_rest == closed
