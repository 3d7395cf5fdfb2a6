"""The type of a residual current device does not see the fault current of what it feeds.

A converter on three phases, or between two lines, can send a smooth direct current to earth, which only type B sees and
which blinds every other type, also one that stands in front of a type B. Single-phase drives, supplies and other
rectifiers need at least type A. The residual current device of the building counts for all that the mains feed.

Fires on mixer at F1
    F1.type=A
Quiet
    F1.type=B
Not judged
    A device of the building without `type`; under the IEC book converters on mains of which the plan does not say
    whether the building has such a device (`rcd: none`).
Known limits
    Supplies alone are taken to hang behind type A or better where the plan does not say what the building has.
"""

from __future__ import annotations

from collections.abc import Iterable

from wiring.circuit.roles import Role
from wiring.design.earth.protective_network import behind, behind_inlet
from wiring.design.edits import of_part
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.drives import Drive, Inverter, ServoDrive
from wiring.parts.elements import Output
from wiring.parts.incoming import Transformer
from wiring.parts.protection import ResidualCurrentDevice
from wiring.parts.sources import Rectifier
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.signals import residual_types
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="rcd-type-wrong",
    title="Residual current device of the wrong type",
    signal=Signal.WARNING,
    harm="A direct fault current blinds the device: it no longer trips, not even for somebody who touches a live part.",
    sources=(("both", Source("IEC 60364-5-53", "", "531.3.3", Standing.FROM_MEMORY)),),
)


#: What a part is for the table of types; the first that it holds needs most.
_HARDEST = ("three-phase converter", "converter between two lines", "single-phase converter", "rectifier load")


def _load_name(design: Design, part: Part) -> str | None:
    data = part.data
    rails = {rail for end in part.terminals for rail in design.roles.rails[part.name, end]}
    between = sum(rail.role is Role.LIVE for rail in rails)
    if isinstance(data, Inverter | ServoDrive) and data.supply.kind != "DC":
        return _HARDEST[0] if data.phases == "3" else _HARDEST[1 if between > 1 else 2]
    if isinstance(data, Rectifier):
        return _HARDEST[1] if between > 1 else _HARDEST[3] if between else None
    fed_by_mains = getattr(getattr(data, "input", None), "kind", "DC") != "DC"
    rectifies = any(isinstance(e, Output) and e.kind == "DC" for e in part.elements)
    if isinstance(data, Drive | Transformer) or not rectifies:
        return None
    return _HARDEST[3] if fed_by_mains else None


def check(design: Design) -> Judgements:
    """Every residual current device with what hangs behind it, that of the building with all that the mains feed."""
    for part in design.parts.values():
        if isinstance(part.data, ResidualCurrentDevice):
            unseen = _unseen(design, behind(design.machine, part), part.data.type)
            if unseen:
                yield _finding(design, part.name, part.data.type, unseen)
    mains = design.plan.mains
    fed = behind_inlet(design.machine)
    if mains is None or mains.rcd == "none":
        return
    if mains.rcd is not None and mains.rcd.type is not None:
        unseen = _unseen(design, fed, mains.rcd.type)
        if unseen:
            yield _finding(design, "", mains.rcd.type, unseen)
        return
    asked = _HARDEST if mains.rcd is not None else _HARDEST[:3] if design.plan.rulebook == "iec" else ()
    names = [part.name for part in fed if _load_name(design, part) in asked]
    yield from RULE.ask(names, "the residual current device of the building (`mains: {rcd: {type: B}}`, `rcd: none`)")


def _unseen(design: Design, fed: Iterable[Part], rcd_type: str) -> dict[str, list[str]]:
    """The parts whose fault current a type does not see, by what they are in the table."""
    unseen: dict[str, list[str]] = {}
    for part in fed:
        name = _load_name(design, part)
        answer = residual_types(name) if name else None
        if name and answer and not isinstance(answer, NotTabled) and rcd_type not in answer[0]:
            unseen.setdefault(name, []).append(part.name)
    return unseen


def _finding(design: Design, device: str, rcd_type: str, unseen: dict[str, list[str]]) -> Judgement:
    """Of a device of the plan, or of that of the building, which has no name there."""
    hardest = next(name for name in _HARDEST if name in unseen)
    names = sorted(name for found in unseen.values() for name in found)
    answer = residual_types(hardest)
    types = answer[0] if not isinstance(answer, NotTabled) else ("B",)
    called = device or "the residual current device of the building"
    inlet = (design.plan.mains.inlet if design.plan.mains else None) or "mains"
    best = types[-1]
    of_machine = (
        Mend(f"Take a device of type {best} for {device}.", of_part(device, "type", best)),
        f"Or feed {listed(unseen[hardest])} in front of it.",
    )
    return RULE.finding(
        (device or inlet, *names),
        f"{called[0].upper()}{called[1:]} is of type {rcd_type} and feeds {listed(names)}; a {hardest} needs type "
        f"{' or '.join(types)}",
        design.place(device, "type") if device else design.reading.place("mains", "rcd"),
        mend=of_machine if device else (f"Have it changed for one of type {best}, or the machine fed in front of it.",),
    )
