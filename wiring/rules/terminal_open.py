"""A terminal that must be used has no conductor.

Told of a part that is wired in part: one end of a coil, a load or an input is connected and the other is not, a phase
of a motor is missing, a supply terminal stays open beside one that is used, a contact has one side wired, a sensor
reports to nobody, a stepper drive gets no pulses or no direction, a fuse or breaker stands beside a way that feeds its
load past it. A conductor that leads to a row of terminals or a plug and no further counts as none, unless it is titled
`spare`.

A part without any conductor is told by `part-unconnected`, a missing protective conductor by `earth-missing`, and a
mirror contact in a reset loop by the rules on that stop. A signal input whose return alone is wired, as in a chain of
returns, is a NOTICE.

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
    Outputs and inputs that are wired at neither end, or to a row of terminals only: they may be spare.
Known limits
    A contact that is wired on both sides to terminals alone is taken for one that leaves the plan, and a main pole of a
    contactor with one side wired for one that is not used.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Set
from itertools import pairwise

from wiring.circuit.model import Node, named
from wiring.circuit.roles import Role
from wiring.design.dead_end_terminals import dead_end_terminals
from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.findings import Signal
from wiring.parts.base import Part
from wiring.parts.drives import StepperDrive
from wiring.parts.elements import Coil, Draw, Feed, Function, Input, Pole, Resistance, Switch
from wiring.parts.signals import Sensor
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
#: Parts whose contacts serve something; those of stop relays are judged with their stop.
_CONTACTS = (
    *("limit-switch", "push-button", "selector", "key-switch", "foot-switch", "pressure-switch", "float-switch"),
    *("emergency-stop", "guard-switch", "relay", "contactor"),
)


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


def _open_ends(part: Part, live: Set[Node]) -> dict[str, str]:
    """Open terminals, each with the wired one that needs it."""
    pairs = _pairs(part)
    uses = Counter(end for pair in pairs for end in pair)
    found: dict[str, str] = {}
    for pair in pairs:
        for wired, bare in (pair, pair[::-1]):
            if (part.name, wired) not in live or (part.name, bare) in live:
                continue
            shared = uses[wired] > 1 and part.terminals[bare].function in _SPARE
            if not shared and bare in part.terminals:
                found.setdefault(bare, wired)
    return found


def _half_contacts(design: Design, part: Part, live: Set[Node]) -> dict[str, str]:
    """The open side of every contact that has one side wired; a common that passes on, or has another throw, may."""
    if isinstance(part.data, Sensor):
        used = [t for t in ("1", "3") if (part.name, part.data.terminals.get(t, t)) in live]
        output = part.data.terminals.get("4", "4")
        return {output: used[0]} if used and (part.name, output) not in live else {}
    if part.kind not in _CONTACTS:
        return {}
    closed: set[str] = set()
    halves: dict[str, str] = {}
    for element in part.of(Switch):
        assert isinstance(element, Switch)
        if element.mirror or (len(element.a) == 1 and part.kind == "contactor"):
            continue  # a contact of a reset loop, judged with its stop; a main pole that is not used
        wired = [end for end in (element.a, element.b) if (part.name, end) in live]
        if len(wired) == 2:
            closed.update(wired)
        elif len(wired) == 1 and len(design.circuit.conductors_at((part.name, wired[0]))) == 1:
            halves[element.b if wired[0] == element.a else element.a] = wired[0]
    return {bare: wired for bare, wired in halves.items() if wired not in closed}


def _bypassed_poles(design: Design, part: Part, live: Set[Node]) -> dict[str, str]:
    """The open line side of every pole past which a load is fed: conductors come and go at its load side alone.

    A spare device in a row has its conductors at the line side, and leads to loads through other devices only.
    """
    if part.name not in design.devices.by_name:
        return {}
    found = {}
    for element in part.of(Pole):
        assert isinstance(element, Pole)
        line, load = (part.name, element.a), (part.name, element.b)
        passes = len(design.circuit.conductors_at(load)) > 1 and load in live and line not in live
        if passes and _feeds_load(design, design.nets.bare[load]):
            found[element.a] = element.b
    return found


def _feeds_load(design: Design, net: Net) -> bool:
    """Whether a load hangs on a net with no device between."""
    return any(
        design.nets.bare.get((part.name, end)) == net
        for part, element in design.circuit.elements(Draw, Coil, Input, Resistance)
        if isinstance(element, Draw | Coil | Input | Resistance)
        for end in (element.a, element.b)
    )


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


def open_terminals(design: Design) -> Iterator[tuple[Part, dict[str, str]]]:
    """Every part that has some: its open terminals, each with the wired one that needs it."""
    fed_by_mains = bool(design.circuit.elements(Feed))
    live = design.nets.joined - dead_end_terminals(design.machine)
    for part in design.parts.values():
        bare = _open_ends(part, live) | _half_contacts(design, part, live) | _bypassed_poles(design, part, live)
        bare |= _unfed(design, part) if fed_by_mains else {}
        if bare:
            yield part, bare


def check(design: Design) -> Iterator[Judgement]:
    """Every part that is wired at all; a phase that is open at both its ends is told at the motor."""
    found = list(open_terminals(design))
    open_motors = {part.name for part, _ in found if part.kind.endswith("motor")}
    for part, bare in found:
        axis = design.axes.get(part.name)
        phases = all(part.terminals[name].function is Function.MOTOR for name in bare)
        if not (phases and axis and any(motor.name in open_motors for motor in axis.motors)):
            yield _finding(design, part, bare)


def _is_needed(design: Design, part: Part, name: str) -> bool:
    """Whether the part cannot work without it: the pulses of a drive, what a sensor says, and the direction of a drive
    where another drive of the machine has one."""
    if isinstance(part.data, StepperDrive):
        pulses, direction = (_marked(part.data, pair) for pair in part.data.signal_inputs()[:2])
        if name in pulses or (name in direction and _others_turn_both_ways(design, part)):
            return True
    return isinstance(part.data, Sensor) or part.terminals[name].function not in _SPARE


def _marked(data: StepperDrive, pair: tuple[str, str]) -> tuple[str, str]:
    return data.terminals.get(pair[0], pair[0]), data.terminals.get(pair[1], pair[1])


def _others_turn_both_ways(design: Design, part: Part) -> bool:
    return any(
        all((other.name, end) in design.nets.joined for end in _marked(other.data, other.data.signal_inputs()[1]))
        for other in design.parts.values()
        if isinstance(other.data, StepperDrive) and other.name != part.name
    )


def is_chain_return(design: Design, part: Part, bare: dict[str, str]) -> bool:
    """Whether only returns of optional inputs are wired: a chain of returns passes inputs that are not used."""
    optional = not any(_is_needed(design, part, name) for name in bare)
    roles = {design.roles.role[part.name, wired] for wired in bare.values() if wired}
    passed_on = all(len(design.circuit.conductors_at((part.name, wired))) > 1 for wired in bare.values() if wired)
    return optional and (passed_on or roles <= {Role.ZERO})


def _finding(design: Design, part: Part, bare: dict[str, str]) -> Judgement:
    names = ", ".join(named((part.name, name)) for name in bare)
    wired = sorted({named((part.name, name)) for name in bare.values() if name})
    beside = f" while {', '.join(wired)} is wired" if wired else ", and the part feeds others"
    conductors = [c for name in bare.values() if name for c in design.circuit.conductors_at((part.name, name))]
    leads = all((part.name, name) in design.nets.joined for name in bare)
    problem = "leads to terminals and no further" if leads else "has no conductor"
    if part.name in design.devices.by_name:
        return RULE.finding(
            (part.name,),
            f"{part.name} protects nothing: {', '.join(wired)} is fed past it, and {names} {problem}",
            design.place(part.name),
            mend=(f"Lead the conductor that feeds {', '.join(wired)} to {names}.",),
        )
    return RULE.finding(
        (part.name,),
        f"{names} {problem}{beside}",
        design.place(part.name),
        signal=Signal.NOTICE if is_chain_return(design, part, bare) else RULE.signal,
        mend=(
            f"Wire {names}{' on to where it belongs' if leads else ''}"
            + (f", or take {conductors[0].id} away if the input is not used." if conductors else "."),
        ),
    )
