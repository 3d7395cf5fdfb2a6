"""What a feed of a size carries, the device it allows, and its protective conductor grown with it."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.device.building_feed import feed_current, feed_insulation_c, feed_laying
from wiring.plan.site import BuildingFeed, Mains, Upstream
from wiring.quantities import WireSize
from wiring.rulebooks.answers import NotTabled, weakest
from wiring.rulebooks.citation import Limit, Standing, nfpa_70
from wiring.rulebooks.earthing import enlarged_protective_mm2
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.overcurrent import next_standard

_GROWN = nfpa_70("250.122(B)", Standing.CONFIRMED)


#: Up to this rating the next standard one is allowed in a North American building [A].
_ROUNDED_UP_TO_A = tabled("na", "next_standard_to").value


def feed_ampacity(design: Design, mains: Mains, feed: BuildingFeed, size: WireSize) -> Limit | NotTabled:
    """What a feed of a size carries where it lies [A]."""
    return design.book.ampacity(size, feed_insulation_c(design.machine, feed), feed_laying(design.machine, mains, feed))


def feed_device_limit(design: Design, size: WireSize, upstream: Upstream, ampacity: Limit) -> Limit:
    """The largest device in front of the feed."""
    if design.plan.rulebook != "na" or ampacity.value <= 0.0:
        return ampacity  # where it is so hot that it may carry nothing, no standard rating is the next one
    small = design.book.largest_device(size, "power")
    up = next_standard("na", upstream.kind, ampacity.value)
    rounded = ampacity
    if isinstance(up, Limit) and up.value <= _ROUNDED_UP_TO_A:
        rounded = Limit(up.value, "A", ampacity.source, f"{ampacity.value:.3g} A, next standard rating, 240.4(B)")
    return small if isinstance(small, Limit) and small.value < rounded.value else rounded


def grown_protective(design: Design, mains: Mains, feed: BuildingFeed, upstream: Upstream, least: Limit) -> Limit:
    """The least protective conductor grown as the line has grown from the size that its device asks for.

    Source: NFPA 70, 250.122(B); never larger than the line, 250.122(A).
    """

    drawn_a = feed_current(design.machine, design.operation)

    def suffices(size: WireSize) -> bool:
        ampacity = feed_ampacity(design, mains, feed, size)
        if not isinstance(ampacity, Limit) or ampacity.value < drawn_a:
            return False
        return feed_device_limit(design, size, upstream, ampacity).value >= upstream.rating

    assert feed.size is not None
    enough, base = design.book.smallest_size(suffices), design.book.size_of_area(least.value)
    if enough is None or base is None or enough.area_mm2 >= feed.size.area_mm2 * (1 - 1e-6):
        return least
    grown = min(enlarged_protective_mm2(base, enough, feed.size), feed.size.area_mm2)
    source = weakest(_GROWN, least.source)
    return Limit(
        grown,
        "mm2",
        source,
        f"{base.text} behind {upstream.rating:.3g} A, lines of {feed.size.text} where {enough.text} would do",
    )
