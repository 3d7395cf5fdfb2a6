"""A state works only what a person can work."""

from __future__ import annotations

import pytest

from tests.helpers import loaded

PLAN = """
states: {{busy: {{{name}: worked}}}}
parts:
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  H1: {{kind: lamp, rated: 24 V DC 1 W}}
"""


@pytest.mark.parametrize(("name", "faults"), [("S1", 0), ("H1", 1)])
def test_a_lamp_cannot_be_worked_and_a_button_can(name: str, faults: int) -> None:
    assert len(loaded(PLAN.format(name=name)).faults) == faults
