"""A terminal that must be used has no conductor.

Told of a part that is wired in part: one end of a coil, a load or an input is connected and the other is not, a phase
of a motor is missing, a supply terminal stays open beside one that is used. A part without any conductor is told by
`part-unconnected`, a missing protective conductor by `earth-missing`. A signal input whose return alone is wired, as
in a chain of returns, is a NOTICE.

Fires
    parts:
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
    wires:
      - {wire: 1, from: G1:V+, to: K1:A1}
Quiet
    parts:
      G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
      K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
    wires:
      - {wire: 1, from: G1:V+, to: K1:A1}
      - {wire: 2, from: G1:V-, to: K1:A2}
Not judged
    Outputs and inputs that are wired at neither end: they may be spare.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from wiring.circuit.model import named
from wiring.circuit.roles import Role
from wiring.design.design import Design
from wiring.findings import Signal
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Feed, Function, Input, Resistance
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="terminal-open",
    title="Terminal that must be used is open",
    signal=Signal.CAUTION,
    harm="The part does nothing, or does it wrongly: a motor on two phases, an input that never answers.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "17.2, 18.1", Standing.FROM_MEMORY)),
        ("na", Source("NFPA 79", "2021", "17.1, 18.1", Standing.FROM_MEMORY)),
    ),
)
_SPARE = (Function.INPUT, Function.OUTPUT, Function.COMMON)


def _pairs(part: Part) -> list[tuple[str, str]]:
    """The two ends of everything in a part through which current must flow."""
    found = [
        (element.a, element.b)
        for element in part.elements
        if isinstance(element, Draw | Coil | Input | Resistance)
        and not (element.a.startswith(".") or element.b.startswith("."))
    ]
    phases = [t.name for t in part.terminals.values() if t.function is Function.MOTOR and t.required]
    return [*found, *pairwise(phases)]


def _open_ends(design: Design, part: Part) -> dict[str, str]:
    """Open terminals, each with the wired one that needs it."""
    pairs = _pairs(part)
    uses = Counter(end for pair in pairs for end in pair)
    found: dict[str, str] = {}
    for pair in pairs:
        for wired, bare in (pair, pair[::-1]):
            if (part.name, wired) not in design.nets.joined or (part.name, bare) in design.nets.joined:
                continue
            shared = uses[wired] > 1 and part.terminals[bare].function in _SPARE
            if not shared and bare in part.terminals:
                found.setdefault(bare, wired)
    return found


def _unfed(design: Design, part: Part) -> dict[str, str]:
    """Supply inputs with no conductor at either end, of a part that feeds something, where there is an inlet."""
    joined = design.nets.joined
    feeds = any((part.name, t.name) in joined for t in part.terminals.values() if t.function is not Function.PE)
    return {
        end: ""
        for element in part.of(Input)
        if isinstance(element, Input) and feeds
        for end in (element.a, element.b)
        if end in part.terminals and not {(part.name, element.a), (part.name, element.b)} & joined
    }


def check(design: Design) -> Iterator[Judgement]:
    """Every part that is wired at all."""
    fed_by_mains = bool(design.circuit.elements(Feed))
    for part in design.parts.values():
        bare = {**_open_ends(design, part), **(_unfed(design, part) if fed_by_mains else {})}
        if bare:
            yield _finding(design, part, bare)


def _is_chain_return(design: Design, part: Part, bare: dict[str, str]) -> bool:
    """Whether only returns of optional inputs are wired: a chain of returns passes inputs that are not used."""
    optional = all(part.terminals[name].function in _SPARE for name in bare)
    roles = {design.roles.role[part.name, wired] for wired in bare.values() if wired}
    passed_on = all(len(design.circuit.conductors_at((part.name, wired))) > 1 for wired in bare.values() if wired)
    return optional and (passed_on or roles <= {Role.ZERO})


def _finding(design: Design, part: Part, bare: dict[str, str]) -> Judgement:
    names = ", ".join(named((part.name, name)) for name in bare)
    wired = sorted({named((part.name, name)) for name in bare.values() if name})
    beside = f" while {', '.join(wired)} is wired" if wired else ", and the part feeds others"
    conductors = [c for name in bare.values() if name for c in design.circuit.conductors_at((part.name, name))]
    return RULE.finding(
        (part.name,),
        f"{names} has no conductor{beside}",
        design.place(part.name),
        signal=Signal.NOTICE if _is_chain_return(design, part, bare) else RULE.signal,
        mend=(
            f"Wire {names}" + (f", or take {conductors[0].id} away if the input is not used." if conductors else "."),
        ),
    )
