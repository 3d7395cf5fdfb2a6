"""Contactors whose coils hang on one feed, for the rules on control circuits."""

from __future__ import annotations


def coils(count: int, coil: str = "230 V AC 3 W", feed: tuple[str, str] = ("X0:L", "X0:N"), hertz: float = 50) -> str:
    """A number of contactors whose coils hang side by side on one feed."""
    parts = "\n".join(f"  K{n}: {{kind: contactor, poles: 1, coil: {coil}}}" for n in range(1, count + 1))
    ends = [", ".join([feed[0], *(f"K{n}:A1" for n in range(1, count + 1))])]
    ends.append(", ".join([feed[1], *(f"K{n}:A2" for n in range(1, count + 1))]))
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: {hertz} Hz}}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  T1: {{kind: transformer, primary: 230 V AC, secondary: 110 V AC, rated: 100 VA}}
{parts}
wires:
  - {{wire: 1, through: [{ends[0]}], size: 1 mm2, length: 1 m}}
  - {{wire: 2, through: [{ends[1]}], size: 1 mm2, length: 1 m}}
"""
