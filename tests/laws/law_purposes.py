"""Every part with a purpose made idle: its contact bridged, left out, exchanged, in another circuit, or its role
swapped with that of a like part. What must be said of it stands in `purposes.yaml`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from functools import cache, partial
from itertools import combinations
from pathlib import Path

import yaml
from law_cases import Case, pieces, sound
from law_plans import spelled_out
from plain_plans import Plan

from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.design.switching.cut_outs import cut_outs
from wiring.design.switching.dependence import depends_on
from wiring.findings import Finding, Signal
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.parts.motors import Shaft
from wiring.parts.protection import MotorProtector
from wiring.parts.switching import SolidStateRelay
from wiring.rules import OF_LOADS, SLUGS
from wiring.rules.run import tell

#: The rules that ask no proof of a stop: most mistakes are told by them, in a fraction of the time.
QUICK = (*OF_LOADS, "cut-out-without-effect", "cut-out-shares-contactor")
WAYS = ("bridged", "unwired", "exchanged", "moved", "swapped")
_SKIPPED = ("shield",)


@dataclass(frozen=True)
class Idle:
    """A part made idle in one way. `names`: itself, its wires and the stops, of which a finding must name one; `word`
    is the least one, None where silence is right."""

    case: Case
    kind: str
    way: str
    names: frozenset[str]
    word: Signal | None


@cache
def table() -> dict[str, Plan]:
    """What `purposes.yaml` says, by group."""
    return dict(yaml.safe_load((Path(__file__).parent / "purposes.yaml").read_text("utf-8")))


def group_of(part: Part) -> str | None:
    """The group of a part; a motor protective switch that opens its own poles needs no contact."""
    if isinstance(part.data, MotorProtector):
        return None if part.data.magnetic else "overload relay"
    return next((name for name, row in table().items() if part.kind in row["kinds"]), None)


def least(part: Part, way: str) -> Signal | None:
    """The least signal word for a part made idle in a way."""
    group = group_of(part)
    word = table()[group].get(way) if group else None
    return Signal(word) if word else None


def idle_parts(plans: Sequence[str]) -> list[Idle]:
    """Every part with contacts of some plans, made idle in every way that exists for it."""
    return [one for name in plans for one in _of(name)]


def _of(name: str) -> Iterator[Idle]:
    design = sound(name)
    for part in design.parts.values():
        if group_of(part) is None or isinstance(part.data, SolidStateRelay):
            continue
        for switch in _wired(design, part):
            yield from _contact(name, design, part, switch)
    yield from _swapped(name, design)


def _wired(design: Design, part: Part) -> list[Switch]:
    """The contacts of a part that lie between two conductors and two nets."""
    nets = design.nets
    return [
        one
        for one in part.of(Switch)
        if {(part.name, one.a), (part.name, one.b)} <= nets.joined
        and nets.of[part.name, one.a] != nets.of[part.name, one.b]
        and not one.solid_state
    ]


def _contact(name: str, design: Design, part: Part, switch: Switch) -> Iterator[Idle]:
    a, b = f"{part.name}:{switch.a}", f"{part.name}:{switch.b}"

    wires = [wire.id for end in (switch.a, switch.b) for wire in design.circuit.conductors_at((part.name, end))]

    def idle(way: str, edit: partial[None], *more: str) -> Idle:
        case = Case(f"{name} {way} {part.name}:{switch.name}", edit)
        names = frozenset((part.name, *wires, *more, *design.plan.stops))
        return Idle(case, part.kind, way, names, least(part, way))

    yield idle("bridged", partial(bridged, a=a, b=b), "BRIDGE")
    yield idle("unwired", partial(left_out, a=a, b=b))
    if "contacts" in spelled_out(pieces(name)["parts"][part.name]):
        yield idle("exchanged", partial(exchanged, part=part.name, pair=switch.name))
    if coil := _other_coil(design, part) if least(part, "moved") and part.kind not in ("relay", "contactor") else None:
        yield idle("moved", partial(moved, a=a, b=b, coil=coil), coil.split(":")[0])


def _other_coil(design: Design, part: Part) -> str | None:
    """A coil on which nothing rests that the part protects."""
    protected = [one.protects for one in cut_outs(design.machine, design.operation) if one.part == part.name]
    served = depends_on(design.machine, protected) | {part.name}
    coils = (
        f"{other.name}:{coil.a}"
        for other, coil in design.circuit.elements(Coil)
        if other.name not in served and other.of(Switch) and (other.name, coil.a) in design.nets.joined
    )
    return min(coils, default=None)


def _swapped(name: str, design: Design) -> Iterator[Idle]:
    """Two parts of one kind, each wired where the other belongs: an overload relay by its contacts alone."""
    parts = [part for part in design.parts.values() if least(part, "swapped") is not None]
    for one, other in combinations(parts, 2):
        if one.kind == other.kind:
            ends = [end for end in one.terminals if end in other.terminals]
            if isinstance(one.data, Shaft):
                ends = [*one.data.encoder.between, *one.data.encoder.signals] if one.data.encoder else []
            elif isinstance(one.data, MotorProtector):
                ends = [end for s in one.of(Switch) for end in (s.a, s.b) if end in other.terminals]
            if not ends:
                continue
            case = Case(
                f"{name} swapped {one.name}/{other.name}",
                partial(swapped, one=one.name, other=other.name, ends=tuple(ends)),
            )
            yield Idle(case, one.kind, "swapped", frozenset((one.name, other.name)), least(one, "swapped"))


def _replaced(plan: Plan, new: dict[str, str]) -> None:
    """Every end of a conductor led elsewhere, where `new` says so."""
    for wire in plan["wires"]:
        wire["from"], wire["to"] = (new.get(wire[end], wire[end]) for end in ("from", "to"))
    for cable in plan.get("cables", ()):
        cable["join"] = {core: [new.get(end, end) for end in pair] for core, pair in cable["join"].items()}


def bridged(plan: Plan, a: str, b: str, name: str = "BRIDGE") -> None:
    """A wire across a contact."""
    like = next(wire for wire in plan["wires"] if a in (wire["from"], wire["to"]) or "type" in wire)
    rest = {key: value for key, value in like.items() if key not in ("wire", "from", "to", "label", "title")}
    plan["wires"].append({**rest, "wire": name, "from": a, "to": b, "length": "0.1 m"})


def left_out(plan: Plan, a: str, b: str) -> None:
    """Both conductors of a contact joined in one terminal beside it, so that it stands in no circuit."""
    plan["parts"]["XLEFT"] = {"kind": "terminals", "points": "1"}
    _replaced(plan, {a: "XLEFT:1", b: "XLEFT:1"})


def exchanged(plan: Plan, part: str, pair: str) -> None:
    """A break contact for a make contact, or the other way round."""
    entry = spelled_out(plan["parts"][part])
    words = entry["contacts"][pair].split()
    words[0] = {"NO": "NC", "NC": "NO"}[words[0]]
    entry["contacts"] = {**entry["contacts"], pair: " ".join(words)}
    plan["parts"][part] = entry


def moved(plan: Plan, a: str, b: str, coil: str) -> None:
    """A contact out of its circuit and into that of a coil."""
    left_out(plan, a, b)
    _replaced(plan, {coil: a})
    bridged(plan, b, coil, "MOVED")


def swapped(plan: Plan, one: str, other: str, ends: Sequence[str]) -> None:
    """Two parts, each where the other belongs."""
    there = {f"{one}:{end}": f"{other}:{end}" for end in ends}
    _replaced(plan, there | {end: start for start, end in there.items()})


def answers(idle: Idle, *, whole: bool = True) -> list[Finding] | None:
    """The findings that name what was made idle and that the sound plan does not have, worst first; None where the plan
    is refused. The quick rules are asked first, and all where `whole` says so and they do not tell."""
    loaded = load_text(idle.case.text(), f"{idle.case.base}.yaml", Path(__file__).parents[2] / "specs")
    if loaded.design is None:
        return None
    for slugs in (QUICK, SLUGS) if whole else (QUICK,):
        known = _sound_findings(idle.case.base, slugs)
        findings = tell(loaded.design, slugs).findings
        fresh = [one for one in findings if (one.rule, one.signal, one.subjects) not in known]
        named = [one for one in fresh if idle.names & set(one.subjects)]
        if any(grave_enough(one, idle.word) for one in named):
            break
    return sorted(named, key=lambda one: one.signal.rank)


def grave_enough(finding: Finding, word: Signal | None) -> bool:
    return word is None or finding.signal.rank <= word.rank


@cache
def _sound_findings(name: str, slugs: tuple[str, ...]) -> frozenset[tuple[str, Signal, tuple[str, ...]]]:
    return frozenset((one.rule, one.signal, one.subjects) for one in tell(sound(name), slugs).findings)


def changed(case: Case) -> Plan:
    """The plan of a case, as data."""
    plan = deepcopy(pieces(case.base))
    case.edit(plan)
    return plan
