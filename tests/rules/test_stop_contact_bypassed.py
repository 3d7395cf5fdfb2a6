"""A contact that stops or limits and opens nothing, because its ends stay joined: Kirchhoff's laws alone.

That two ways to stop must both stay usable: IEC 60204-1, 9.4.2.3 and ISO 13849-1, 6.2.6 (both from memory).
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import findings, fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-contact-bypassed"


def with_wire(a: str, b: str, text: str | None = None) -> str:
    """The sound machine of two channels with one wire more, marked 99."""
    wire = f"  - {{wire: 99, from: '{a}', to: '{b}', size: 1 mm2, length: 1 m}}\n"
    return (text or two_channels()).replace("cables:", f"{wire}cables:")


@pytest.mark.parametrize(
    ("ends", "part"),
    [(("S1:11", "S1:12"), "S1"), (("S1:21", "S1:22"), "S1"), (("K0:13", "K0:14"), "K0"), (("K0:23", "K0:24"), "K0")],
)
def test_a_wire_across_a_contact_is_one_cause_and_one_finding(ends: tuple[str, str], part: str) -> None:
    """The wire joins both ends, so that the contact parts nothing. Channels and single faults in the other one are
    effects of that wire."""
    machine = design(with_wire(*ends))
    [finding] = fired(SLUG, machine)
    assert finding.subjects == (part, "99")
    assert finding.place == machine.circuit.conductor["99"].place
    assert [slug for _, slug in findings(machine) if slug.startswith("stop-")] == [SLUG]


@pytest.mark.parametrize("ends", [("S1:11", "S1:21"), ("K0:14", "K2:A1"), ("S2:13", "S2:14"), ("K1:21", "K1:22")])
def test_wires_that_join_no_ends_of_such_a_contact_are_not_told_here(ends: tuple[str, str]) -> None:
    """S11 with S21 joins the feeds of both channels; K0:14 with K2:A1 is behind both outputs; S2 starts and does not
    stop; the mirror contact of K1 has a rule of its own."""
    assert fired(SLUG, design(with_wire(*ends))) == []


def test_a_second_stop_beside_the_first_hides_it() -> None:
    """S9:11-12 lies across S1:11-12. Worked alone, neither opens the channel; each still opens when both are worked."""
    text = two_channels().replace("  S2:", "  S9: {kind: emergency-stop, at: machine, contacts: {11-12: NC}}\n  S2:")
    text = with_wire("S1:11", "S9:11", text).replace(
        "cables:", "  - {wire: 98, from: 'S9:12', to: 'S1:12', size: 1 mm2, length: 1 m}\ncables:"
    )
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("S1", "S9")


LIMITS = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 1 A}
  B1: {kind: limit-switch, purpose: limit, at: machine, contacts: {11-12: NC}}
  B2: {kind: limit-switch, purpose: limit, at: machine, contacts: {WORD}}
  X1: {kind: terminals, points: 4}
wires:
  - {wire: 1, through: [G1:V+, B1:11, B2:11], size: 1 mm2, length: 1 m}
  - {wire: 2, from: B1:12, to: X1:1, size: 1 mm2, length: 1 m}
  - {wire: 3, from: B2:12, to: X1:SECOND, size: 1 mm2, length: 1 m}
"""


@pytest.mark.parametrize(
    ("word", "second", "fires"), [("11-12: NC", "1", 1), ("11-12: NC", "2", 0), ("11-12: NO", "1", 0)]
)
def test_limits_in_parallel_hide_one_another(word: str, second: str, fires: int) -> None:
    """Two break contacts from one rail to one point: the point loses its voltage only when both open. With a point for
    each, or with a make contact beside it, the first limit is heard."""
    text = LIMITS.replace("WORD", word).replace("SECOND", second)
    assert len(fired(SLUG, design(text))) == fires


def test_limits_in_series_are_heard() -> None:
    text = LIMITS.replace("WORD", "11-12: NC").replace("SECOND", "2")
    text = text.replace("through: [G1:V+, B1:11, B2:11]", "from: G1:V+, to: B1:11").replace("to: X1:1", "to: B2:11")
    assert fired(SLUG, design(text)) == []


def test_what_it_says() -> None:
    """The wire joins both sides of the contact (ISO 13849-2 annex D)."""
    [finding] = fired(SLUG, design(with_wire("S1:11", "S1:12")))
    assert_says(finding, "WARNING", mend="Take 99 away")
