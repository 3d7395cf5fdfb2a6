"""The conductors of a motor carry its current, but not the margin that the North American book wants.

A motor that starts, stalls or runs on a low supply draws more than its plate says for longer than its overload relay
waits. The conductors of a single motor are therefore sized for 125 % of its full-load current. The IEC book sizes them
for the current itself.

Fires
    rulebook: na
    mains: {inlet: X0, system: single-phase, voltage: 120 V, upstream: {kind: breaker, rating: 15 A, curve: C}}
    site: {ambient: 30 °C}
    parts:
      X0: {kind: inlet, rated: 15 A}
      M1: {kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.75 kW, rated_current: 13 A, metal: false}
      F1: {kind: motor-protector, poles: 2, setting: 13 A}
    wires:
      - {wire: 1, from: X0:L, to: F1:1, size: 10 AWG, insulation: MTW, length: 1 m}
      - {wire: 2, from: X0:N, to: F1:3, size: 10 AWG, insulation: MTW, length: 1 m}
      - {wire: 3, from: F1:2, to: M1:U1, size: 14 AWG, insulation: MTW, length: 1 m}
      - {wire: 4, from: F1:4, to: M1:U2, size: 10 AWG, insulation: MTW, length: 1 m}
Quiet
    rulebook: na
    mains: {inlet: X0, system: single-phase, voltage: 120 V, upstream: {kind: breaker, rating: 15 A, curve: C}}
    site: {ambient: 30 °C}
    parts:
      X0: {kind: inlet, rated: 15 A}
      M1: {kind: motor, voltage: 120 V AC, phases: 1, rated_power: 0.75 kW, rated_current: 13 A, metal: false}
      F1: {kind: motor-protector, poles: 2, setting: 13 A}
    wires:
      - {wire: 1, from: X0:L, to: F1:1, size: 10 AWG, insulation: MTW, length: 1 m}
      - {wire: 2, from: X0:N, to: F1:3, size: 10 AWG, insulation: MTW, length: 1 m}
      - {wire: 3, from: F1:2, to: M1:U1, size: 10 AWG, insulation: MTW, length: 1 m}
      - {wire: 4, from: F1:4, to: M1:U2, size: 10 AWG, insulation: MTW, length: 1 m}
Not judged
    A motor without `rated_current`.
Known limits
    The conductors that end at the motor are judged, not those in front of its protective device. Stepper and servo
    motors follow their drive's current.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.findings import Number, Signal
from wiring.parts.motors import Motor
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rules.mend import size_that_carries
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="motor-conductor-margin-small",
    title="Conductors of a motor have too little margin",
    signal=Signal.CAUTION,
    harm="At each start and stall the insulation gets hotter than it stands for long.",
    sources=(("na", Source("NFPA 79", "2021", "12.5.2", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Iterator[Judgement]:
    """The conductors at each motor, the thinnest one named."""
    margin = design.book.limit("motor_conductor_margin")
    if not isinstance(margin, Limit):
        return
    for part in design.parts.values():
        if not isinstance(part.data, Motor):
            continue
        if part.data.rated_current is None:
            yield RULE.not_judged((part.name,), "its full-load current (`rated_current`)", design.place(part.name))
        else:
            yield from _judge(design, part.name, part.data.rated_current, margin)


def _judge(design: Design, motor: str, rated_a: float, margin: Limit) -> Iterator[Judgement]:
    needed = Limit(margin.value * rated_a, "A", margin.source, "125 % of the full-load current")
    thin: list[tuple[float, str]] = []
    for terminal in design.parts[motor].terminals:
        for conductor in design.circuit.conductors_at((motor, terminal)):
            figure = design.conductors.get(conductor.id)
            if figure is None or not isinstance(figure.ampacity, Limit):
                continue
            if figure.current_a <= figure.ampacity.value < needed.value * (1 - 1e-9):
                thin.append((figure.ampacity.value, conductor.id))
    if not thin:
        return
    ampacity_a, name = min(thin)
    names = sorted(entry[1] for entry in thin)
    conductor = design.circuit.conductor[name]
    larger = size_that_carries(design, conductor, design.conductors[name], needed.value)
    yield RULE.finding(
        (*names, motor),
        f"{', '.join(names)} may carry {ampacity_a:.3g} A, and {motor} asks for {needed.value:.3g} A",
        conductor.place,
        numbers=(
            Number("full load", rated_a, "A", motor),
            Number("ampacity", ampacity_a, "A", name),
        ),
        limit=needed,
        mend=(f"Make {', '.join(names)} {larger.text}.",) if larger else (f"Lead {motor} with thicker conductors.",),
    )
