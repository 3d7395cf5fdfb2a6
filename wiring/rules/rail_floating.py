"""A separate rail has no reference to earth.

A rail that feeds coils, contacts or inputs is tied to the protective earth at one point of its return, so that the
first fault to earth opens a fuse instead of waiting for the second one that bridges a contact. A rail above
extra-low voltage must not float either. Other rails are told as a NOTICE. The output of a process source that its
plan declares isolated may float, and so may a winding that only feeds a rectifier.

Fires on sorting-gate at G1
    PE4=
Quiet
    wires+={wire: PE4, from: X2:6, to: XPE:4, type: earth}
Not judged
    A plan without a mains inlet: it has no earth to tie a rail to.
Known limits
    An insulation monitor is no kind of part yet; accept the finding for a rail that one watches.
"""

from __future__ import annotations

from wiring.design.edits import earthed
from wiring.design.nets import NetEdge, SourcePole
from wiring.findings import Mend, Number
from wiring.parts.elements import Coil, Function, Switch
from wiring.parts.incoming import Rectifier
from wiring.parts.loads import ProcessSource
from wiring.rulebooks.answers import NotTabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="rail-floating",
    title="Rail has no reference to earth",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="The first fault to earth stays unseen; the second bridges a contact, and a stop no longer stops.",
    sources=(("iec", iec_60204("9.4.3.1", Standing.ONE_SOURCE)), ("na", nfpa_79("8.3"))),
)


def _groups(design: Design) -> list[list[SourcePole]]:
    """The main poles of sources that metal joins, the mains among them."""
    group: dict[object, list[SourcePole]] = {}
    for pole in (pole for pole in design.nets.poles if pole.main):
        near = [group[key] for key in (("source", pole.source), design.nets.of[pole.node]) if key in group]
        merged = [pole] + [other for found in {id(found): found for found in near}.values() for other in found]
        for member in merged:
            group["source", member.source] = group[design.nets.of[member.node]] = merged
    return list({id(found): found for found in group.values()}.values())


def check(design: Design) -> Judgements:
    """Every group of sources that is tied neither to the mains nor to the earth."""
    groups = [poles for poles in _groups(design) if not any(_is_referenced(design, pole) for pole in poles)]
    if not groups:
        return
    if not design.earthing.inlets:
        names = sorted({pole.source for poles in groups for pole in poles})
        yield RULE.not_judged(names, "a mains inlet (`kind: inlet`) with its PE, to which a rail could be tied")
        return
    for poles in groups:
        if not _may_float(design, poles):
            yield _finding(design, sorted(poles, key=lambda pole: (pole.source, pole.sign)))


def _is_referenced(design: Design, pole: SourcePole) -> bool:
    """Whether a source is tied to the mains or the earth, through the closed main switch too."""
    near = [design.nets.of[pole.node]]
    for net in near:
        ways = (edge for edge in design.nets.edges_at.get(net, ()) if _is_handle(edge))
        near += [edge.to for edge in ways if edge.to not in near]
    return pole.sign[0] in "LN" or any(design.nets.bonds_at.get(net) for net in near)


def _is_handle(edge: NetEdge) -> bool:
    return isinstance(edge.element, Switch) and edge.element.actuator == "handle"


def _may_float(design: Design, poles: list[SourcePole]) -> bool:
    nodes = [node for pole in poles for node in design.nets.members[design.nets.of[pole.node]]]
    rectified = any(isinstance(design.parts[node[0]].data, Rectifier) for node in nodes if node[0] in design.parts)
    if all(pole.kind == "AC" for pole in poles) and rectified:
        return True
    data = [design.parts[pole.source].data for pole in poles]
    alone = {node[0] for node in nodes} <= {pole.source for pole in poles}
    return alone or all(isinstance(item, ProcessSource) and item.isolated for item in data)


def _feeds_control(design: Design, poles: list[SourcePole]) -> bool:
    sources = {pole.source for pole in poles}
    nodes = {node for rail, found in design.roles.at.items() if rail.source in sources for node in found}
    coils = {(part.name, e.a) for part, e in design.circuit.elements(Coil) if isinstance(e, Coil)}
    if nodes & coils:
        return True
    functions = {design.parts[n[0]].terminals[n[1]].function for n in nodes if n[1] in design.parts[n[0]].terminals}
    return Function.INPUT in functions


def _finding(design: Design, poles: list[SourcePole]) -> Judgement:
    highest = max(poles, key=lambda pole: pole.volts)
    elv = design.book.extra_low_voltage(highest.kind)
    above = not isinstance(elv, NotTabled) and highest.volts > elv.value
    control = _feeds_control(design, poles)
    signal = Signal.WARNING if above else Signal.CAUTION if control else Signal.NOTICE
    names = sorted({pole.source for pole in poles})
    minus = next((pole for pole in poles if pole.sign in ("-", "~")), poles[0])
    return RULE.finding(
        names,
        f"The {highest.volts:.3g} V {highest.kind} rail of {', '.join(names)} is tied to the protective earth nowhere",
        design.place(names[0]),
        signal=signal,
        numbers=(Number("rail", highest.volts, "V", highest.source),),
        limit=elv if above and not isinstance(elv, NotTabled) else None,
        mend=(
            Mend(
                f"Tie {minus.node[0]}:{minus.node[1]}, the return of the rail, to a point of the earth bar of its own, "
                "at this one point only.",
                earthed(design, minus.node),
            ),
        ),
        rests=(scope("bond", *names),),
    )
