"""What the start of a motor does to the fuse in front of it."""

from __future__ import annotations

import pytest
from helpers import HEAD, design
from marked_plans import assert_marked, fired
from says import assert_says

from wiring.findings import Signal

SLUG = "start-opens-fuse"

PLAN = """
mains: {{inlet: X0, system: single-phase, voltage: {volts} V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: fuse, rated_voltage: 600 V AC, {fuse}}}
{motors}wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: {size}, length: 1 m}}
  - {{wire: 2, through: [F1:2, {lines}], size: {size}, length: 1 m}}
  - {{wire: 3, through: ["X0:N", {backs}], size: {size}, length: 1 m}}
"""


def direct(fuse: str, start_a: float, count: int = 1, volts: int = 230, size: str = "2.5 mm2") -> str:
    motor = "kind: motor, voltage: {} V AC, phases: 1, rated_power: 0.5 kW, rated_current: {:g} A, start_factor: 6"
    names = [f"M{n}" for n in range(1, count + 1)]
    return PLAN.format(
        volts=volts,
        fuse=fuse,
        size=size,
        motors="".join(f"  {name}: {{{motor.format(volts, start_a / 6)}}}\n" for name in names),
        lines=", ".join(f"{name}:U1" for name in names),
        backs=", ".join(f"{name}:U2" for name in names),
    )


def test_the_finding_points_at_the_fuse() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}
parts:
  X0: {kind: inlet}
  F1: {kind: fuse, rating: 6 A, class: gG, rated_voltage: 400 V AC}      #! start-opens-fuse
  F2: {kind: motor-protector, poles: 2, setting: 6 A}
  M1: {kind: motor, voltage: 230 V AC, phases: 1, rated_power: 0.75 kW, rated_current: 6 A, start_factor: 6}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 2.5 mm2, length: 1 m}
  - {wire: 2, from: F1:2, to: F2:1, size: 2.5 mm2, length: 1 m}
  - {wire: 3, from: F2:2, to: M1:U1, size: 2.5 mm2, length: 1 m}
  - {wire: 4, from: "X0:N", to: F2:3, size: 2.5 mm2, length: 1 m}
  - {wire: 5, from: F2:4, to: M1:U2, size: 2.5 mm2, length: 1 m}
  - {wire: 6, from: X0:PE, to: M1:PE, size: 2.5 mm2, colour: GNYE, length: 1 m}
""")


# IEC 60269-1, table 3, gG 16 A: holds 33 A for 10 s, opens at 65 A within 5 s.
@pytest.mark.parametrize(("start_a", "signal"), [(32.0, None), (34.0, Signal.NOTICE), (66.0, Signal.CAUTION)])
def test_the_gates_of_a_gg_fuse(start_a: float, signal: Signal | None) -> None:
    found = fired(SLUG, design(direct("rating: 16 A, class: gG", start_a)))
    assert [finding.signal for finding in found] == ([signal] if signal else [])


def test_motors_that_start_together_add_up() -> None:
    """Two of 20 A are 40 A, more than the 33 A that a gG 16 A holds."""
    assert not fired(SLUG, design(direct("rating: 16 A, class: gG", 20.0)))
    (finding,) = fired(SLUG, design(direct("rating: 16 A, class: gG", 20.0, count=2)))
    assert finding.subjects == ("F1", "M1", "M2")


# UL 248-4: class CC marked time delay holds 200 % for 12 s; UL 248-8: class J 500 % for 10 s (both from memory).
@pytest.mark.parametrize(
    ("fuse", "start_a", "quiet"),
    [
        ("rating: 25 A, class: CC, time_delay: true", 48.0, True),
        ("rating: 20 A, class: CC, time_delay: true", 48.0, False),
        ("rating: 25 A, class: CC", 48.0, False),
        ("rating: 10 A, class: J, time_delay: true", 48.0, True),
    ],
)
def test_time_delay_fuses_of_north_america(fuse: str, start_a: float, quiet: bool) -> None:
    found = fired(SLUG, design(direct(fuse, start_a, volts=240, size="10 AWG"), "na"))
    assert not found if quiet else [finding.signal for finding in found] == [Signal.NOTICE]


def test_the_mend_names_a_fuse_that_holds() -> None:
    """A gG of 20 A holds 42 A for 10 s (IEC 60269-1, table 3)."""
    (finding,) = fired(SLUG, design(direct("rating: 16 A, class: gG", 40.0)))
    assert "gG of 20 A" in finding.mend[0]


def test_what_it_says() -> None:
    """IEC 60269-1 table 3: gG 16 A holds 33 A for 5 s; the motor starts with 34 A. gG 20 A holds 42 A."""
    [finding] = fired(SLUG, design(direct("rating: 16 A, class: gG", 34.0)))
    assert_says(
        finding,
        "NOTICE",
        limit=(33.0, "A", "IEC 60269-1 table 3 and table 7"),
        number=("starting current", 34.0, "A"),
        mend="gG of 20 A",
    )


def test_a_fuse_of_the_building_is_told_at_the_motor() -> None:
    body = direct("rating: 63 A, class: gG", 34.0).replace(
        "fault_current: 1 kA}", "fault_current: 1 kA, upstream: {kind: fuse, rating: 16 A, class: gG}}"
    )
    [finding] = fired(SLUG, design(body))
    assert finding.subjects == ("M1",)
    assert finding.place is not None
    assert (HEAD.format(book="iec") + body).splitlines()[finding.place.line - 1].startswith("  M1:")


def test_an_easy_start_lasts_5_seconds() -> None:
    """IEC 60269-1 table 3 gives the gate at 5 s."""
    [finding] = fired(SLUG, design(direct("rating: 16 A, class: gG", 34.0)))
    assert finding.limit is not None
    assert finding.limit.note == "held for 5 s"
