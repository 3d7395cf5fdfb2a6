"""What the plan leaves out of the heat of a cabinet, where it may decide whether the cabinet gets too hot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import TYPE_CHECKING

from wiring.parts.base import Part
from wiring.parts.motors import BrakingResistor
from wiring.wording import listed

if TYPE_CHECKING:
    from wiring.design.design import Design
    from wiring.design.motor.braking import BrakingDuty
    from wiring.design.supply.power import Assumed

#: How much more heat there may be where efficiencies are assumed (own choice: 82 % in place of 87 %).
_LOSSY = 1.5


def unsaid_heat(design: Design, most_c: float) -> Iterator[tuple[tuple[str, ...], str]]:
    """The parts that may heat the air above `most_c` [°C] by what the plan does not say, and what that is.

    Asked of a cabinet that stays below `most_c` with what was assumed, and whose rise [K] is known.
    """
    inside = design.inside
    assert inside.rise_k is not None
    if inside.unsaid_w:
        yield tuple(inside.unsaid_w), f"how much stays in the cabinet of {_powers(inside.unsaid_w)} (`heat: …`)"
    assumed = (one for name, rows in design.power.assumed.items() for one in rows if _heats(design.parts[name], one))
    unsaid = list(assumed)
    more_k = inside.rise_k * sum(one.more_w for one in unsaid) / inside.heat_w if inside.heat_w else 0.0
    if inside.inside_c + more_k > most_c:
        words = ", ".join(f"{one.words} of {one.part}" for one in unsaid)
        yield tuple(dict.fromkeys(one.part for one in unsaid)), f"what heats it: {words}"
    duties = {duty.resistor: duty for duty in design.transients.braking_duties}
    braking = {name: w for name, part in design.parts.items() if (w := _braking_w(part, duties.get(name)))}
    if braking and inside.heat_w and inside.inside_c + inside.rise_k * sum(braking.values()) / inside.heat_w > most_c:
        yield tuple(braking), "what braking leaves in the cabinet in the mean (`heat: 20 W`)"
    if design.plan.site.ambient is None:
        yield (), "the air temperature around it (`site: {ambient: 35 °C}`)"
    lossy = tuple(name for name in inside.parts_w if name in design.parts and _is_loss_assumed(design.parts[name]))
    if lossy and inside.inside_c + (_LOSSY - 1.0) * inside.rise_k > most_c:
        yield lossy, "what they turn into heat (`efficiency: 88 %`)"


def _powers(unsaid_w: Mapping[str, float]) -> str:
    return listed([f"the {watts:.3g} W that {name} takes" for name, watts in unsaid_w.items()])


def _braking_w(part: Part, duty: BrakingDuty | None) -> float:
    """What a braking resistor in the cabinet that does not say what stays there turns into heat in the mean [W], or all
    that it bears where that is not known."""
    if part.data.heat is not None or part.data.at not in ("cabinet", "door"):
        return 0.0
    lasting_w = duty.lasting_w if duty is not None and not duty.missing else inf
    return min(lasting_w, part.data.power) if isinstance(part.data, BrakingResistor) else 0.0


def _heats(part: Part, assumed: Assumed) -> bool:
    """Whether what was assumed of a part may heat the cabinet more."""
    return assumed.more_w > 0.0 and part.data.heat is None and part.data.at in ("cabinet", "door")


def _is_loss_assumed(part: Part) -> bool:
    """Whether the heat of a part follows from an efficiency that the plan leaves out."""
    data = part.data
    return data.heat is None and "efficiency" in type(data).model_fields and "efficiency" not in data.model_fields_set
