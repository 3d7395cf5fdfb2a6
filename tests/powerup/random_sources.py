"""Random machines with one source between 12 V and 30 kV, for the law that no row of the sheet hurts who follows it."""

import random
from dataclasses import dataclass
from math import sqrt

HEAD = """format: 1
machine: Random bench {seed}
rulebook: {book}
mains: {{inlet: X0, system: single-phase, voltage: {mains} V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {{kind: breaker, rating: 16 A, curve: C}}}}
parts:
  X0: {{kind: inlet}}
  Q1: {{kind: disconnector, poles: 2, rated: 16 A}}
  F1: {{kind: breaker, rating: 10 A, curve: C, breaking: 6 kA}}
  F2: {{kind: fuse, rating: 2 A, class: T, breaking: 1.5 kA}}
  G1: {{kind: supply, input: 100..240 V AC, output: 24 V DC, rated: 2.5 A}}
  S1: {{kind: emergency-stop, contacts: {{11-12: NC}}}}
  K1: {{kind: contactor, poles: 2, rated: 9 A, coil: 24 V DC 3 W, contacts: {{21-22: NC}}}}
  BED: {{kind: metalwork, points: 4}}
"""
WIRES = """  - {wire: 1, from: X0:L, to: Q1:1, size: 1.5 mm2, length: 0.5 m}
  - {wire: 2, from: X0:N, to: Q1:3, size: 1.5 mm2, length: 0.5 m}
  - {wire: 3, from: Q1:2, to: F1:1, size: 1.5 mm2, length: 0.5 m}
  - {wire: 4, through: [F1:2, G1:L, K1:1], size: 1.5 mm2, length: 0.5 m}
  - {wire: 5, through: [Q1:4, G1:N, K1:3], size: 1.5 mm2, length: 0.5 m}
  - {wire: P1, through: [X0:PE, BED:1], size: 1.5 mm2, length: 0.5 m, colour: GNYE}
  - {wire: P2, from: BED:2, to: G1:PE, size: 1.5 mm2, length: 0.5 m, colour: GNYE}
  - {wire: P3, from: G1:V-, to: BED:3, size: 1 mm2, length: 0.3 m, colour: GNYE}
  - {wire: 6, from: G1:V+, to: F2:1, size: 1 mm2, length: 0.5 m}
  - {wire: 7, from: F2:2, to: S1:11, size: 1 mm2, length: 0.5 m}
  - {wire: 8, from: S1:12, to: K1:A1, size: 1 mm2, length: 0.5 m}
  - {wire: 9, from: G1:V-, to: K1:A2, size: 1 mm2, length: 0.5 m}
"""


@dataclass(frozen=True)
class Bench:
    """A plan; `hot` are the terminals at the output of its source, `volts` its voltage there, `stores` what holds
    charge, `asked` whether the time of its discharge is left out."""

    text: str
    hot: frozenset
    volts: float
    stores: frozenset
    asked: bool


def random_bench(seed):
    chance = random.Random(seed)
    volts = round(12.0 * (30e3 / 12.0) ** chance.random(), 1)
    volts = {0: 12.0, 1: 30e3, 2: 25e3, 3: 999.0, 4: 300.0, 5: 60.0}.get(seed, volts)
    mains = chance.choice((120, 230))
    sort = chance.choice(("process", "process", "supply", "transformer", "rectified", "converter"))
    parts, wires, hot, stands, stores, asked = _source(chance, sort, volts, mains)
    head = HEAD.format(seed=seed, book=chance.choice(("iec", "na")), mains=mains)
    stops = "stops:\n  stop: {category: 0, devices: [S1]}\nstates:\n  run: {}\n"
    return Bench(head + parts + "wires:\n" + WIRES + wires + stops, frozenset(hot), stands, frozenset(stores), asked)


