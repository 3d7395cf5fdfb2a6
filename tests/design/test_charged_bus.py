"""The charge that a drive keeps when a stop takes its supply."""

from __future__ import annotations

from math import sqrt

import pytest
from helpers import design

from wiring.design.stop.account import account


def test_a_bus_on_the_mains_is_charged_to_their_peak() -> None:
    """230 V behind a rectifier charge a capacitor to 325 V; what is drawn there is its power at rest."""
    made = design("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, fault_current: 1 kA}
parts:
  X0: {kind: inlet}
  T1: {kind: servo-drive, supply: 200..240 V AC, phases: 1, rated_current: 3 A rms, bus_capacitance: 470 µF}
wires:
  - {wire: 1, from: X0:L, to: T1:L, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: "X0:N", to: "T1:N", size: 1.5 mm2, length: 1 m}
""")
    [charge] = account(made.stopping, made.stopping.proof).lingering
    assert charge.drive == "T1"
    assert charge.bus_v == pytest.approx(230 * sqrt(2), rel=0.01)
