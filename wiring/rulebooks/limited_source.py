"""Protective devices behind an electronic supply, which limits its own current and so may never trip them."""

from __future__ import annotations

from enum import StrEnum
from math import inf

from msgspec import Struct

from wiring.parts.ranges import above_zero, not_negative
from wiring.rulebooks.devices import Device, clears, surely_opens_at


class Outcome(StrEnum):
    """What a short circuit behind the device leads to."""

    IN_PULSE = "opens within the pulse of the supply"
    LATER = "opens later, while the whole rail is down"
    NEVER = "need not open: the supply limits the current below what opens it"


class LimitedFault(Struct, frozen=True):
    """A short circuit on a limited source: current in the pulse and lasting [A], latest opening time [s], outcome.

    `needed_a` is the smallest current at which the device surely opens within the pulse, infinite when none is.
    """

    initial_a: float
    steady_state_a: float
    opens_s: float
    outcome: Outcome
    needed_a: float


def limited_fault_current(source_v: float, loop_ohm: float, limit_a: float) -> float:
    """Current into a short circuit at the end of a loop [A]: the supply's limit or Ohm's law, whichever is less.

    All not negative; ValueError otherwise. `loop_ohm` source, device, contacts, wires there and back. Derived.
    """
    not_negative(source_v=source_v, loop_ohm=loop_ohm, limit_a=limit_a)
    return min(limit_a, source_v / loop_ohm) if loop_ohm > 0.0 else limit_a


def trips_on_limited_source(
    device: Device,
    source_v: float,
    loop_ohm: float,
    limit_a: float,
    peak_a: float | None = None,
    peak_s: float = 0.01,
    dc: bool = True,
) -> LimitedFault:
    """Whether a device behind an electronic supply opens on a short circuit, and when.

    `limit_a` what the supply delivers without end [A]; `peak_a` what it delivers for `peak_s` [s], None for no pulse.
    A supply that cuts out by itself has a lasting current of 0. Raises ValueError below zero.
    Source: derived; a magnetic release must be reached within the pulse, 10 ms by common practice.
    """
    above_zero(peak_s=peak_s)
    pulse = limited_fault_current(source_v, loop_ohm, limit_a if peak_a is None else max(peak_a, limit_a))
    lasting = limited_fault_current(source_v, loop_ohm, limit_a)
    # The standard promises 0.1 s for a magnetic release; in practice it opens within half a cycle.
    within_s = max(peak_s, 0.1) if device.family == "breaker" else peak_s
    needed = surely_opens_at(device, dc, within_s)
    if pulse >= needed:
        return LimitedFault(pulse, lasting, min(within_s, clears(device, pulse, dc).max_s), Outcome.IN_PULSE, needed)
    later_s = clears(device, lasting, dc).max_s
    return LimitedFault(pulse, lasting, later_s, Outcome.LATER if later_s < inf else Outcome.NEVER, needed)
