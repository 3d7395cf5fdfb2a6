"""The motor cable of an inverter is shielded (makers' manuals, common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says
from small_plans import plan

SLUG = "motor-cable-unshielded"
INVERTER = "T1: {kind: inverter, supply: 200..240 V AC, rated: 1.5 kW}"


def driven(shield: str = "", drive: str = INVERTER, route: str = "", wires: str = "", at: str = "T1:{}") -> str:
    ends = ", ".join(f"{n}: ['{at.format(n if 'X7' in at else end)}', 'M1:{end}']" for n, end in enumerate("UVW", 1))
    motor = "M1: {kind: motor, voltage: 230 V AC, rated_power: 1.1 kW}"
    parts = f"{drive}\n{motor}\nX7: {{kind: terminals, points: 3}}"
    cable = f"- cable: C1\n  join: {{{ends}}}\n"
    more = f"routes: {{field: {{kind: {route}}}}}" if route else ""
    return plan(parts, wires, cable + shield + ("  route: field\n" if route else ""), more)


@pytest.mark.parametrize(
    ("shield", "drive", "route", "fires"),
    [
        ("  shield: {ends: [XPE:7]}\n", INVERTER, "", False),  # its ends are told by another rule
        ("", INVERTER, "tray", True),
        ("", INVERTER, "conduit", False),
        ("", "T1: {kind: servo-drive, supply: 200..240 V AC}", "", True),
        ("", "T1: {kind: servo-drive, supply: 20..80 V DC}", "", True),
        ("", "T1: {kind: servo-drive, supply: 20..60 V DC}", "", False),  # below 75 V (Directive 2014/35/EU, article 1)
    ],
)
def test_drives_and_ways(shield: str, drive: str, route: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(driven(shield, drive, route)))) is fires


def test_past_terminals_too() -> None:
    wires = "".join(f"- {{wire: {n}, from: T1:{end}, to: X7:{n}}}\n" for n, end in enumerate("UVW", 1))
    assert [one.subjects for one in fired(SLUG, design(driven(wires=wires, at="X7:{}")))] == [("C1", "T1")]
    assert fired(SLUG, design(driven(at="X7:{}"))) == []


def test_what_it_says() -> None:
    """Common practice."""
    [finding] = fired(SLUG, design(driven()))
    assert_says(finding, "CAUTION", mend="clamp its shield all around at both ends")
