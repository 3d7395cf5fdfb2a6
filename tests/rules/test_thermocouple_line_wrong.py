"""Lines of thermocouples (IEC 60584-3: extension and compensating cable of the same letter; R and S share theirs, B
wants none; from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "thermocouple-line-wrong"


def plan(letter: str = "type: K", sensor: str = ", sensor: K", line: str = "thermocouple: K", last: str = "") -> str:
    """A thermocouple over a pair of terminals to its controller; `last` is the make of the last wire."""
    return f"""
parts:
  B1: {{kind: thermocouple, {letter}}}
  X1: {{kind: terminals, points: 4, bridged: [1-2, 3-4]}}
  N1: {{kind: temperature-controller, supply: 24 V DC 2 W{sensor}, outputs: {{P+-P-: pulse 12 V}}}}
cables:
  - {{cable: C1, cores: 2, size: 0.5 mm2, {line}, join: {{1: ["B1:+", X1:1], 2: ["B1:-", X1:3]}}}}
wires:
  - {{wire: 1, from: X1:2, to: N1:IN+, {line}}}
  - {{wire: 2, from: X1:4, to: N1:IN-, {last or line}}}
"""


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ({}, ""),
        ({"line": "thermocouple: none"}, "C1 are of copper"),
        ({"last": "thermocouple: none"}, "2 is of copper"),
        ({"line": "thermocouple: J"}, "of the metals of J"),
        ({"letter": "type: R", "sensor": ", sensor: R", "line": "thermocouple: S"}, ""),
        ({"letter": "type: B", "sensor": ", sensor: B", "line": "thermocouple: none"}, ""),
        ({"sensor": ", sensor: J"}, "N1 is set to type J"),
    ],
)
def test_the_line_is_of_the_metals_of_its_thermocouple(keys: dict[str, str], says: str) -> None:
    found = fired(SLUG, design(plan(**keys)))
    assert [says in one.summary for one in found] == ([True] if says else [])


@pytest.mark.parametrize("keys", [{"line": "length: 2 m"}, {"sensor": ""}, {"letter": "grounded: true"}])
def test_what_is_not_said_is_asked(keys: dict[str, str]) -> None:
    assert fired(SLUG, design(plan(**keys))) == []
    assert len(open_questions(SLUG, design(plan(**keys)))) == 1


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(plan(line="thermocouple: none")))
    assert_says(finding, "CAUTION", mend="Take a line for type K from B1")
