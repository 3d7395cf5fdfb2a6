"""The cable or the receptacle that feeds the machine is too small for the device of the building in front of it.

The feed is the wiring of the building, and its tables are those of the building: IEC 60364-5-52 by the way it is laid,
or table 310.16 of NFPA 70 with its corrections and the terminals at the inlet. Its device may not be larger than that
allows; in a North American building the next standard rating is allowed. Its protective conductor follows the line, or
in North America the device; where the line there is thicker than its device and the machine ask for, to lose less
voltage on a long way, the protective conductor is thicker in the same proportion, up to the size of the line. A
receptacle there, and so the cord that plugs into it, is rated for its branch circuit: 15 A at up to 20 A, else as much
as the device.

Fires on sorting-gate at X0
    mains.feed.size=1 mm2
Quiet
    mains.feed.size=2.5 mm2
Not judged
    A feed without its size, its device or, under IEC, the way it is laid; ways that the tables do not have. Whether a
    North American machine is plugged in, where its inlet would be too small then.
Known limits
    Harmonics in the neutral do not count. The drop of voltage along the feed is told by `building-feed-drop-too-high`.
"""

from __future__ import annotations

from wiring.design.conductor.sizes import size_words
from wiring.design.device.devices import UPSTREAM, conventional_operating_current
from wiring.design.device.feed_sizes import feed_ampacity, feed_device_limit, grown_protective
from wiring.findings import Number
from wiring.plan.site import BuildingFeed, Mains, Upstream
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import largest_branch_a
from wiring.rulebooks.overcurrent import protects_conductor
from wiring.rulebooks.steps import rounded_down
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, nfpa_70

RULE = Rule(
    slug="building-feed-too-small",
    title="Feed from the building is too small",
    signal=Signal.WARNING,
    harm="The cable in the wall overheats before its device opens.",
    sources=(
        ("iec", Source("IEC 60364-4-43", "2008", "433.1", Standing.ONE_SOURCE)),
        ("na", nfpa_70("240.4 and 250.122", Standing.CONFIRMED)),
    ),
)


def check(design: Design) -> Judgements:
    """The feed of the mains, where the plan has one."""
    mains = design.plan.mains
    if mains is not None and design.plan.rulebook == "na":
        yield from _receptacle(design, mains)
    if mains is None or mains.feed is None:
        return
    subject = (mains.inlet or "mains",)
    if mains.feed.size is None or mains.upstream is None:
        yield RULE.not_judged(subject, "the size of the feed and the device in front of it (`mains: {feed: …}`)")
        return
    if mains.feed.grouped_with is None:
        words = "how many loaded circuits the feed lies together with (`mains: {feed: {grouped_with: 0}}`)"
        yield RULE.not_judged(subject, words)
    if design.plan.rulebook == "iec" and mains.feed.method is None:
        yield RULE.not_judged(subject, "how the feed is laid (`mains: {feed: {method: B2}}`)")
    else:
        yield from _line(design, subject, mains, mains.feed, mains.upstream)
    yield from _protective(design, subject, mains, mains.feed, mains.upstream)


def _line(design: Design, subject: tuple[str, ...], mains: Mains, feed: BuildingFeed, upstream: Upstream) -> Judgements:
    assert feed.size is not None
    ampacity = feed_ampacity(design, mains, feed, feed.size)
    if isinstance(ampacity, NotTabled):
        yield RULE.not_judged(subject, ampacity.reason)
        return
    limit = feed_device_limit(design, feed.size, upstream, ampacity)
    device = design.devices.by_name[UPSTREAM].device
    lasting_a = conventional_operating_current(device, dc=False) if device else upstream.rating
    verdicts = protects_conductor(design.plan.rulebook, upstream.rating, lasting_a, limit)
    broken = next((v for v in verdicts[: 1 if design.plan.rulebook == "na" else 2] if not v.holds), None)
    if broken is None:
        return
    yield RULE.finding(
        subject,
        f"The feed of {feed.size.text} carries {ampacity.value:.3g} A, and its device is rated {upstream.rating:.3g} A",
        design.place(mains.inlet) if mains.inlet else None,
        numbers=(
            Number("device", upstream.rating, "A", upstream.kind),
            Number("ampacity", ampacity.value, "A", feed.size.text, ampacity.source),
        ),
        limit=limit if broken is verdicts[0] else broken.limit,
        mend=(
            f"Have the device changed for one of {rounded_down(limit.value):.3g} A or less, "
            "or the feed for a thicker one."
            if limit.value > 0.0
            else "Have the feed laid where it is cooler, or changed for one whose insulation bears more.",
        ),
    )


def _protective(
    design: Design, subject: tuple[str, ...], mains: Mains, feed: BuildingFeed, upstream: Upstream
) -> Judgements:
    fitted = feed.protective_size or feed.size
    assert fitted is not None
    assert feed.size is not None
    least = design.book.protective_conductor(feed.size, upstream.rating, in_cable=True, location="feed")
    if isinstance(least, Limit) and design.plan.rulebook == "na":
        least = grown_protective(design, mains, feed, upstream, least)
    if isinstance(least, NotTabled):
        yield RULE.not_judged(subject, least.reason)
    elif fitted.area_mm2 < least.value * (1 - 1e-6):
        words = size_words(design.machine, least.value)
        yield RULE.finding(
            subject,
            f"The protective conductor of the feed is {fitted.text}; {words} is the least",
            design.place(mains.inlet) if mains.inlet else None,
            numbers=(Number("fitted", fitted.area_mm2 * 1e-6, "m2", "protective conductor of the feed"),),
            limit=least,
            mend=(f"Have the feed changed for one with a protective conductor of {words}.",),
        )


def _receptacle(design: Design, mains: Mains) -> Judgements:
    inlet = design.parts.get(mains.inlet or "")
    rated = getattr(inlet.data, "rated", None) if inlet else None
    if inlet is None or rated is None or mains.upstream is None or mains.connection == "fixed":
        return
    most, ahead = largest_branch_a(rated), mains.upstream.rating
    if ahead <= most * (1 + 1e-9):
        return
    if mains.connection is None:
        yield RULE.not_judged((inlet.name,), "whether it is plugged in (`mains: {connection: …}`)", inlet.place)
        return
    yield RULE.finding(
        (inlet.name,),
        f"{inlet.name} is plugged in and rated {rated:.3g} A, and the device of the building {ahead:.3g} A",
        inlet.place,
        numbers=(Number("device", ahead, "A", mains.upstream.kind),),
        limit=Limit(most, "A", nfpa_70("210.21(B)(3)"), f"for a receptacle of {rated:.3g} A"),
        mend=(f"Plug it in behind {most:.3g} A, or take inlet, cord and plug for {ahead:.3g} A.",),
    )
