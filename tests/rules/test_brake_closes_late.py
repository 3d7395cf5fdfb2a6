"""Statics and the principle of electrical machines: what hangs falls from the moment at which its motor gives no torque
until its brake holds. A brake is a spring that a magnet lifts: what keeps the magnet's current keeps it open.

- A direct current motor that is turned by its load is a generator (U = k w): a brake on its terminals stays lifted, and
  where two contactors turn the motor round it sees either polarity.
- An induction motor keeps its field for some tenths of a second when it is switched off; a brake on its terminals comes
  that much later (makers of brake motors ask for a contact of its own where the load hangs: common practice).
- The voltage of a drive's output follows the speed: near standstill, where the brake must lift, there is next to none.
- A magnet behind a rectifier that is switched on its AC side freewheels through the diodes (L/R of the coil).
- IEC 60204-1, 9.2.2 (from memory): a contact that falls out later than the one that takes the torque comes later.
"""

from __future__ import annotations

import pytest
from lifting_plans import BEHIND_STOP, OWN_CONTACTS, lifting
from marked_plans import fired
from says import assert_says

from wiring.rules.run import judge

SLUG = "brake-closes-late"
_DC = "rated: 24 V DC 12 W"
_RECTIFIER = "  V1: {kind: rectifier, rated: 1 A}"

#: Way of feeding the motor, keys of the brake, its conductors, further parts, and the word expected, None for silence.
TABLE = [
    ("DC", _DC, OWN_CONTACTS, "", None),
    ("DC", _DC, "K1:2>Y1:A1 K1:4>Y1:A2", "", "WARNING"),
    ("DC", _DC, "K1:2>F9:1 F9:2>Y1:A1 K1:4>Y1:A2", "  F9: {kind: fuse, rating: 1 A}", "WARNING"),
    ("one phase", _DC, OWN_CONTACTS, "", None),
    ("one phase", "rated: 230 V AC 20 W", "M1:U1>Y1:A1 M1:U2>Y1:A2", "", "CAUTION"),
    ("one phase", "rated: 230 V AC 20 W", "K1:2>K4:11 K4:14>Y1:A1 K1:4>Y1:A2", "", None),
    ("three phases", _DC, OWN_CONTACTS, "", None),
    ("three phases", "rated: 400 V AC 20 W", "M1:U>Y1:A1 M1:V>Y1:A2", "", "CAUTION"),
    ("three phases", "rated: 540 V DC 20 W", "M1:U>V1:AC1 M1:V>V1:AC2 V1:+>Y1:A1 V1:->Y1:A2", _RECTIFIER, "CAUTION"),
    # its rectifier on a contact of its own: on the AC side alone it comes late, on the DC side it does not
    ("three phases", "rated: 310 V DC 20 W", "X0:L1>K4:11 K4:14>V1:AC1 X0:N>V1:AC2 V1:+>Y1:A1 V1:->Y1:A2", _RECTIFIER,
     "CAUTION"),
    ("three phases", "rated: 310 V DC 20 W", "X0:L1>V1:AC1 X0:N>V1:AC2 V1:+>K1:13 K1:14>Y1:A1 V1:->Y1:A2", _RECTIFIER,
     None),
    ("inverter", _DC, BEHIND_STOP, "", None),
    ("inverter", "rated: 400 V AC 20 W", "T1:U>Y1:A1 T1:V>Y1:A2", "", "WARNING"),
    ("inverter", _DC, "K0:38>K4:11 K4:14>Y1:A1 Y1:A2>G1:V-", "", "WARNING"),
    ("inverter", f"{_DC}, apply: 400 ms", BEHIND_STOP, "", "CAUTION"),
    ("servo", _DC, BEHIND_STOP, "", None),
    ("servo", _DC, "K0:38>K4:11 K4:14>Y1:A1 Y1:A2>G1:V-", "", "WARNING"),
    ("servo", "rated: 230 V AC 20 W", "T1:U>Y1:A1 T1:V>Y1:A2", "", "WARNING"),
    # a relay with a delay of its own in the way of the brake
    ("servo", _DC, "K0:34>K9:A1 K9:A2>G1:V- G1:V+>K9:13 K9:14>Y1:A1 Y1:A2>G1:V-",
     "  K9: {kind: relay, coil: 24 V DC 0.6 W, off_delay: 300 ms, contacts: {13-14: NO}}", "WARNING"),
    ("stepper", _DC, "G1:V+>K1:13 K1:14>Y1:A1 Y1:A2>G1:V-", "", None),
    ("stepper", _DC, "T1:A+>Y1:A1 T1:A->Y1:A2", "", "WARNING"),
    ("stepper", _DC, "K0:38>Y1:A1 Y1:A2>G1:V-", "", "WARNING"),
]  # fmt: skip


