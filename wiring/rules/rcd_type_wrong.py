"""The type of a residual current device does not see the fault current of what it feeds.

A three-phase converter can send a smooth direct current to earth, which only type B sees and which blinds every other
type. Single-phase drives, supplies and other rectifiers need at least type A.

Fires on mixer at F1
    F1.type=A
Quiet
    F1.type=B
Not judged
    The residual current device of the building.
"""

from __future__ import annotations

from wiring.design.earth.protective_network import behind
from wiring.design.edits import of_part
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.drives import Drive, Inverter, ServoDrive
from wiring.parts.elements import Output
from wiring.parts.incoming import Transformer
from wiring.parts.protection import ResidualCurrentDevice
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.signals import residual_types
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="rcd-type-wrong",
    title="Residual current device of the wrong type",
    signal=Signal.WARNING,
    harm="A direct fault current blinds the device: it no longer trips, not even for somebody who touches a live part.",
    sources=(("both", Source("IEC 60364-5-53", "", "531.3.3", Standing.FROM_MEMORY)),),
)


def _load_name(part: Part) -> str | None:
    data = part.data
    if isinstance(data, Inverter | ServoDrive) and data.supply.kind != "DC":
        return "three-phase converter" if data.phases == "3" else "single-phase converter"
    fed_by_mains = getattr(getattr(data, "input", None), "kind", "DC") != "DC"
    rectifies = any(isinstance(e, Output) and e.kind == "DC" for e in part.elements)
    if isinstance(data, Drive | Transformer) or not rectifies:
        return None
    return "rectifier load" if fed_by_mains else None


def check(design: Design) -> Judgements:
    """Every residual current device with what hangs behind it."""
    for part in design.parts.values():
        if not isinstance(part.data, ResidualCurrentDevice):
            continue
        unseen: dict[str, list[str]] = {}
        for other in behind(design.machine, part):
            name = _load_name(other)
            answer = residual_types(name) if name else None
            if name and answer and not isinstance(answer, NotTabled) and part.data.type not in answer[0]:
                unseen.setdefault(name, []).append(other.name)
        if unseen:
            yield _finding(design, part, unseen)


def _finding(design: Design, part: Part, unseen: dict[str, list[str]]) -> Judgement:
    hardest = "three-phase converter" if "three-phase converter" in unseen else sorted(unseen)[0]
    names = sorted(name for found in unseen.values() for name in found)
    answer = residual_types(hardest)
    wanted = " or ".join(answer[0]) if not isinstance(answer, NotTabled) else "B"
    best = answer[0][-1] if not isinstance(answer, NotTabled) else "B"
    assert isinstance(part.data, ResidualCurrentDevice)
    return RULE.finding(
        (part.name, *names),
        f"{part.name} is of type {part.data.type} and feeds {', '.join(names)}; a {hardest} needs type {wanted}",
        design.place(part.name, "type"),
        mend=(
            Mend(f"Take a device of type {best} for {part.name}.", of_part(part.name, "type", best)),
            f"Or feed {', '.join(unseen[hardest])} in front of it.",
        ),
    )
