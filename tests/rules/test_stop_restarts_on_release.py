"""The machine starts again when the stop device is released.

Fault models: ISO 13849-2 annex D, from memory; the circuits are derived by hand in tests/control/test_fault_tables.py.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL, two_channels

SLUG = "stop-restarts-on-release"


def test_without_a_seal_the_contactor_follows_the_stop() -> None:
    text = SEAL.replace("from: S1:12, to: S2:13", "from: S1:12, to: K1:A1")
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("S1", "emergency")
    assert fired(SLUG, design(SEAL)) == []


def test_what_it_says() -> None:
    """IEC 60204-1 9.2.3.4.2: the reset of the device starts nothing."""
    [finding] = fired(SLUG, design(SEAL.replace("from: S1:12, to: S2:13", "from: S1:12, to: K1:A1")))
    assert_says(finding, "WARNING", mend="behind a reset button")


@pytest.mark.parametrize(
    ("mode", "why"),
    [("automatic", "K0 is set to reset_mode: automatic: "), ("manual", "K0 has its reset loop closed: ")],
)
def test_the_relay_that_resets_by_itself_is_named_first(mode: str, why: str) -> None:
    """ISO 13850, 4.1.4: what is set or bridged at the relay is what has to be changed, not the device."""
    text = two_channels(cable=False, reset=mode)
    assert fired(SLUG, design(text)) == []  # a hand on S2 closes the loop
    [finding] = fired(SLUG, design(text.replace("'S2:13'", "'S2:14'")))
    assert finding.subjects == ("K0", "S1", "S2", "emergency")
    assert finding.summary.startswith(why)
    assert "S2 resets nothing" in finding.summary
    assert_says(finding, "WARNING", mend="Set K0 to a monitored reset")


WIRE = "size: 1.5 mm2, length: 1 m"
MOTOR = "  M1: {kind: motor, voltage: 230 V AC, phases: 1, rated_power: 0.37 kW, rated_current: 3 A}"


def motor_behind(contactor: bool) -> str:
    """A motor behind the two contactors of a safety relay, with or without a third one that its own button seals in
    ahead of the stop."""
    heater = "  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}"
    body = two_channels(cable=False).replace("'E1:2'", "'M1:U2'")
    if not contactor:
        return body.replace(heater, MOTOR).replace("'E1:1'", "'M1:U1'")
    parts = """  K3: {kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {13-14: NO}}
  S3: {kind: push-button, contacts: {13-14: NO}}
"""
    return (
        body.replace(heater, parts + MOTOR).replace("'E1:1'", "'K3:1'").rstrip()
        + f"""
  - {{wire: 90, from: K3:2, to: M1:U1, {WIRE}}}
  - {{wire: 91, through: ["G1:V+", "S3:13", "K3:13"], {WIRE}}}
  - {{wire: 92, through: ["S3:14", "K3:14", "K3:A1"], {WIRE}}}
  - {{wire: 93, from: K3:A2, to: G1:V-, {WIRE}}}
"""
    )


@pytest.mark.parametrize(
    ("contactor", "subjects", "mend"),
    [
        (True, ("M1", "K3", "S2", "emergency"), "Feed the coil of K3 from what the stop switches"),
        (False, ("M1", "S2", "emergency"), "with a start button of its own in front of M1, or lead"),
    ],
)
def test_a_reset_that_starts_a_motor_is_told_where_it_is_mended(
    contactor: bool, subjects: tuple[str, ...], mend: str
) -> None:
    """ISO 13850, 4.1.4: the reset permits a start and makes none. K3 is fed ahead of the stop, so it never lets go."""
    made = design(motor_behind(contactor))
    [finding] = fired(SLUG, made)
    assert finding.subjects == subjects
    assert finding.place == made.place("K3" if contactor else "M1")
    assert mend in finding.mend[0]


def inverter_behind(feed: str) -> str:
    """An inverter behind the two contactors, told to run by a relay that its button seals in, fed from `feed`."""
    heater = "  E1: {kind: heater, rated: 230 V AC 500 W, metal: false}"
    parts = """  T1: {kind: inverter, supply: 230 V AC, rated: 0.55 kW, signals: 24 V DC, inputs: [FWD-DCOM],
       functions: {FWD: run}}
  M1: {kind: motor, voltage: 230 V AC, rated_power: 0.37 kW, rated_current: 1.8 A}
  K3: {kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO, 23-24: NO}}
  S3: {kind: push-button, contacts: {13-14: NO}}"""
    body = two_channels(cable=False).replace(heater, parts).replace("'E1:2'", "'T1:N'").replace("'E1:1'", "'T1:L'")
    pairs = (f"{n}: [T1:{n}, M1:{n}]" for n in "UVW")
    return (
        body.rstrip()
        + f"""
  - {{wire: 91, through: ["{feed}", "S3:13", "K3:13"], {WIRE}}}
  - {{wire: 92, through: ["S3:14", "K3:14", "K3:A1"], {WIRE}}}
  - {{wire: 93, through: ["K3:A2", "T1:DCOM", "G1:V-"], {WIRE}}}
  - {{wire: 94, from: "G1:V+", to: "K3:23", {WIRE}}}
  - {{wire: 95, from: "K3:24", to: "T1:FWD", {WIRE}}}
cables:
  - {{cable: C9, cores: 3, size: 1.5 mm2, length: 2 m, join: {{{", ".join(pairs)}}}}}
"""
    )


@pytest.mark.parametrize(("feed", "told"), [("G1:V+", True), ("K0:14", False)])
def test_a_relay_that_holds_through_the_stop_must_not_tell_an_inverter_to_run(feed: str, told: bool) -> None:
    """ISO 13850, 4.1.4. Fed by the output of the stop relay it lets go with the stop, and the button starts again."""
    found = fired(SLUG, design(inverter_behind(feed)))
    assert [one.subjects for one in found] == ([("M1", "K3", "S2", "emergency")] if told else [])


def test_a_run_input_that_is_always_fed() -> None:
    """The same act as above, by a wire in place of the relay."""
    text = inverter_behind("K0:14").replace('from: "G1:V+", to: "K3:23"', 'from: "G1:V+", to: "T1:FWD"')
    [finding] = fired(SLUG, design(text.replace('from: "K3:24", to: "T1:FWD"', 'from: "K3:24", to: "K3:23"')))
    assert finding.subjects == ("M1", "S2", "emergency")


def test_a_relay_that_falls_late_holds_itself_through_a_short_stop() -> None:
    """K3' = K0 AND (S3 OR K3): with K3 still in for 5 s after the stop, K0 of the reset alone makes it true again."""
    text = inverter_behind("K0:14").replace("coil: 24 V DC 1 W,", "coil: 24 V DC 1 W, off_delay: 5 s,")
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("M1", "K3", "S2", "emergency")
