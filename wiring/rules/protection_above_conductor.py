"""A fuse, a breaker or the limit of a supply is larger than a conductor behind it may carry.

A protective device guards the conductor, not the load. Between what the conductor may carry and what the device lets
pass, a fault current flows for as long as the supply lasts. The device that counts is the weakest one on the way from
the source; for a return conductor, those in front of all loads that return through it.

IEC: the rated current is not above the ampacity, and the current that the device lets pass for ever is not above 1.45
times the ampacity. North America: the rated current is not above the ampacity or the limit for small conductors, and
the second rule by practice; the next standard size up, which NFPA 70 allows in a building, is not for the conductors
of a machine. A conductor that feeds one overload device and nothing else is guarded against overload by that device,
however large the fuse or breaker in front of it is.

Conductors between the same two terminals share the current as their resistances do, and each allows its ampacity
divided by its share (IEC 60364-4-43, 433.4; NFPA 70, 310.10(G) from 1/0 AWG up). In North America a thinner one is
held against the device as if it were alone, and so is one whose own length or another's is not given.

Fires
    parts:
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
      F4: {kind: fuse, rating: 25 A, class: gG}
      E1: {kind: load, rated: 24 V DC 24 W}
    wires:
      - {wire: 1, from: G1:V+, to: F4:1, size: 10 mm2, insulation: pvc-70, length: 0.3 m}
      - {wire: 2, from: F4:2, to: E1:1, size: 0.75 mm2, insulation: pvc-70, length: 1 m}
      - {wire: 3, from: G1:V-, to: E1:2, size: 10 mm2, insulation: pvc-70, length: 1 m}
Quiet
    parts:
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}
      F4: {kind: fuse, rating: 4 A, class: gG}
      E1: {kind: load, rated: 24 V DC 24 W}
    wires:
      - {wire: 1, from: G1:V+, to: F4:1, size: 10 mm2, insulation: pvc-70, length: 0.3 m}
      - {wire: 2, from: F4:2, to: E1:1, size: 0.75 mm2, insulation: pvc-70, length: 1 m}
      - {wire: 3, from: G1:V-, to: E1:2, size: 10 mm2, insulation: pvc-70, length: 1 m}
Not judged
    A conductor without a size, or of a size that no table has (told by `conductor-overloaded`).
Known limits
    What a larger device in front of an overload device lets through in a short circuit is judged by
    `conductor-burns-before-device-opens`, and in North America by `motor-device-too-large`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from wiring.circuit.model import Conductor
from wiring.design.conductor_use import use_of
from wiring.design.design import Design
from wiring.design.overcurrent_protection import Protection
from wiring.design.overload_protection import overload_setting_behind
from wiring.findings import Cause, Number, Signal
from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.overcurrent import LASTING_FACTOR, Verdict, protects_conductor
from wiring.rules.mend import size_that_carries
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="protection-above-conductor",
    title="Protective device is larger than its conductor allows",
    signal=Signal.WARNING,
    harm="A fault just below the device's rating keeps flowing and can set the conductor's insulation on fire.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "7.2", Standing.ONE_SOURCE)),
        ("na", Source("NFPA 79", "2021", "7.2", Standing.FROM_MEMORY)),
    ),
)

#: The smallest conductor that may count on others in parallel in North America: 1/0 AWG (NFPA 70, 310.10(G)(1), from
#: memory).
LEAST_IN_PARALLEL_MM2 = 53.0


def allowed(design: Design, name: str) -> Limit | None:
    """The largest rated current of a device in front of a conductor; None where the conductor has no known ampacity."""
    alone = allowed_alone(design, name)
    mates, size = design.machine.parallel.get(name), design.circuit.conductor[name].size
    if alone is None or mates is None or size is None or not mates.shares:
        return alone
    if design.plan.rulebook == "na" and size.area_mm2 < LEAST_IN_PARALLEL_MM2:
        return alone
    share = mates.shares[name]
    note = f"{len(mates.names)} in parallel, {share * 100:.0f} % of the current in {name}"
    return replace(alone, value=alone.value / share, note="; ".join(filter(None, (alone.note, note))))


def allowed_alone(design: Design, name: str) -> Limit | None:
    """The same without the help of others in parallel; None as well where an overload device behind guards it."""
    figure = design.conductors.get(name)
    if figure is None or isinstance(figure.ampacity, NotTabled):
        return None
    setting = overload_setting_behind(design.machine, design.short_circuits.paths, design.circuit.conductor[name])
    if setting is not None and setting <= figure.ampacity.value * (1 + 1e-9):
        return None
    limit = figure.ampacity
    size = design.circuit.conductor[name].size
    if design.plan.rulebook == "na" and size is not None:
        use = "control" if use_of(design.machine, design.circuit.conductor[name]) in ("control", "signal") else "power"
        small = design.book.largest_device(size, use)
        if isinstance(small, Limit) and small.value < limit.value:
            return small
    return limit


def check(design: Design) -> Iterator[Judgement]:
    """One finding for each device, naming every conductor that is too thin for it."""
    thin, protections = _thin(design)
    for part in sorted(thin):
        yield _finding(design, protections[part], thin[part])


def too_thin(design: Design) -> frozenset[str]:
    """The conductors that are too thin for the device ahead of them."""
    return frozenset(name for rows in _thin(design)[0].values() for name, _ in rows)


def _thin(design: Design) -> tuple[dict[str, list[tuple[str, Verdict]]], dict[str, Protection]]:
    thin: dict[str, list[tuple[str, Verdict]]] = {}
    protections: dict[str, Protection] = {}
    for name, protection in design.protections.items():
        limit = allowed(design, name)
        figure = design.conductors.get(name)
        if limit is None or figure is None or protection.rating_a == inf:
            continue
        assert isinstance(figure.ampacity, Limit)
        if figure.ampacity.value <= 0.0 or figure.current_a > figure.ampacity.value:
            continue  # reported as overloaded, or as too warm, which is the same cause and the nearer danger
        first, second = protects_conductor(
            design.plan.rulebook, protection.rating_a, protection.conventional_operating_a, limit
        )
        broken = replace(first, limit=limit) if not first.holds else second
        if not broken.holds:
            thin.setdefault(protection.part, []).append((name, broken))
            protections[protection.part] = protection
    return thin, protections


def _finding(design: Design, protection: Protection, thin: list[tuple[str, Verdict]]) -> Judgement:
    name, broken = min(thin, key=lambda row: (row[1].limit.value / row[1].value, row[0]))
    conductor = design.circuit.conductor[name]
    figure = design.conductors[name]
    assert conductor.size is not None
    names = [row[0] for row in thin]
    larger = _larger(design, conductor, protection)
    device = design.parts.get(protection.part)
    most = protection.rating_a * broken.limit.value / broken.value
    mend = [f"Set {protection.part} to {most:.3g} A or less." if device else "Put a smaller device in front of it."]
    if larger:
        mend.append(f"Make {', '.join(names[:6])} {larger.text}.")
    what = "limits at" if protection.family == "supply" else "is rated"
    because = [Cause(design.place(device.name), f"{what} {protection.rating_a:.3g} A")] if device else []
    return RULE.finding(
        (*names, *([device.name] if device else ())),
        _summary(protection, broken, f"{conductor.size.text} of {name}", what),
        conductor.place,
        because=because,
        numbers=(
            Number(
                "device",
                protection.rating_a,
                "A",
                f"{protection.part}, {protection.family} {protection.curve}".rstrip(),
            ),
            Number("lets pass", protection.conventional_operating_a, "A", "for ever"),
            Number("allowed", broken.limit.value, "A", f"{conductor.size.text} at {figure.ambient_c:.0f} °C"),
            Number("load", figure.current_a, "A", f"state {figure.state}"),
        ),
        limit=broken.limit,
        mend=mend,
    )


def _summary(protection: Protection, broken: Verdict, conductor: str, what: str) -> str:
    if broken.value == protection.rating_a:
        return (
            f"{protection.part} {what} {protection.rating_a:.3g} A, and {conductor} allows {broken.limit.value:.3g} A"
        )
    return (
        f"{protection.part} of {protection.rating_a:.3g} A may let {broken.value:.3g} A pass for ever, and {conductor} "
        f"bears {broken.limit.value:.3g} A, {LASTING_FACTOR:g} times its ampacity"
    )


def _larger(design: Design, conductor: Conductor, protection: Protection) -> WireSize | None:
    """The next size that the device may stand in front of, by its ampacity and by the limit for small conductors."""
    amps = max(protection.rating_a, protection.conventional_operating_a / LASTING_FACTOR)
    use = "control" if use_of(design.machine, conductor) in ("control", "signal") else "power"
    size = size_that_carries(design, conductor, design.conductors[conductor.id], amps)
    for step in design.book.standard_sizes():
        small = design.book.largest_device(step, use)
        held = isinstance(small, Limit) and small.value < protection.rating_a
        if size is not None and step.area_mm2 >= size.area_mm2 * (1 - 1e-9) and not held:
            return step
    return None
