"""DC coils have a suppressor (common practice, no source)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "coil-without-suppressor"
COILS = {
    "K1": "K1: {kind: relay, coil: 24 V DC 1 W%s, contacts: {13-14: NO}}",
    "Q1": "Q1: {kind: contactor, coil: 24 V DC 3 W%s}",
    "E1": "E1: {kind: valve, rated: 24 V DC 5 W%s}",
    "Y1": "Y1: {kind: brake, rated: 24 V DC 10 W%s}",
}
ENDS = {"K1": ("A1", "A2"), "Q1": ("A1", "A2"), "E1": ("1", "2"), "Y1": ("A1", "A2")}


def coil(name: str, word: str, more: str = "", wires: str = "") -> str:
    a, b = ENDS[name]
    part = COILS[name] % (f", suppressor: {word}" if word else "")
    return plan(
        f"{part}   #! {SLUG}\n{more}",
        f"- {{wire: 1, from: X1:2, to: {name}:{a}}}\n- {{wire: 2, from: X2:2, to: {name}:{b}}}\n{wires}",
    )


@pytest.mark.parametrize("name", ["K1", "Q1", "E1"])
def test_every_kind_of_coil(name: str) -> None:
    assert_marked(coil(name, "none"))


@pytest.mark.parametrize("name", sorted(COILS))
@pytest.mark.parametrize("word", ["diode", "zener", "varistor", "rc"])
def test_every_suppressor_is_enough(name: str, word: str) -> None:
    assert fired(SLUG, design(coil(name, word))) == []


@pytest.mark.parametrize("name", sorted(COILS))
def test_a_silent_plan_is_not_judged(name: str) -> None:
    assert open_questions(SLUG, design(coil(name, "")))[0].subjects == (name,)


def test_one_wired_across_the_coil_counts_and_one_elsewhere_does_not() -> None:
    more = "R1: {kind: suppressor, type: varistor}"
    across = "- {wire: 3, from: K1:A1, to: R1:1}\n- {wire: 4, from: K1:A2, to: R1:2}"
    assert fired(SLUG, design(coil("K1", "none", more, across))) == []
    elsewhere = "- {wire: 3, from: X1:4, to: R1:1}"
    assert len(fired(SLUG, design(coil("K1", "none", more, elsewhere)))) == 1


def test_an_ac_coil_is_passed_over() -> None:
    text = coil("Q1", "none").replace("24 V DC 3 W", "230 V AC 3 W")
    assert fired(SLUG, design(text)) == []


@pytest.mark.parametrize(("word", "told"), [("diode", True), ("varistor", False), ("rc", False), ("none", False)])
def test_a_diode_across_an_ac_coil_shorts_every_other_half_wave(word: str, told: bool) -> None:
    """Common practice: a diode conducts in one direction, and alternating current has both."""
    text = coil("Q1", word).replace("24 V DC 3 W", "230 V AC 3 W")
    assert [one.subjects for one in fired(SLUG, design(text))] == [("Q1",)] * told
    across = "- {wire: 3, from: Q1:A1, to: R1:1}\n- {wire: 4, from: Q1:A2, to: R1:2}"
    wired = (
        coil("Q1", "none", f"R1: {{kind: suppressor, type: {word}}}", across) if word in ("diode", "varistor") else ""
    )
    if wired:
        assert bool(fired(SLUG, design(wired.replace("24 V DC 3 W", "230 V AC 3 W")))) is told


def test_what_it_says() -> None:
    """Common practice. The coil of 1 W at 24 V draws 1/24 A, which flows on when its contact opens."""
    [finding] = fired(SLUG, design(coil("K1", "none")))
    assert_says(finding, "CAUTION", number=("stored by", 1 / 24, "A"), mend="across K1:A1 and K1:A2")
