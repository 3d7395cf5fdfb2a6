"""Random small machines whose sizes are ample: one supply, a few loads, each behind its fuse and two conductors."""

from __future__ import annotations

import os
import random

COUNT = int(os.environ.get("WIRING_RANDOM_PLANS", "20"))
_SIZES = ("1.5 mm2", "2.5 mm2", "4 mm2")
_SUPPLIES = {24: (10, 20), 48: (10, 20)}


def random_plan(seed: int) -> str:
    """A plan that can be read, the same for the same seed."""
    draw = random.Random(seed)
    volts = draw.choice(sorted(_SUPPLIES))
    rated = draw.choice(_SUPPLIES[volts])
    supply = (
        f"{{use: supply-{volts}v-{rated}a}}"
        if draw.random() < 0.5
        else f"{{kind: supply, input: 230 V AC, output: {volts} V DC, rated: {rated} A, "
        "overload: {mode: constant-current, limit: 120 %}, derating: {from: 50 °C, slope: 2.5 %/K}}"
    )
    count = draw.randint(1, 4)
    share = min(0.6 * volts * rated / count, 4.0 * volts)
    parts = [f"  G1: {supply}"]
    wires = []
    for n in range(1, count + 1):
        watts = draw.uniform(0.2, 1.0) * share
        fuse = draw.choice((4, 5, 6))
        parts.append(f"  F{n}: {{kind: fuse, rating: {fuse} A, class: gG}}")
        parts.append(f"  E{n}: {{kind: load, rated: {volts} V DC {watts:.0f} W}}")
        size = draw.choice(_SIZES)
        length = draw.choice((0.5, 1, 3))
        wires.append(f"  - {{wire: {n}1, from: G1:V+, to: F{n}:1, type: feed}}")
        wires.append(
            f"  - {{wire: {n}2, from: F{n}:2, to: E{n}:1, size: {size}, insulation: pvc-70, length: {length} m}}"
        )
        wires.append(
            f"  - {{wire: {n}3, from: E{n}:2, to: G1:V-, size: {size}, insulation: pvc-70, length: {length} m}}"
        )
    head = ["format: 1", f"machine: Random bench {seed}", "rulebook: iec", "site: {ambient: 30 °C}"]
    types = ["wire_types:", "  feed: {size: 4 mm2, insulation: pvc-70, length: 0.5 m}"]
    return "\n".join([*head, "parts:", *parts, *types, "wires:", *wires]) + "\n"
