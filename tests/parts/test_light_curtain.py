"""A light curtain stops as two semiconductor channels (IEC 61496-1; ISO 13849-1, 6.2: what one fault does to each
category; both from memory), on the hot-wire cutter whose emergency stop it takes the place of."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from marked_plans import fired, read

import wiring.rules.examples as examples
from wiring.findings import Signal
from wiring.powerup.sheet import sheet
from wiring.powerup.step import Meter
from wiring.rules.run import judge

CUTTER = (Path(examples.__path__[0]) / "hot-wire.yaml").read_text("utf-8")
CURTAIN = "{kind: light-curtain, type: 4, supply: 24 V DC 6 W, output_current: 0.3 A, distance: 1.2 m}"
WIRES = {4: "F2:2, to: B5:24V", 5: "B5:OSSD1, to: K0:S12", 6: "K0:A2, to: B5:0V", 7: "B5:OSSD2, to: K0:S22"}
#: A curtain is no emergency stop (ISO 13850, 4.1.1), and the cutter has no other.
NO_EMERGENCY_STOP = {"stop-names-too-little"}


def cutter(*swaps: tuple[str, str]) -> str:
    """The cutter behind a curtain in the place of its emergency stop."""
    text = CUTTER.replace("devices: [S1]", "devices: [B5]")
    text = re.sub(r"  S1: .*", f"  B5: {CURTAIN}", text)
    for number, ends in WIRES.items():
        text = re.sub(rf"- {{wire: {number}, from: .*", f"- {{wire: {number}, from: {ends}, type: control}}", text)
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    return text


def told_above_notice(text: str) -> set[str]:
    return {one.rule for one in judge(read(text)).standing if one.signal is not Signal.NOTICE}


@pytest.mark.parametrize("finds", ["", "cross_fault: true, "])
def test_two_outputs_of_type_4_are_two_channels(finds: str) -> None:
    """Both give plus: a relay that feeds S11 and S21 with opposite poles to find a short takes them as well, and leaves
    the short to the curtain, which tests its outputs itself (IEC 61496-1, 4.2.2.5, from memory)."""
    assert told_above_notice(cutter(("channels: [S11", f"{finds}channels: [S11"))) == NO_EMERGENCY_STOP


def test_a_relay_that_finds_shorts_still_wants_its_own_pole_behind_contacts() -> None:
    """Contacts that give plus to S22 in place of the minus of S21: channel 2 never closes."""
    wires = ("- {wire: 6, from: K0:S21", "- {wire: 6, from: F2:2")
    text = CUTTER.replace(*wires).replace("channels: [S11", "cross_fault: true, channels: [S11")
    assert told_above_notice(text)


def test_contacts_of_a_curtain_are_two_channels_too() -> None:
    """Its relays are watched by itself (type 4), so that none of its contacts has to open by force."""
    text = CUTTER.replace("devices: [S1]", "devices: [B5]").replace("S1:", "B5:")
    text = re.sub(
        r"  B5: .*", f"  B5: {CURTAIN[:-1]}, outputs: [], contacts: {{11-12: NC, 21-22: NC}}, rated: 2 A}}", text
    )
    feed = "{wire: 30, from: F2:2, to: B5:24V, type: control}\n  - {wire: 31, from: K0:A2, to: B5:0V, type: control}"
    text = text.replace("  - {wire: PE1", f"  - {feed}\n  - {{wire: PE1")
    assert told_above_notice(text) == NO_EMERGENCY_STOP


@pytest.mark.parametrize(
    ("rule", "about", "swap"),
    [
        ("stop-fault-dangerous", "B5 does not see somebody", ("type: 4", "type: 2")),
        ("stop-single-channel", "B5:24V-OSSD1 fails short", ("B5:OSSD2", "B5:OSSD1")),
        ("stop-single-channel", "B5 alone carries", ("- {wire: 7, from: B5:OSSD2", "- {wire: 7, from: F2:2")),
        (
            "guard-opens-before-standstill",
            "B5 was entered",
            ("heater, title: hot wire", "load, hazardous: true, run_on: 4 s"),
        ),
    ],
)
def test_what_it_does_not_do_is_told(rule: str, about: str, swap: tuple[str, str]) -> None:
    assert any(about in one.summary for one in fired(rule, read(cutter(swap))))


def test_an_ohmmeter_reads_nothing_through_an_output_that_is_not_fed() -> None:
    """A semiconductor conducts while it is fed: on the dead machine each wire of the curtain is measured by itself."""
    lines = [one for one in sheet(read(cutter())).lines if one.meter is Meter.OHM and one.red and one.black]
    assert not [one.action for one in lines if "through B5" in one.action]
    assert {("K0", "S12"), ("B5", "OSSD1")} in [{one.red, one.black} for one in lines]
