"""A metal part that can be touched does not reach the protective earth of the inlet.

Every such part must reach the incoming protective conductor through conductors and earth points alone. A way through
a shield, a switch, a fuse or the 0 V of a rail does not count: it can be opened, or was never made to carry a fault
current. Where a whole earth bar is cut off it is told once, at the bar, and a part behind a switch by
`earth-conductor-switched`.

Fires on sorting-gate at CAB
    PE3=
Quiet
    wires+={wire: PE3, from: XPE:3, to: CAB:1, type: earth}
Not judged
    A cabinet of metal whose body is no part of the plan. A plan without a mains inlet: no voltage above extra-low
    voltage enters, and the need for an earth is not known.
"""

from __future__ import annotations

from msgspec.structs import replace

from wiring.circuit.model import Node, named
from wiring.design.earth.metal_bodies import cut_bars, highest_level, metal_bodies
from wiring.design.edits import earthed, free_points
from wiring.design.rewiring import wires_at
from wiring.design.supply.rail_levels import Level
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.elements import Feed
from wiring.parts.passive import EarthBar, Metalwork
from wiring.plan.edits import Edit
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.limits import tabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="earth-missing",
    title="Metal part is not earthed",
    signal=Signal.DANGER,
    harm="The first insulation fault puts mains voltage on metal that people touch, and no protective device opens.",
    sources=(("iec", iec_60204("8.2.1")), ("na", nfpa_79("8.2.1"))),
)

_HARM_OF_LOW_VOLTAGE = (
    "Its own voltage does not kill, but a chafed mains conductor beside it would stay on the metal, and interference "
    "has no way out: lost steps and phantom signals."
)
#: Up to this a DC circuit that is separate from the mains hurts nobody, wet hands included [V] (class 2 of NFPA 70).
_HARMLESS_V = tabled("na", "power_limited_voltage").value
_METALS = ("painted-steel", "stainless-steel", "aluminium")


def check(design: Design) -> Judgements:
    """Every part with a metal body, and every earth bar that something hangs on."""
    bodies = metal_bodies(design)
    if not design.circuit.elements(Feed):
        yield from RULE.ask(bodies, "a mains inlet (`kind: inlet`) with its PE")
        return
    yield from _unseen_cabinet(design)
    reached = design.earthing.reached
    lost = {name: node for name, node in sorted(bodies.items()) if node not in reached}
    cut = cut_bars(design, reached)
    for bar, nodes in cut.items():
        hanging = [name for name, node in lost.items() if node in nodes]
        lost = {name: node for name, node in lost.items() if name not in hanging}
        yield _cut_bar(design, bar, hanging)
    for name, node in lost.items():
        yield _finding(design, name, node)


def _unseen_cabinet(design: Design) -> Judgements:
    """A cabinet of metal of which no part stands for the body."""
    cabinet = design.plan.enclosure
    seen = any(
        isinstance(part.data, Metalwork) and part.data.at in ("cabinet", "door") for part in design.parts.values()
    )
    if cabinet and cabinet.material in _METALS and not seen:
        missing = f"the body and the door of the {cabinet.material} cabinet as parts (`kind: metalwork`)"
        yield RULE.not_judged((), missing, design.reading.place("enclosure"))


def _cut_bar(design: Design, bar: str, hanging: list[str]) -> Judgement:
    part = design.parts[bar]
    what = f", and with it {listed(hanging)}" if hanging else "; shields hold it at best"
    return RULE.finding(
        (bar, *hanging),
        f"The earth bar {bar} ({part.title}) does not reach the incoming protective earth{what}",
        design.place(bar),
        signal=RULE.signal if hanging else Signal.CAUTION,
        mend=(
            Mend(
                f"Join a point of {bar} to the incoming protective conductor with a conductor of its own.",
                _joined_bar(design, part),
            ),
        ),
        rests=(scope("cut", bar),),
    )


def _joined_bar(design: Design, part: Part) -> tuple[Edit, ...]:
    free = free_points(design, part)
    return earthed(design, free[0]) if free else ()


_THICKNESS = {
    "iec": "at least as thick as the line conductor that feeds it (up to 16 mm2)",
    "na": "as thick as NFPA 79, table 8.2.2.3, wants it behind its device",
}


def _finding(design: Design, name: str, node: Node) -> Judgement:
    part = design.parts[name]
    kinds = {conductor.kind == "shield" for conductor in design.circuit.conductors_at(node)}
    what = f"leads nowhere near the incoming protective earth from {named(node)}" if False in kinds else "is missing"
    what += "; a shield is none" if True in kinds else ""
    bar = next((bar for bar, other in design.parts.items() if isinstance(other.data, EarthBar)), "the earth bar")
    highest = highest_level(design, part)
    signal = _signal(design, highest)
    finding = RULE.finding(
        (name,),
        f"{name} ({part.title}) is not earthed: its protective conductor {what}",
        design.place(name),
        signal=signal,
        numbers=[Number("highest voltage", highest.volts, "V", f"at it, {highest.kind}")] if highest else (),
        mend=(
            Mend(
                f"Join {named(node)} to a free point of {bar} with a green-and-yellow conductor of its own, "
                f"{_THICKNESS[design.plan.rulebook]}.",
                () if wires_at(design, node) else earthed(design, node),
            ),
        ),
        rests=(scope("cut", name),),
    )
    return finding if signal is RULE.signal else replace(finding, harm=_HARM_OF_LOW_VOLTAGE)


def _signal(design: Design, highest: Level | None) -> Signal:
    """DANGER where its insulation may put more than extra-low voltage on the metal; else what interference does."""
    if highest is None:
        return Signal.DANGER
    elv = design.book.extra_low_voltage(highest.kind, dry=True)
    if isinstance(elv, NotTabled) or highest.volts > elv.value * (1 + 1e-9):
        return Signal.DANGER
    return Signal.NOTICE if highest.kind == "DC" and highest.volts <= _HARMLESS_V else Signal.CAUTION
