"""Terminals above extra-low voltage can be touched once the cabinet is open.

Whoever may open the cabinet with the power on meets live terminals. So either the door opens with a tool or key, or
only with the main switch off, or all live terminals inside are kept from a finger (IP2X) by their build or a cover.
What stays live with the main switch off is kept from a finger in any case, and on a door that opens with a tool in IEC
machines what hangs on its inside, which comes out with it. A door that opens freely (`opens: free`) is
told for the cabinet: under the North American rulebook always, else where the plan does not say of every live part that
a finger does not reach it.

Fires on sorting-gate at Q1
    Q1.touch=bare
Quiet
    Q1.touch=cover
Not judged
    Parts that are often built open, such as transformers, and of which the plan does not say how they are (`touch`),
    where it does not say either how the door opens (`enclosure: {opens: tool}`).
Known limits
    A part on a rail is taken to be finger-safe where the plan does not say that it is `bare` (common practice). With a
    tool only those get in who know what they do: what they reach while they set a device is not judged.
"""

from __future__ import annotations

from wiring.design.earth.metal_bodies import highest_level
from wiring.design.edits import of_part
from wiring.design.switching.main_switch import is_main_switch, still_live
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.plan.edits import SetValue
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="live-terminals-bare",
    title="Live terminals can be touched in the open cabinet",
    signal=Signal.WARNING,
    harm="A hand that reaches into the cabinet touches mains.",
    sources=(("iec", iec_60204("6.2.2", Standing.ONE_SOURCE)), ("na", nfpa_79("6.2.2"))),
)
_INSIDE = ("cabinet", "door")


def check(design: Design) -> Judgements:
    """Every part in or on the cabinet with a voltage that hurts."""
    enclosure = design.plan.enclosure
    opens = enclosure.opens if enclosure else None
    switches = frozenset(part.name for part in design.parts.values() if is_main_switch(part))
    live = {name for name, _ in still_live(design, switches)} if switches else set()
    unknown, unclosed = [], []
    for part in design.parts.values():
        if part.data.at not in _INSIDE or not _hurts(design, part):
            continue
        stays, closed = part.name in live, opens in ("tool", "interlock")
        swings = part.data.at == "door" and opens == "tool" and design.plan.rulebook == "iec"
        if part.data.touch == "bare" and (stays or swings or opens == "free"):
            yield _finding(design, part, stays, swings)
        elif part.data.touch == "bare" and not closed:
            unclosed.append(part.name)
        elif part.data.touch is None and part.data.often_bare and (stays or not closed):
            unknown.append(part.name)
    if opens == "free":
        yield from _free(design)
    yield from RULE.ask(unclosed, "how the door opens (`enclosure: {opens: tool}`, `interlock` or `free`)")
    yield from RULE.ask(unknown, "whether a finger reaches its live terminals (`touch: IP2X`, `cover` or `bare`)")


def _free(design: Design) -> Judgements:
    """The door that anyone opens, with the live parts behind it that nothing keeps from a finger."""
    inside = [part for part in design.parts.values() if part.data.at in _INSIDE and _hurts(design, part)]
    open_ = [p for p in inside if p.data.touch is None or (p.data.touch != "bare" and design.plan.rulebook == "na")]
    if not open_:
        return
    level = max((one for p in open_ if (one := highest_level(design, p))), key=lambda one: one.volts)
    names = [part.name for part in open_]
    covered = "" if design.plan.rulebook == "na" else ", and nothing says that a finger does not reach them"
    yield RULE.finding(
        ("enclosure", *names),
        f"The door of the cabinet opens freely while {listed(names)} behind it {agreeing(names, 'is', 'are')} live "
        f"with {level.volts:.3g} V{covered}",
        design.reading.place("enclosure", "opens"),
        numbers=(Number("voltage", level.volts, "V", f"behind the door, {level.kind}"),),
        limit=_limit(design, level.kind),
        mend=(
            Mend("Let it open with a tool or key alone.", (SetValue(("enclosure", "opens"), "tool"),)),
            "Or let the main switch hold it shut while it is on (`opens: interlock`).",
        ),
    )


def _hurts(design: Design, part: Part) -> bool:
    level = highest_level(design, part)
    return level is not None and level.volts > _limit(design, level.kind).value


def _limit(design: Design, kind: str) -> Limit:
    """The end of extra-low voltage."""
    found = tabled(design.plan.rulebook, "elv_dc_max" if kind == "DC" else "elv_ac_max")
    source = RULE.source(design.plan.rulebook)
    return Limit(found.value, "V", found.source, f"end of extra-low voltage; a cover is wanted by {source}")


def _finding(design: Design, part: Part, stays: bool, swings: bool) -> Judgement:
    level = highest_level(design, part)
    assert level is not None
    when = "with the main switch off as well" if stays else "and the door opens without a tool"
    when = "on the inside of the door that a tool opens" if swings and not stays else when
    mends = [Mend(f"Put a cover over the terminals of {part.name}.", of_part(part.name, "touch", "cover"))]
    if not stays and not swings:
        mends.append(Mend("Let the door open with a tool alone, or with the main switch off."))
    return RULE.finding(
        (part.name,),
        f"The live terminals of {part.name} ({part.title}) are bare, {when}",
        design.place(part.name),
        signal=Signal.CAUTION if swings and not stays else None,
        numbers=(Number("voltage", level.volts, "V", f"at it, {level.kind}"),),
        limit=_limit(design, level.kind),
        mend=mends,
    )
