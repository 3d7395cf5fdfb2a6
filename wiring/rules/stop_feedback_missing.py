"""A contactor may fail closed, and the machine starts again as if nothing had happened.

Two contactors in series stop the machine although one has welded. Unless a mirror contact of each stands in the reset
loop, nobody sees it; then the second one welds. The fault must be found before the next start (category 3).
A break contact of a contactor in the reset loop that is no mirror contact is told too: it may close over a welded pole.

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
      - {wire: 12, from: S2:14, to: K0:S34}
      - {wire: 15, from: K0:14, to: K1:A1}
      - {wire: 16, from: K0:24, to: K2:A1}
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
    The inside of a safety relay and of a drive, which their makers answer for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wiring.circuit.model import Node
from wiring.design.dependence import depends_on
from wiring.design.design import Design
from wiring.findings import Cause, Signal
from wiring.parts.base import split_pair
from wiring.parts.elements import Switch
from wiring.parts.switching import Contactor, SafetyRelay
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.causes import scope
from wiring.rules.fault_words import listed
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="stop-feedback-missing",
    title="A contactor that fails closed stays unseen",
    signal=Signal.CAUTION,
    harm="The first welded contactor goes unnoticed; the stop is lost with the second.",
    sources=(("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),),
)


def _resets(design: Design) -> Iterator[tuple[str, Node]]:
    """Where reset loops begin: at a safety relay, or at the make contact of a reset device of relay logic."""
    units = [(part.name, part.data) for part in design.parts.values() if isinstance(part.data, SafetyRelay)]
    for name, data in units:
        yield name, (name, split_pair(data.reset)[0])
    for reset in dict.fromkeys(stop.reset for stop in design.plan.stops.values() if stop.reset) if not units else ():
        part = design.parts.get(reset)
        for switch in part.of(Switch) if part else ():
            if not switch.closed_at_rest:
                yield reset, (reset, switch.a)
                yield reset, (reset, switch.b)


def _reset_contacts(design: Design, owner: str, start: Node) -> Iterator[tuple[str, Switch]]:
    """The break contacts of contactors in a reset loop."""
    ahead = [design.nets.of[start]]
    seen = set(ahead)
    while ahead:
        net = ahead.pop()
        if any(pole.main for pole in design.nets.poles_at.get(net, ())):
            continue
        for edge in design.nets.edges_at.get(net, ()):
            if not isinstance(edge.element, Switch) or edge.part == owner or edge.to in seen:
                continue
            seen.add(edge.to)
            ahead.append(edge.to)
            if isinstance(design.parts[edge.part].data, Contactor) and edge.element.closed_at_rest:
                yield edge.part, edge.element


def _unmarked(design: Design, told: set[str]) -> Iterator[Judgement]:
    """Break contacts in a reset loop that do not follow a welded pole for certain, each once."""
    found = {
        (name, contact.name): (owner, contact)
        for owner, start in _resets(design)
        for name, contact in _reset_contacts(design, owner, start)
    }
    for (name, _), (owner, contact) in found.items():
        if not contact.mirror and name not in told:
            yield RULE.finding(
                (name, owner),
                f"{name}:{contact.name} in the reset loop of {owner} is no mirror contact, and may close "
                f"while a pole of {name} is welded",
                design.place(name, "contacts"),
                mend=(f"Take a contactor with a mirror contact for {name} (`NC mirror`, IEC 60947-4-1, annex F).",),
            )


def check(design: Design) -> Iterator[Judgement]:
    """The parts that may fail unseen, told together for stops that they defeat alike, and each unmarked contact."""
    unseen = design.stopping.unseen_welds
    yield from _unmarked(design, {part for parts in unseen.values() for part in parts})
    alike: dict[tuple[tuple[str, tuple[str, ...]], ...], list[str]] = {}
    for name, parts in unseen.items():
        second = tuple((part, tuple(others)) for part, others in parts.items() if others)
        if second:
            alike.setdefault(second, []).append(name)
    for second, names in alike.items():
        yield _finding(design, second, names)


def _finding(design: Design, second: Sequence[tuple[str, tuple[str, ...]]], names: Sequence[str]) -> Judgement:
    (first, others), *rest = second
    stops = f"stop{'s' if len(names) > 1 else ''} {listed(tuple(names))} {'are' if len(names) > 1 else 'is'}"
    resets = [reset for name in names if (reset := design.plan.stops[name].reset)]
    feeds = depends_on(design.machine, (*(part for part, _ in second), *others, *resets))
    return RULE.finding(
        (first, *(part for part, _ in rest), *names),
        f"{first} may fail closed unseen; {stops} lost when {' or '.join(others)} fails next",
        design.place(first),
        because=tuple(Cause(design.place(part), "may fail closed unseen as well") for part, _ in rest),
        mend=("Put a mirror contact (break) of each of them in series into the reset loop.",),
        rests=(scope("part", *feeds) | scope("supply", *feeds),),
    )
