"""Statics: what hangs falls from the moment at which its motor gives no torque, whatever has taken it.

A drive that trips lets go of its motor by itself; a device in the feed of the motor opens by an overload or a short.
The brake must follow: by a contact of the drive, by what reads its fault, or by the feed that goes with the motor."""

from __future__ import annotations

import pytest
from lifting_plans import BEHIND_STOP, OWN_CONTACTS, lifting
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "brake-open-after-trip"
_DC = "rated: 24 V DC 12 W"
_ALARM = ", outputs: [ALM+-ALM-]"
_READ = "G1:V+>T1:ALM+ T1:ALM->A1:I1"
_OF_ITS_OWN = "K0:34>Y1:A1 Y1:A2>G1:V-"
_BRAKE = ", outputs: [ALM+-ALM-, BRK+-BRK-], functions: {RUN: enable, BRK+: brake, ALM+: alarm}"

#: Way of feeding the motor, more keys of its drive, conductors of the brake, and whether the load falls on a trip.
DRIVES = [
    # a controller that reads the fault and works the brake
    ("servo", _ALARM, f"{BEHIND_STOP} {_READ}", False),
    ("stepper", _ALARM, f"{BEHIND_STOP} {_READ}", False),
    # two cards that share the work talk to each other by a way that no plan shows
    ("servo", _ALARM, f"{BEHIND_STOP} G1:V+>T1:ALM+ T1:ALM->A2:I1 A2:0V>G1:V-", False),
    # nobody reads it
    ("servo", _ALARM, BEHIND_STOP, True),
    ("stepper", _ALARM, BEHIND_STOP, True),
    # it is read by what does not work the brake
    ("servo", _ALARM, f"{_OF_ITS_OWN} {_READ}", True),
    # it lights a lamp
    ("servo", _ALARM, f"{BEHIND_STOP} G1:V+>T1:ALM+ T1:ALM->H1:X1 H1:X2>G1:V-", True),
    # its own contact, at the coil or by a relay
    ("inverter", "", "K0:34>T1:13 T1:14>Y1:A1 Y1:A2>G1:V-", False),
    ("inverter", "", "K0:34>K9:13 K9:14>Y1:A1 Y1:A2>G1:V- G1:V+>T1:13 T1:14>K9:A1 K9:A2>G1:V-", False),
    ("inverter", "", BEHIND_STOP, True),
    ("inverter", "", f"{BEHIND_STOP} G1:V+>T1:13 T1:14>A1:I1", False),
    # its output for a brake, used and left open
    ("servo", _BRAKE, "K0:34>T1:BRK+ T1:BRK->Y1:A1 Y1:A2>G1:V-", False),
    ("servo", _BRAKE, BEHIND_STOP, True),
]
_MORE = """  K9: {kind: relay, coil: 24 V DC 0.6 W, contacts: {13-14: NO}}
  A2: {kind: io-card, inputs: {I1: sink}, common: 0V}
  H1: {kind: lamp, rated: 24 V DC 1 W}
  F7: {kind: motor-protector, poles: 3, setting: 1.5 A, contacts: {13-14: NO}}
  F8: {kind: fuse, rating: 10 A}
"""


@pytest.mark.parametrize(("fed", "keys", "ends", "told"), DRIVES)
def test_a_drive_that_trips(fed: str, keys: str, ends: str, *, told: bool) -> None:
    found = fired(SLUG, lifting(fed, _DC, ends, drive=keys, more=_MORE))
    assert [one.subjects for one in found] == ([("Y1", "M1", "T1")] if told else [])


def test_a_drive_of_which_no_output_is_known_is_asked_for() -> None:
    plan = lifting("servo", _DC, BEHIND_STOP)
    assert fired(SLUG, plan) == []
    [question] = open_questions(SLUG, plan)
    assert question.subjects == ("T1", "Y1")


#: What the trip of the device in the feed of the motor leaves of the brake.
ACROSS = [
    ("three phases", OWN_CONTACTS, True),
    ("three phases", OWN_CONTACTS.replace("K1:14>Y1:A1 K2:14>Y1:A1", "K1:14>F7:13 K2:14>F7:13 F7:14>Y1:A1"), False),
    ("three phases", "M1:U>Y1:A1 M1:V>Y1:A2", False),
    ("DC", OWN_CONTACTS, True),
    ("DC", OWN_CONTACTS.replace("G1:V+>K1:13 G1:V+>K2:13", "F8:2>K1:13 F8:2>K2:13"), False),
]


@pytest.mark.parametrize(("fed", "ends", "told"), ACROSS)
def test_a_device_in_the_feed_of_the_motor(fed: str, ends: str, *, told: bool) -> None:
    feeds = {
        "three phases": {"K1:2>M1:U": "K1:2>F7:1", "K1:4>M1:V": "K1:4>F7:3", "K1:6>M1:W": "K1:6>F7:5",
                         "K2:2>M1:U": "K2:2>F7:1", "K2:4>M1:V": "K2:4>F7:3", "K2:6>M1:W": "K2:6>F7:5 "
                         "F7:2>M1:U F7:4>M1:V F7:6>M1:W"},
        "DC": {"G1:V+>K1:1 ": "G1:V+>F8:1 F8:2>K1:1 ", "G1:V+>K2:1 ": "F8:2>K2:1 "},
    }[fed]  # fmt: skip
    volts = "rated: 400 V AC 20 W" if "M1:U>Y1" in ends else _DC
    found = fired(SLUG, lifting(fed, volts, ends, more=_MORE, feeds=feeds))
    device = {"three phases": "F7", "DC": "F8"}[fed]
    assert [one.subjects for one in found] == ([("Y1", "M1", device)] if told else [])


def test_what_does_not_hang_does_not_fall() -> None:
    assert fired(SLUG, lifting("servo", _DC, BEHIND_STOP, drive=_ALARM, vertical="vertical: false")) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, lifting("servo", _DC, BEHIND_STOP, drive=_BRAKE, more=_MORE))
    assert finding.summary == (
        "T1 lets go of M1 when it trips, and nothing that works Y1, its brake, follows: neither a contact of T1 nor "
        "what reads its fault"
    )
    assert_says(finding, "CAUTION", mend="Lead Y1 over BRK+ of T1")
