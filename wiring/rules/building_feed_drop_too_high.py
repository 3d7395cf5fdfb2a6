"""Too little voltage reaches a load of the machine over the feed from the building.

What is lost between the panel board and the inlet adds to what is lost in the machine. The feed carries what the solved
machine draws in each state, with its power factor, and counts at the highest temperature of its insulation with its
reactance. The load that is worst off is told, and the others with it.

Fires on fan-heater at X0
    mains.feed.size=10 AWG
    mains.feed.length=450 ft
Quiet
    mains.feed.size=6 AWG
Not judged
    A feed without its size or its length.
Known limits
    What is lost in front of the panel board is not known to a plan. The load draws what it draws at the voltage of the
    inlet; a load of constant power draws a little more behind a long feed.
"""

from __future__ import annotations

from wiring.design.conductor.load_drops import LoadDrop
from wiring.design.device.building_feed import feed_ohm
from wiring.findings import Number
from wiring.plan.site import BuildingFeed
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.voltage_drop_formulas import drop_limit_with_feed
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, nfpa_70

RULE = Rule(
    slug="building-feed-drop-too-high",
    title="Too little voltage arrives over the feed",
    signal=Signal.CAUTION,
    harm="Contactors chatter and supplies drop out while the machine works, and motors run hot.",
    sources=(
        ("iec", Source("IEC 60364-5-52", "2009", "table G.52.1", Standing.CONFIRMED)),
        ("na", nfpa_70("210.19(A) informational note", Standing.CONFIRMED)),
    ),
)


def check(design: Design) -> Judgements:
    """The loads on the mains of a machine whose feed the plan gives."""
    feed = design.plan.mains.feed if design.plan.mains else None
    if feed is None:
        return
    if feed_ohm(design.machine) is None:
        missing = "the size and the length of the feed (`mains: {feed: {size: …, length: …}}`)"
        yield RULE.not_judged((_inlet(design),), missing)
        return
    limit = drop_limit_with_feed(design.plan.rulebook, feed.length or 0.0)
    loads = [load for load in design.power.drops_from_board.values() if load.percent > limit.value * (1.0 + 1e-9)]
    if loads:
        yield _finding(design, feed, loads, limit)


def _inlet(design: Design) -> str:
    return (design.plan.mains.inlet if design.plan.mains else None) or "mains"


def _finding(design: Design, feed: BuildingFeed, loads: list[LoadDrop], limit: Limit) -> Judgement:
    load = max(loads, key=lambda one: (one.percent, one.part))
    others = sorted(one.part for one in loads if one is not load)
    in_machine_v = design.drops[load.part].drop_v if load.part in design.drops else 0.0
    feed_v = load.drop_v - in_machine_v
    alone = 100.0 * feed_v / load.nominal_v > limit.value
    inlet = _inlet(design)
    return RULE.finding(
        (inlet, load.part, *others),
        f"{load.part} loses {load.percent:.2g} % of its voltage between the panel board and its terminals",
        design.place(inlet) if inlet in design.parts else None,
        numbers=(
            Number("drop", load.drop_v, "V", f"from the board to {load.part} and back, state {load.state}"),
            Number("in", feed_v, "V", f"the feed of {_words(feed)}"),
            Number("share", load.percent, "%", "of the nominal voltage"),
        ),
        limit=limit,
        mend=(_thicker(design, feed, feed_v, limit.value / 100.0 * load.nominal_v - in_machine_v),),
        rests=None if alone else tuple(scope("part", name) for name in (load.part, *others)),
    )


def _words(feed: BuildingFeed) -> str:
    return f"{feed.size.text}, {feed.length:.3g} m" if feed.size and feed.length else ""


def _thicker(design: Design, feed: BuildingFeed, feed_v: float, allowed_v: float) -> str:
    assert feed.size is not None
    size = design.book.size_of_area(feed.size.area_mm2 * feed_v / allowed_v) if allowed_v > 0.0 else None
    if size is None:
        return "Have the feed changed for a thicker one, or the board moved nearer."
    return f"Have the feed changed for one of {size.text}."
