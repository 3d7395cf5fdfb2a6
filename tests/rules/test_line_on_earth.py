"""IEC 60364-4-41, 411.3.1: what is earthed carries no line. A line on an earth terminal makes metal live."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, folded_under
from says import assert_says

SLUG = "line-on-earth"


def plan(*ends: str, earth: bool = True) -> str:
    """An inverter behind a breaker; `earth` says whether its case has its protective conductor."""
    wires = ["X0:L>F1:1", "X0:N>D1:N", "X0:PE>XPE:1", *ends, *(["XPE:2>D1:PE"] if earth else [])]
    wires += ["D1:U>M1:U", "D1:V>M1:V", "D1:W>M1:W", "XPE:3>M1:PE", "T1:1.1>F1:1", "T1:1.2>X0:N", "XPE:5>T1:PE"]
    lines = "".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(e.split(">") for e in wires)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: 6 A, curve: C}}
  K1: {{kind: contactor, poles: 1, coil: 230 V AC 3 W}}
  S1: {{kind: push-button, contacts: {{13-14: NO}}}}
  D1: {{kind: inverter, supply: 230 V AC, rated: 750 W}}
  M1: {{kind: motor, voltage: 230 V AC, rated_power: 500 W}}
  T1: {{kind: transformer, primary: 230 V AC, secondary: 120 V AC, rated: 100 VA}}
  XPE: {{kind: earth-bar, points: 9}}
wires:
{lines}"""


@pytest.mark.parametrize(
    ("ends", "told"),
    [
        (["F1:2>D1:L"], []),
        (["F1:2>D1:PE"], [("D1", "3")]),
        (["F1:2>XPE:4", "F1:2>D1:L"], [("XPE", "3")]),
        (["F1:2>K1:1", "K1:2>XPE:4", "F1:2>S1:13", "S1:14>K1:A1", "K1:A2>X0:N"], []),  # no state closes it
        (["F1:2>D1:L", "T1:2.1>XPE:4"], []),  # the bond of a secondary
        (["F1:2>D1:L", "T1:2.1>XPE:4", "T1:2.2>M1:PE"], [("M1", "5"), ("XPE", "4")]),
        (["F1:2>D1:L", "X0:N>XPE:4"], []),  # told by neutral-joined-to-earth
    ],
)
def test_each_conductor_from_a_live_pole_to_an_earth_terminal(ends: list[str], told: list[tuple[str, str]]) -> None:
    assert sorted(one.subjects for one in fired(SLUG, design(plan(*ends)))) == told


def test_a_case_without_its_earth_is_live() -> None:
    """230 V of the mains stand in the plan."""
    [finding] = fired(SLUG, design(plan("F1:2>D1:PE", earth=False)))
    assert "the metal of D1 (inverter) stands at 230 V" in finding.summary
    assert_says(finding, "DANGER", number=("source", 230.0, "V"), mend="Lead 3 to the terminal it was meant for")
    [held] = fired(SLUG, design(plan("F1:2>D1:PE")))
    assert "shorted to earth" in held.summary


def test_what_follows_from_it_is_told_under_it() -> None:
    assert folded_under("earth-missing", design(plan("F1:2>D1:PE", earth=False))) == {SLUG}
