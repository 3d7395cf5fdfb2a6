"""Two supplies on one rail need units made for it, or diodes (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says
from small_plans import plan

SLUG = "supplies-paralleled"
FED = "- {wire: 91, from: X0:L, to: G2:L}\n- {wire: 92, from: X0:N, to: G2:N}\n- {wire: 93, from: 'G2:V-', to: X2:9}\n"


def second(more: str = "") -> str:
    return f"G2: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A, class: II{more}}}\n"


def test_a_card_fed_twice() -> None:
    assert_marked(plan(second(), FED + "- {wire: 94, from: 'G2:V+', to: X1:9}   #! supplies-paralleled"))


def test_behind_a_fuse_too() -> None:
    body = plan(
        second() + "F1: {kind: fuse, rating: 2 A}\n",
        FED + "- {wire: 94, from: 'G2:V+', to: F1:1}\n- {wire: 95, from: F1:2, to: X1:9}",
    )
    assert len(fired(SLUG, design(body))) == 1


def test_one_made_for_it_is_not_enough() -> None:
    assert (
        len(fired(SLUG, design(plan(second(", parallel: true"), FED + "- {wire: 94, from: 'G2:V+', to: X1:9}")))) == 1
    )


@pytest.mark.parametrize("which", ["K", "none"])
def test_diodes_keep_them_apart(which: str) -> None:
    body = plan(
        second() + "V1: {kind: diode}\n",
        FED
        + "- {wire: 94, from: 'G2:V+', to: V1:A}\n"
        + ("- {wire: 95, from: V1:K, to: X1:9}" if which == "K" else ""),
    )
    assert fired(SLUG, design(body)) == []


def test_a_third_supply_is_a_second_finding() -> None:
    third = second().replace("G2", "G3")
    wires = FED + FED.replace("G2", "G3").replace("wire: 9", "wire: 8").replace("X2:9", "X2:8")
    joined = "- {wire: 94, from: 'G2:V+', to: X1:9}\n- {wire: 84, from: 'G3:V+', to: X1:8}"
    pairs = {finding.subjects[-2:] for finding in fired(SLUG, design(plan(second() + third, wires + joined)))}
    assert pairs == {("G1", "G2"), ("G1", "G3"), ("G2", "G3")}


def test_what_it_says() -> None:
    """Common practice; both rails have 24 V."""
    [finding] = fired(SLUG, design(plan(second(), FED + "- {wire: 94, from: 'G2:V+', to: X1:9}")))
    assert_says(finding, "CAUTION", number=("rail", 24.0, "V"), mend="Take 94 away")
