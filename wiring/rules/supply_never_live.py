"""A supply delivers in no state of the plan: its input is dead, or sees a voltage that it is not made for.

A machine whose supplies are dead asks for no current, so every other check on it stays quiet. That silence must not
read as safe. The voltage at the input is the one solved in each state, with every contact as it stands when the
machine runs.

Fires
    mains: {inlet: X0, system: single-phase, voltage: 120 V}
    parts:
      X0: {kind: inlet}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      E1: {kind: load, rated: 24 V DC 24 W}
    wires:
      - {wire: 1, from: X0:L, to: G1:L, size: 1.5 mm2, length: 1 m}
      - {wire: 2, from: X0:N, to: G1:N, size: 1.5 mm2, length: 1 m}
      - {wire: PE1, from: X0:PE, to: G1:PE, size: 1.5 mm2, length: 1 m}
      - {wire: 3, from: G1:V+, to: E1:1, size: 2.5 mm2, length: 1 m}
      - {wire: 4, from: G1:V-, to: E1:2, size: 2.5 mm2, length: 1 m}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V}
    parts:
      X0: {kind: inlet}
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      E1: {kind: load, rated: 24 V DC 24 W}
    wires:
      - {wire: 1, from: X0:L, to: G1:L, size: 1.5 mm2, length: 1 m}
      - {wire: 2, from: X0:N, to: G1:N, size: 1.5 mm2, length: 1 m}
      - {wire: PE1, from: X0:PE, to: G1:PE, size: 1.5 mm2, length: 1 m}
      - {wire: 3, from: G1:V+, to: E1:1, size: 2.5 mm2, length: 1 m}
      - {wire: 4, from: G1:V-, to: E1:2, size: 2.5 mm2, length: 1 m}
Not judged
    A supply that is wired to an inlet, when the plan says nothing of its `mains`. A supply that every state turns off.
Known limits
    A supply whose input has no conductor at all is taken as fed from elsewhere; `terminal-open` names it. A supply that
    is dead because of an open circuit or a coil that `terminal-open`, `circuit-never-closed` or `load-undervoltage`
    tells is an effect, and not told.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.design import Design
from wiring.design.supplies import main_outputs
from wiring.findings import Number, Signal
from wiring.parts.base import Part
from wiring.parts.elements import Feed, Input
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rules.circuit_never_closed import dead_parts
from wiring.rules.load_undervoltage import never_attracted
from wiring.rules.rule import Judgement, Rule
from wiring.rules.stop_contact_normally_open import make_contacts
from wiring.rules.supply_peak_exceeded import peak_exceeded
from wiring.rules.terminal_open import is_chain_return, open_terminals

RULE = Rule(
    slug="supply-never-live",
    title="Supply delivers in no state",
    signal=Signal.CAUTION,
    harm="The machine does not run as planned, or the supply is destroyed; and nothing behind it could be judged.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "4.3.2", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "4.4.2", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Iterator[Judgement]:
    """Every supply that no state makes live."""
    dead = [part for part in design.parts.values() if main_outputs(part) and not _is_live(design, part)]
    if dead and design.plan.mains is None and design.circuit.elements(Feed):
        inlet = next(part for part, _ in design.circuit.elements(Feed))
        yield RULE.not_judged(tuple(part.name for part in dead), "the `mains` at the inlet", design.place(inlet.name))
        return
    told = _told(design) if dead else (frozenset(), False)
    weak = _overloaded(design) if dead else frozenset()
    for part in dead:
        if part.name in told[0] or ((told[1] or weak) and _reaches_a_source(design, part)):
            continue
        if all(part.name in point.position.off for point in design.states.values()):
            yield RULE.not_judged((part.name,), "a state in which it is on", design.place(part.name))
        else:
            yield from _finding(design, part)


def _is_live(design: Design, part: Part) -> bool:
    keys = {(part.name, n) for n, _ in main_outputs(part)}
    return any(keys & point.live for point in design.states.values())


def _told(design: Design) -> tuple[frozenset[str], bool]:
    """What the rules on open circuits and on coils that never attract name, and whether they name anything."""
    bare = {part.name for part, ends in open_terminals(design) if not is_chain_return(design, part, ends)}
    names = dead_parts(design) | bare | {low.part for low in never_attracted(design)} | make_contacts(design).keys()
    return names, bool(names)


def _overloaded(design: Design) -> frozenset[str]:
    """The supplies that cannot carry what hangs on them: what they feed, and what their coils switch, is dead too."""
    rows = ((name, row) for name, states in design.supplies.items() for row in states.values())
    return peak_exceeded(design) | {name for name, row in rows if not row.carried or row.current_a > row.available_a}


def _reaches_a_source(design: Design, part: Part) -> bool:
    """Whether metal and contacts lead from a source to its input: a contact that stays open is then the cause."""
    entries = [element for element in part.of(Input) if isinstance(element, Input)]
    reached = [design.nets.reach((part.name, end)).sources for entry in entries for end in (entry.a, entry.b)]
    return bool(reached) and all(reached)


def _finding(design: Design, part: Part) -> Iterator[Judgement]:
    entry = next((element for element in part.elements if isinstance(element, Input)), None)
    if entry is None:
        return
    volts, state = max(
        (abs(point.between((part.name, entry.a), (part.name, entry.b), entry.kind)), state)
        for state, point in design.states.items()
    )
    source = RULE.source(design.plan.rulebook)
    mend = (
        f"Take a supply for the voltage there is, or bring {entry.low_v:.0f} V to {part.name}:{entry.a}."
        if volts > 1.0
        else f"Find where the way from the inlet to {part.name}:{entry.a} and {part.name}:{entry.b} is open."
    )
    yield RULE.finding(
        (part.name,),
        f"{part.name} is live in no state: its input sees {volts:.3g} V and needs {entry.low_v:.3g} V or more",
        design.place(part.name, "input"),
        numbers=(
            Number("input", volts, "V", f"at most, in state {state}"),
            Number("needed", entry.low_v, "V", f"{part.name}, {entry.kind}"),
        ),
        limit=Limit(entry.low_v, "V", source) if source else None,
        mend=(mend,),
    )