def _source(chance, sort, volts, mains):
    watts = chance.uniform(20.0, 200.0)
    amps = 2.0 * watts / volts
    feed = "  - {{wire: 20, from: K1:2, to: 'U1:{}', length: 0.4 m, size: 1.5 mm2}}\n"
    feed += "  - {{wire: 21, from: K1:4, to: 'U1:{}', length: 0.4 m, size: 1.5 mm2}}\n"
    out = "  - {{wire: 22, from: 'U1:{}', to: 'E1:1', length: 0.4 m, size: 1.5 mm2}}\n"
    out += "  - {{wire: 23, from: 'U1:{}', to: 'E1:2', length: 0.4 m, size: 1.5 mm2}}\n"
    earth = "  - {wire: P5, from: BED:4, to: 'U1:PE', length: 0.4 m, size: 1.5 mm2, colour: GNYE}\n"
    if sort == "process":
        asked = chance.random() < 0.5
        open_v = volts if chance.random() < 0.5 else 1.5 * volts
        more = "" if asked else ", discharge: 90 s"
        more += f", open_circuit: {open_v} V" if open_v > volts else ""
        kind = chance.choice(("DC", "DC", "AC"))
        rated = f"output: {volts} V {kind}, rated: {amps:.6g} A{more}"
        parts = f"  U1: {{kind: process-source, input: {mains} V AC, {rated}}}\n"
        ends = ("OUT+", "OUT-")
        wires = feed.format("L", "N") + out.format(*ends) + earth
        return parts + _load(volts, kind, watts), wires, _hot(ends), open_v, {"U1"}, asked
    if sort in ("supply", "converter"):
        feeding = "100..240 V AC" if sort == "supply" else "18..36 V DC"
        farads = chance.choice(("", ", output_capacitance: 2 mF"))
        isolated = ", isolated: true" if sort == "converter" else ""
        parts = (
            f"  U1: {{kind: {sort}, input: {feeding}, output: {volts} V DC, rated: {amps:.6g} A{farads}{isolated}}}\n"
        )
        wires = feed.format("L", "N") if sort == "supply" else _dc_feed()
        ends = ("V+", "V-")
        wires += out.format(*ends) + (earth if sort == "supply" else "")
        return parts + _load(volts, "DC", watts), wires, _hot(ends), volts, {"U1"} if farads else set(), False
    parts = f"  U1: {{kind: transformer, primary: {mains} V, secondary: {volts} V, rated: {3 * watts:.0f} VA}}\n"
    ends = ("2.1", "2.2")
    no_load = 1.08 * volts
    if sort == "transformer":
        wires = feed.format("1.1", "1.2") + out.format(*ends) + earth
        return parts + _load(volts, "AC", watts), wires, _hot(ends), no_load, set(), False
    parts += f"  V1: {{kind: rectifier, rated: {2 * amps:.6g} A}}\n"
    parts += f"  C1: {{kind: capacitor, capacitance: 100 uF{chance.choice(('', ', bleeder: 100 kohm'))}}}\n"
    parts += f"  E1: {{kind: heater, rated: {sqrt(2) * volts:.1f} V DC {watts:.1f} W, metal: false}}\n"
    wires = feed.format("1.1", "1.2") + earth
    wires += "  - {wire: 24, from: 'U1:2.1', to: 'V1:AC1', length: 0.4 m, size: 1.5 mm2}\n"
    wires += "  - {wire: 25, from: 'U1:2.2', to: 'V1:AC2', length: 0.4 m, size: 1.5 mm2}\n"
    wires += "  - {wire: 26, through: ['V1:+', 'C1:+', 'E1:1'], length: 0.4 m, size: 1.5 mm2}\n"
    wires += "  - {wire: 27, through: ['V1:-', 'C1:-', 'E1:2'], length: 0.4 m, size: 1.5 mm2}\n"
    hot = _hot(ends) | {("V1", end) for end in ("AC1", "AC2", "+", "-")} | {("C1", "+"), ("C1", "-")}
    return parts, wires, hot, sqrt(2) * no_load, {"C1"}, False


def _load(volts, kind, watts):
    return f"  E1: {{kind: load, rated: {volts} V {kind} {watts:.1f} W}}\n"


def _hot(ends):
    return {("U1", end) for end in ends} | {("E1", "1"), ("E1", "2")}


def _dc_feed():
    return (
        "  - {wire: 20, from: F2:2, to: 'U1:IN+', length: 0.4 m, size: 1.5 mm2}\n"
        "  - {wire: 21, from: G1:V-, to: 'U1:IN-', length: 0.4 m, size: 1.5 mm2}\n"
    )


def spread_of(count):
    """How many of the first benches stand below 60 V, up to 1 kV, and above."""
    stands = [random_bench(seed).volts for seed in range(count)]
    return sum(v <= 60 for v in stands), sum(60 < v <= 1000 for v in stands), sum(v > 1000 for v in stands)
