"""A rail behind a transformer, a rectifier and a capacitor, for the rules on unregulated supplies."""

from __future__ import annotations


def rail(ac_v: float, capacitance: str, load_w: float, window: str = "24..50 V DC", extra: str = "") -> str:
    """The body of a plan: 230 V 50 Hz, transformer of 300 VA with 8 % regulation, drive and load on the rail."""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {{kind: fuse, rating: 16 A, class: gG}}}}
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 4}}
  F1: {{kind: fuse, rating: 1.6 A, class: gG, rated_voltage: 250 V AC}}
  T1: {{kind: transformer, primary: 230 V AC, secondary: {ac_v} V AC, rated: 300 VA, regulation: 8 %, inrush: 30 A}}
  F2: {{kind: fuse, rating: 6 A, class: gG, rated_voltage: 250 V AC}}
  V1: {{kind: rectifier, rated: 25 A, rated_voltage: 200 V, drop: 2 V}}
  C1: {{kind: capacitor, capacitance: {capacitance}, rated_voltage: 80 V DC{extra}}}
  F3: {{kind: fuse, rating: 4 A, class: gG, rated_voltage: 250 V DC}}
  D1: {{kind: stepper-drive, supply: {window}, phase_current: 2 A peak}}
  E1: {{kind: load, rated: {1.4 * ac_v:.1f} V DC {load_w} W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 1 m}}
  - {{wire: 2, from: F1:2, to: T1:1.1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: "X0:N", to: T1:1.2, size: 4 mm2, length: 1 m}}
  - {{wire: 4, from: XPE:1, to: T1:PE, size: 4 mm2, colour: GNYE, length: 1 m}}
  - {{wire: 5, from: T1:2.1, to: F2:1, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 6, from: F2:2, to: V1:AC1, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 7, from: T1:2.2, to: V1:AC2, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 8, from: V1:+, to: F3:1, size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 9, through: [F3:2, C1:+, D1:V+, E1:1], size: 2.5 mm2, length: 1 m}}
  - {{wire: 10, through: [V1:-, C1:-, D1:V-, E1:2], size: 2.5 mm2, length: 0.3 m}}
  - {{wire: 11, from: XPE:2, to: D1:PE, size: 4 mm2, colour: GNYE, length: 1 m}}
  - {{wire: 12, from: X0:PE, to: XPE:3, size: 4 mm2, colour: GNYE, length: 1 m}}
"""
