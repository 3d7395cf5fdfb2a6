"""Feeders of several motors by NFPA 70 430.24 and 430.62, printed examples through the check."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired

from wiring.rulebooks.motors import feeder_device

SLUG = "protection-above-conductor"
MARKED = "terminal_temperature: 75 °C"
PRINTED_NEEDED_A, PRINTED_LIMIT_A, PRINTED_STANDARD_A = 86.6, 121.6, 110.0


def feeder(rating: float, size: str = "3 AWG", extra: str = "") -> str:
    """Motors of 40, 5 and 10 hp at 480 V behind dual-element fuses of 100, 15 and 25 A, fed through F0.

    Worked example with table 430.250 (52, 7.6 and 14 A) in a thread of a forum of electricians,
    https://electriciantalk.com, "Am I sizing these Motor OCPD's right?": feeder conductors 86.6 A, feeder device
    100 + 14 + 7.6 = 121.6 A, so 110 A.
    """
    motors = ((1, "40 hp", 52.0, 100, "6 AWG"), (2, "5 hp", 7.6, 15, "12 AWG"), (3, "10 hp", 14.0, 25, "12 AWG"))
    parts, wires = "", ""
    for n, power, amps, fuse, gauge in motors:
        parts += f"  F{n}: {{kind: fuse, poles: 3, rating: {fuse} A, class: J, time_delay: true, {MARKED}}}\n"
        parts += f"  Q{n}: {{kind: motor-protector, poles: 3, setting: {amps} A, {MARKED}}}\n"
        parts += (
            f"  M{n}: {{kind: motor, voltage: 480 V AC, phases: 3, rated_power: {power}, rated_current: {amps} A, "
            f"metal: false, {MARKED}}}\n"
        )
        for pole, end in ((1, "U"), (2, "V"), (3, "W")):
            here, there = 2 * pole - 1, 2 * pole
            wires += (
                f'  - {{wire: 1{n}{pole}, from: "XF:{4 * (pole - 1) + n + 1}", to: "F{n}:{here}", size: 250 kcmil, '
                "length: 1 cm, insulation: THW}\n"
                f'  - {{wire: 2{n}{pole}, from: "F{n}:{there}", to: "Q{n}:{here}", size: {gauge}, length: 1 ft, '
                "insulation: THW}\n"
                f'  - {{wire: 3{n}{pole}, from: "Q{n}:{there}", to: M{n}:{end}, size: {gauge}, length: 9 ft, '
                "insulation: THW}\n"
            )
    for pole in (1, 2, 3):
        wires += (
            f'  - {{wire: 0{pole}, from: X0:L{pole}, to: "F0:{2 * pole - 1}", size: 250 kcmil, length: 1 ft, '
            "insulation: THW}\n"
            f'  - {{wire: feed{pole}, from: "F0:{2 * pole}", to: "XF:{4 * pole - 3}", size: {size}, length: 1 ft, '
            "insulation: THW}\n"
        )
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 480 V, upstream: {{kind: breaker, rating: 200 A, curve: D}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE], rated: 200 A, {MARKED}}}
  F0: {{kind: fuse, poles: 3, rating: {rating} A, class: J, time_delay: true, {MARKED}}}
  XF: {{kind: terminals, points: 12, bridged: [1-4, 5-8, 9-12], {MARKED}}}
{parts}{extra}
wires:
{wires}
"""


def told(rating: float, size: str = "3 AWG") -> set[str]:
    found = fired(SLUG, design(feeder(rating, size), "na"))
    return {name for finding in found for name in finding.subjects if name.startswith("feed")}


def test_the_printed_sum() -> None:
    """430.62(A): the largest branch device and the other motors, 100 + 7.6 + 14 A."""
    limit = feeder_device([(100, 52), (15, 7.6), (25, 14)])
    assert limit.value == pytest.approx(PRINTED_LIMIT_A)
    assert "430.62" in limit.source.clause


def test_a_feeder_may_stand_behind_a_larger_device_than_it_carries() -> None:
    """3 AWG carries 100 A at 75 °C, and the device of 110 A is what the example prints; 125 A is above 121.6 A."""
    assert told(PRINTED_STANDARD_A) == set()
    assert told(125.0) == {"feed1", "feed2", "feed3"}
    [finding] = fired(SLUG, design(feeder(125.0), "na"))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(PRINTED_LIMIT_A)


def test_a_thicker_feeder_may_have_a_device_by_its_ampacity() -> None:
    """430.62(B): 1/0 AWG carries 150 A at 75 °C."""
    assert told(150.0, "1/0 AWG") == set()
    assert told(175.0, "1/0 AWG") == {"feed1", "feed2", "feed3"}


def test_a_feeder_thinner_than_430_24_asks_for_has_no_such_help() -> None:
    """86.6 A are needed; 4 AWG carries 85 A, so its own ampacity counts again."""
    assert told(PRINTED_STANDARD_A, "4 AWG") == {"feed1", "feed2", "feed3"}
    [finding] = fired("motor-conductor-margin-small", design(feeder(110, "4 AWG"), "na"))
    assert finding.limit is not None
    assert finding.limit.value == pytest.approx(PRINTED_NEEDED_A)
    assert "3 AWG" in finding.mend[0]


def test_what_is_behind_an_overload_device_is_no_feeder() -> None:
    found = design(feeder(PRINTED_STANDARD_A), "na").faults.motor_feeders
    assert {name for name in found if name.startswith(("2", "3"))} == set()
    assert found["feed1"].motors == ("M1", "M2", "M3")


def test_the_iec_book_has_no_such_rule() -> None:
    """IEC 60364-4-43 433.2.2 wants no branch between the conductor and its overload device."""
    assert design(feeder(PRINTED_STANDARD_A), "iec").faults.motor_feeders == {}
