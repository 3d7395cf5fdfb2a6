"""One contact that fails closed defeats a stop.

The stop rests on a single contactor, relay or contact: when its contacts weld, or it sticks, nothing else takes the
power away. This shows the structure of the circuit; it is no performance level and no certificate. A contact that opens
by force of its actuator counts as one that opens (ISO 13849-2, table D.8). A stop device that opens one channel of its
safety relay and leaves the other one closed is told as well.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}
      K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, G1:L]}
      - {wire: 2, from: K1:2, to: E1:1}
      - {wire: 4, through: [X0:N, E1:2, G1:N]}
      - {wire: PE1, from: X0:PE, to: XPE:1}
      - {wire: PE2, from: XPE:2, to: G1:PE}
      - {wire: 5, through: [G1:V+, K0:A1, K0:13, K0:23]}
      - {wire: 6, through: [XPE:3, G1:V-, K0:A2, K1:A2]}
      - {wire: 7, from: K0:S11, to: S1:11}
      - {wire: 8, from: S1:12, to: K0:S12}
      - {wire: 9, from: K0:S21, to: S1:21}
      - {wire: 10, from: S1:22, to: K0:S22}
      - {wire: 11, from: K0:S33, to: S2:13}
      - {wire: 12, from: S2:14, to: K1:21}
      - {wire: 14, from: K1:22, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    stops: {emergency: {devices: [S1], category: 0, reset: S2}}
    parts:
      X0: {kind: inlet}
      XPE: {kind: earth-bar, points: 3}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
      S2: {kind: push-button, contacts: {13-14: NO}}
      K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}
      K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      K2: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
      E1: {kind: heater, rated: 230 V AC 500 W, metal: false}
    wires:
      - {wire: 1, through: [X0:L, K1:1, G1:L]}
      - {wire: 2, from: K1:2, to: K2:1}
      - {wire: 3, from: K2:2, to: E1:1}
      - {wire: 4, through: [X0:N, E1:2, G1:N]}
      - {wire: PE1, from: X0:PE, to: XPE:1}
      - {wire: PE2, from: XPE:2, to: G1:PE}
      - {wire: 5, through: [G1:V+, K0:A1, K0:13, K0:23]}
      - {wire: 6, through: [XPE:3, G1:V-, K0:A2, K1:A2, K2:A2]}
      - {wire: 7, from: K0:S11, to: S1:11}
      - {wire: 8, from: S1:12, to: K0:S12}
      - {wire: 9, from: K0:S21, to: S1:21}
      - {wire: 10, from: S1:22, to: K0:S22}
      - {wire: 11, from: K0:S33, to: S2:13}
      - {wire: 12, from: S2:14, to: K1:21}
      - {wire: 13, from: K1:22, to: K2:21}
      - {wire: 14, from: K2:22, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
      - {wire: 16, from: K0:24, to: K2:A1}
Not judged
    A machine without stops. The inside of a safety relay and of a drive with two torque-off inputs, which their
    makers answer for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wiring.design.design import Design
from wiring.design.stop_causes import Cause, causes, is_single_channel, together
from wiring.findings import Cause as Because
from wiring.findings import Finding, Number, Signal
from wiring.parts.base import split_pair
from wiring.parts.elements import Switch
from wiring.parts.switching import SafetyRelay
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.causes import scope
from wiring.rules.rule import Item, Judgement, Rule
from wiring.wording import does

RULE = Rule(
    slug="stop-single-channel",
    title="One failing contact defeats the stop",
    signal=Signal.WARNING,
    harm="A welded contact is a usual end of a contactor's life; the stop is then pressed and nothing happens.",
    sources=(
        ("both", Source("ISO 13849-2", "2012", "table D.9", Standing.FROM_MEMORY)),
        ("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),
    ),
)


def _is_closed(design: Design, relay: str, pair: str, opened: str) -> bool:
    """Whether a channel is closed through contacts at rest, without those of one device."""
    start, goal = (design.nets.of[relay, end] for end in split_pair(pair))
    seen, ahead = {start}, [start]
    while ahead and goal not in seen:
        for edge in design.nets.edges_at.get(ahead.pop(), ()):
            passes = not isinstance(edge.element, Switch) or edge.element.closed_at_rest
            if passes and edge.part not in (opened, relay) and edge.to not in seen:
                seen.add(edge.to)
                ahead.append(edge.to)
    return goal in seen


def _left_closed(design: Design, device: str) -> Iterator[Judgement]:
    """Safety relays of which a stop device opens some channels and not all."""
    for relay in design.parts.values():
        if isinstance(relay.data, SafetyRelay):
            whole = [pair for pair in relay.data.channels if _is_closed(design, relay.name, pair, "")]
            left = [pair for pair in whole if _is_closed(design, relay.name, pair, device)]
            if left and len(left) < len(whole):
                yield RULE.finding(
                    (device, relay.name),
                    f"{device} opens one channel of {relay.name} and leaves {', '.join(left)} closed",
                    design.place(device),
                    mend=(f"Lead {', '.join(left)} of {relay.name} through a break contact of {device} too.",),
                    rests=(scope("part", device),),
                )


def check(design: Design) -> Iterator[Judgement]:
    """Each part whose failing closed leaves a target alive, and each device that opens one channel."""
    for device in dict.fromkeys(name for stop in design.plan.stops.values() for name in stop.devices):
        yield from _left_closed(design, device)
    for cause in causes(design.stopping, is_single_channel):
        rests = (scope("bypass", *cause.bypasses),) if cause.bypasses else ()
        yield Item(cause.subject, cause, partial(_finding, design), rests=rests)


def _finding(design: Design, rows: Sequence[Cause]) -> Finding:
    cause = together(rows)
    part, stops, alive, words = cause.subject, cause.stops, cause.alive, cause.words
    return RULE.finding(
        (part, *stops),
        f"{part} alone carries stop {' and '.join(stops)}: when {words[0]}, {does(alive, 'stays fed', 'stay fed')}",
        design.place(part),
        because=tuple(Because(design.place(name), "stays fed") for name in alive),
        numbers=(Number("faults of this kind", float(len(words)), ""),),
        mend=(
            f"Put a second contactor in series with {part}, driven by a second channel, and both mirror contacts "
            "in the reset loop.",
        ),
    )
