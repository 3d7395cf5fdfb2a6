"""The machine stands higher than its parts are rated for without derating.

Thin air cools less and insulates less. Both rulebooks take equipment to work up to 1000 m above sea level; above it
contactors, breakers, drives, motors and fans carry less than is printed on them, by figures that only their makers
give. Above 2000 m clearances are too short as well: 1.14 times as wide at 3000 m (IEC 60664-1, table A.2). Supplies
are derated for height in their own rules, and the cabinet's fan in the cabinet's temperature.

Fires on sorting-gate at site
    site.altitude=1600 m
Quiet
    site.altitude=600 m
Not judged
    A site without `altitude`, when the plan says anything of the site at all.
Known limits
    Many switching devices are rated up to 2000 m by their own standards; their data sheets decide.
"""

from __future__ import annotations

from wiring.findings import Number
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="altitude-above-rating",
    title="Site is higher than parts are rated for",
    signal=Signal.NOTICE,
    gravest=Signal.CAUTION,
    harm="Contactors, breakers, drives and motors run hotter than their rating says and fail early.",
    sources=(("iec", iec_60204("4.4.5")), ("na", nfpa_79("4.5.5"))),
)
#: Up to here clearances in air are tabled without a factor (IEC 60664-1, table A.2, from memory).
_CLEARANCES_M = 2000.0


def check(design: Design) -> Judgements:
    """The site, once."""
    altitude_m = design.plan.site.altitude
    limit = design.book.limit("altitude_max")
    if altitude_m is None:
        if design.reading.node("site") is not None:
            yield RULE.not_judged(("site",), "its height above sea level (`altitude: 300 m`)")
    elif isinstance(limit, Limit) and altitude_m > limit.value:
        yield RULE.finding(
            ("site",),
            f"The machine stands at {altitude_m:.0f} m, and parts are rated up to {limit.value:.0f} m",
            design.reading.place("site", "altitude"),
            numbers=(Number("altitude", altitude_m, "m", "of the site"),),
            limit=limit,
            signal=Signal.CAUTION if altitude_m > _CLEARANCES_M else None,
            mend=("Take the derating for this height from the data sheet of each device and lower its ratings.",),
        )