@pytest.mark.parametrize(("fed", "brake", "ends", "more", "word"), TABLE)
def test_the_load_falls_until_the_brake_holds(fed: str, brake: str, ends: str, more: str, word: str | None) -> None:
    found = fired(SLUG, lifting(fed, brake, ends, more=more))
    assert [(one.subjects[:2], str(one.signal)) for one in found] == ([(("Y1", "M1"), word)] if word else [])


@pytest.mark.parametrize(
    ("fed", "brake", "ends", "told"),
    [
        ("DC", _DC, "K1:2>Y1:A1 K1:4>Y1:A2", False),
        ("inverter", _DC, "K0:38>K4:11 K4:14>Y1:A1 Y1:A2>G1:V-", False),
        ("inverter", "rated: 400 V AC 20 W", "T1:U>Y1:A1 T1:V>Y1:A2", True),
    ],
)
def test_what_does_not_fall_may_be_late_but_a_drive_lifts_no_brake(
    fed: str, brake: str, ends: str, *, told: bool
) -> None:
    found = fired(SLUG, lifting(fed, brake, ends, vertical="vertical: false"))
    assert [str(one.signal) for one in found] == (["CAUTION"] if told else [])


def test_what_it_says_of_a_delayed_contact() -> None:
    """The delayed contact falls out 0.5 s after the quick ones; the brake takes 40 ms more: 0.54 s, in which a free
    body falls half of 9.81 m/s2 x (0.54 s)^2 = 1.43 m."""
    [finding] = fired(SLUG, lifting("servo", f"{_DC}, apply: 40 ms", "K0:38>K4:11 K4:14>Y1:A1 Y1:A2>G1:V-"))
    assert finding.summary == (
        "S1 takes the torque of M1 away at once, and Y1, its brake, holds 0.54 s later, after the delay of K0: until "
        "then its load falls, by as much as 1.43 m"
    )
    assert_says(
        finding, "WARNING", number=("without torque and brake", 0.54, "s"), mend="contact that falls out at once"
    )


@pytest.mark.parametrize(("apply_s", "told"), [(0.31, False), (0.33, True)])
def test_a_slow_brake(apply_s: float, *, told: bool) -> None:
    """Half of g t²: 0.5 m are fallen after 0.319 s (free fall, the bound of any load)."""
    found = fired(SLUG, lifting("inverter", f"{_DC}, apply: {apply_s} s", BEHIND_STOP))
    assert ["may fall by as much as" in one.summary for one in found] == ([True] if told else [])
    for finding in found:
        assert_says(
            finding,
            "CAUTION",
            limit=(0.319, "s", "mechanics free fall, half of g t²"),
            number=("time to hold", apply_s, "s"),
            mend="holds within a tenth of a second",
        )


def test_a_brake_that_comes_late_is_no_stop_of_category_one() -> None:
    """IEC 60204-1, 9.2.2 (from memory): in category 1 the drive has power until the axis rests. A delay of the brake
    alone is none: to write category 1 would call the fall right."""
    report = judge(lifting("servo", _DC, "K0:38>K4:11 K4:14>Y1:A1 Y1:A2>G1:V-"))
    [category] = [one for one in report.findings if one.rule == "stop-category-differs"]
    assert [root.rule for root in category.explained_by] == [SLUG]
    assert not any("write category 1" in way for way in category.mend)
