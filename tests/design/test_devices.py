"""One record of a protective device answers what it lets pass for ever and when it opens on a short circuit."""

from __future__ import annotations

import pytest
from helpers import design

from wiring.design.design import Design


def fed(device: str, book: str, upstream: str = "kind: breaker, rating: 32 A, curve: C") -> Design:
    return design(
        f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {{{upstream}}}}}
parts:
  X0: {{kind: inlet}}
  F1: {device}
  E1: {{kind: heater, rated: 230 V AC 1000 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 4 mm2, length: 5 m}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 4 mm2, length: 5 m}}
  - {{wire: 4, from: X0:PE, to: E1:PE, size: 4 mm2, colour: GNYE, length: 5 m}}
""",
        book,
    )


# What opens surely at all: IEC 60898-1:2015 table 7, 1.45 times; UL 489 calibration at 135 %; UL 1077 promises no
# thermal trip, so the largest conventional multiple of any standard counts, 2.1 (IEC 60127-2).
@pytest.mark.parametrize(
    ("book", "word", "standard", "multiple"),
    [
        ("iec", "branch", "", 1.45),
        ("na", "branch", "UL 489", 1.35),
        ("iec", "supplementary", "UL 1077", 2.1),
        ("na", "supplementary", "UL 1077", 2.1),
    ],
)
def test_a_breaker_is_read_by_one_standard(book: str, word: str, standard: str, multiple: float) -> None:
    found = fed(f"{{kind: breaker, rating: 20 A, curve: C, standard: {word}}}", book)
    known = found.devices.by_name["F1"]
    assert known.device.standard == standard
    assert found.protections["2"].conventional_operating_a == pytest.approx(multiple * 20.0)
    assert found.short_circuits.known["F1"] is known.device
    assert found.short_circuits.devices["F1"].device is known.device


def test_a_residual_current_device_with_a_rating_is_a_breaker_of_the_rulebook() -> None:
    rcd = "{kind: rcd, rated: 25 A, residual: 30 mA, type: A, rating: 16 A, curve: C}"
    assert fed(rcd, "na").protections["2"].conventional_operating_a == pytest.approx(1.35 * 16.0)
    assert fed(rcd, "iec").protections["2"].conventional_operating_a == pytest.approx(1.45 * 16.0)


def test_a_fuse_without_a_class_limits_an_overload_and_its_times_are_not_known() -> None:
    """As gG it lets 1.6 times its rating pass for ever (IEC 60269-1 table 2, 16 A and above)."""
    found = fed("{kind: fuse, rating: 20 A}", "iec")
    assert found.devices.by_name["F1"].missing == "class"
    assert found.protections["2"].conventional_operating_a == pytest.approx(1.6 * 20.0)
    assert "F1" not in found.short_circuits.known
    assert "F1" in next(iter(found.short_circuits.at_part["E1"])).devices


def test_a_fuse_of_the_building_without_a_class_is_treated_alike() -> None:
    found = fed("{kind: breaker, rating: 63 A, curve: C}", "iec", "kind: fuse, rating: 20 A")
    assert found.devices.by_name["upstream"].missing == "class"
    assert found.protections["1"].part == "upstream"
    assert "upstream" not in found.short_circuits.known


def test_an_electronic_fuse_that_limits_below_its_rating_crashes_nothing() -> None:
    text = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}
  F1: {kind: electronic-fuse, rating: 4 A, limit: 90 %, time: 100 ms}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 1 mm2, length: 1 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 1 mm2, length: 1 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 1 mm2, length: 1 m}
"""
    assert design(text).protections["2"].part == "F1"
