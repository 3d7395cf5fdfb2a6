"""Statics: a brake that is not lifted holds its shaft, and a motor that runs turns against it. A spring-applied brake
lifts from 85 % of its voltage on (IEC 60947-4-1 for coils, from memory). In every state in which a motor runs, and
whichever button makes it run, its brake must be fed."""

from __future__ import annotations

import pytest
from lifting_plans import BEHIND_STOP, OWN_CONTACTS, lifting
from marked_plans import fired
from says import assert_says

SLUG = "brake-closed-while-driven"
_DC = "rated: 24 V DC 12 W"
_UP_ALONE = "G1:V+>K1:13 K1:14>Y1:A1 Y1:A2>G1:V-"

#: Way of feeding the motor, conductors of its brake, states where not the usual ones, and where it runs against it.
TABLE = [
    ("DC", OWN_CONTACTS, "", ()),
    ("DC", _UP_ALONE, "", ("down",)),
    ("DC", "Y1:A2>G1:V-", "", ("up", "down")),
    # the other way stands in no state of the plan: the button that makes it is pressed all the same
    ("DC", _UP_ALONE, "up: {M1: run, S5: worked}", ("S6",)),
    ("three phases", OWN_CONTACTS, "", ()),
    ("three phases", _UP_ALONE, "", ("down",)),
    ("three phases", "K0:34>S5:23 S5:24>Y1:A1 Y1:A2>G1:V-", "up: {M1: run, S5: worked}", ("S6",)),
    ("three phases", "K0:34>S5:23 S5:24>Y1:A1 K0:34>S6:23 S6:24>Y1:A1 Y1:A2>G1:V-", "", ()),
    ("one phase", "G1:V+>K2:13 K2:14>Y1:A1 Y1:A2>G1:V-", "", ("up",)),
    ("inverter", BEHIND_STOP, "", ()),
    ("inverter", "K0:34>S5:13 S5:14>Y1:A1 Y1:A2>G1:V-", "", ("up",)),
    ("inverter", "K0:34>S5:13 S5:14>Y1:A1 Y1:A2>G1:V-", "up: {M1: run, S5: worked}", ()),
    # off and held still a brake may be closed
    ("inverter", "K0:34>S5:13 S5:14>Y1:A1 Y1:A2>G1:V-", "up: {M1: 'off'}", ()),
    ("servo", "T1:U>Y1:A1", "", ("up",)),
    ("stepper", BEHIND_STOP, "", ()),
    ("stepper", "Y1:A2>G1:V-", "", ("up",)),
]  # fmt: skip


@pytest.mark.parametrize(("fed", "ends", "states", "where"), TABLE)
def test_a_motor_against_its_brake(fed: str, ends: str, states: str, where: tuple[str, ...]) -> None:
    found = fired(SLUG, lifting(fed, _DC, ends, states=states))
    assert [one.subjects for one in found] == ([("Y1", "M1", *where)] if where else [])


def test_it_holds_for_loads_that_do_not_fall() -> None:
    [finding] = fired(SLUG, lifting("DC", _DC, _UP_ALONE, vertical="vertical: false"))
    assert finding.subjects == ("Y1", "M1", "down")


def test_what_it_says() -> None:
    """Nothing of 24 V where 0.85 of them lift it: 20.4 V."""
    [finding] = fired(SLUG, lifting("DC", _DC, _UP_ALONE))
    assert finding.summary == "M1 runs in state down, and Y1, its brake, gets nothing and is not lifted"
    assert_says(
        finding,
        "CAUTION",
        limit=(20.4, "V", "data of the part pick-up of a coil, typical"),
        number=("at the coil", 0.0, "V"),
        mend="Feed Y1 in state down",
    )
