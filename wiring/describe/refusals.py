"""What is refused once a plan is sized: what no size meets, and what building, battery or label do not bear."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from wiring.describe.build import Refused
from wiring.design.design import Design
from wiring.design.device.building_feed import line_currents
from wiring.design.device.nameplate import on_mains
from wiring.findings import Finding, Report, Signal
from wiring.parts.sources import Supply
from wiring.parts.storage import Battery
from wiring.plan.site import BuildingRcd
from wiring.rulebooks.limits import words
from wiring.rules.altitude_above_rating import RULE as HEIGHT
from wiring.rules.building_feed_too_small import RULE as FEED
from wiring.rules.leakage_too_high import RULE as LEAKAGE
from wiring.rules.panel_rating_too_small import RULE as PANEL
from wiring.rules.part_voltage_exceeded import RULE as TOO_HIGH
from wiring.rules.protection_class_too_low import RULE as PROTECTION
from wiring.rules.rcd_type_wrong import RULE as TYPE
from wiring.rules.run import told_alone
from wiring.rules.supply_overloaded import RULE as LOADED
from wiring.rules.supply_peak_exceeded import RULE as PEAK
from wiring.sizing.records import Unmet


def refuse_unmet(unmet: Sequence[Unmet]) -> None:
    """What no size meets is refused, with all that is asked and what caps it. Raises Refused where there is any."""
    if not unmet:
        return
    asked, *more = map(str, unmet)
    cap = f"no size meets that; {'; '.join(more)}" if more else "no size meets that"
    mend = "Ask for less at the same time (`runs`), take a larger connection or a larger cabinet, or other motors."
    raise Refused(asked, cap, mend)


def refuse_bought(design: Design) -> None:
    """A supply that is bought and gives too little, whatever shares its rail. Raises Refused for it."""
    for said in short_supplies(design):
        part = design.parts[said.subjects[0]]
        mend = "Ask for less at the same time (`runs`), or leave it out to have one chosen."
        raise Refused(said.summary, f"the supply {part.title}, which is bought, gives no more", mend, ("bought",))


def has_openings(report: Report) -> bool:
    """Whether the cabinet has the openings of a fan, and is to keep out what they let in."""
    return any(said.rule == PROTECTION.slug and "openings of a fan" in said.summary for said in report.standing)


def refuse_given(design: Design, report: Report, unmet: Sequence[Unmet]) -> None:
    """What the cabinet or the residual current device of the building does not bear or see is a matter of what the
    description gives, not of sizes. Raises Refused for it."""
    mains = design.plan.mains
    _refuse_feed(report)
    for said in report.standing:
        for_nothing = unmet and "fan" in said.summary  # conductors stay too thick all the same
        if said.rule == PROTECTION.slug and not for_nothing:
            asked = "a cabinet with the mains in it keeps out fingers and drips"
            cap = said.summary[0].lower() + said.summary[1:]
            mend = f"Take one of {words('enclosure_ip_min')} or more: IP54 is usual, IP65 where a hose is at work."
            if "openings" in cap:
                mend = "Openings keep out no more than IP54 or type 12: take such a one, or leave out `ventilated`; "
                mend += "a larger cabinet may do without a fan."
            raise Refused(asked, cap, mend, ("cabinet", "protection"))
        if said.rule == PANEL.slug:
            cap = "parts for 10 kA at most are taken, and what is given stands what its label says"
            mend = "Give its `short_circuit_rating` behind class CC fuses, or have the fault current limited in front."
            raise Refused(said.summary[0].lower() + said.summary[1:], cap, mend, ("mains", "fault_current"))
        if said.rule == HEIGHT.slug and said.signal is not Signal.NOTICE:
            cap = "what is sold without a word on it is made for 2000 m at most: above it air insulates too little"
            raise Refused(said.summary, cap, "Take parts that their makers rate for this height.", ("site", "altitude"))
        if said.rule == TOO_HIGH.slug:
            if design.plan.mains and not _on_battery(design, said.subjects[0]):
                mend = "Give one for this mains, or feed it from a transformer by hand."
                raise Refused(said.summary, "nothing else is given for it", mend, ("mains", "voltage"))
            cap = "a battery that is charged gives so much, and its label says no more"
            mend = "Ask its maker what it bears, and give that as its `voltage`; or take a battery of a lower voltage."
            raise Refused(said.summary, cap, mend, ("battery", "part"))
    if mains is None or not isinstance(mains.rcd, BuildingRcd):
        return
    for said in report.standing:
        if said.subjects[0] != mains.inlet or said.rule not in (LEAKAGE.slug, TYPE.slug):
            continue
        asked, cap = said.summary, f"the residual current device of the building is of type {mains.rcd.type}"
        if said.rule == LEAKAGE.slug and said.limit is not None:
            asked = f"the machine leaks {1000.0 * said.numbers[0].value:.3g} mA to earth"
            cap = f"the residual current device of the building bears {1000.0 * said.limit.value:.3g} mA for ever"
        mend = "Have it changed for one that fits, which the electrician decides, or give other drives."
        raise Refused(asked, cap, mend, ("mains", "rcd"))


def _refuse_feed(report: Report) -> None:
    said = next((one for one in report.standing if one.rule == FEED.slug), None)
    if said is not None:
        mend = "Have the electrician change it, and say what is there then."
        raise Refused(said.summary, "that lies in the building, and no part here mends it", mend, ("mains", "feed"))


def _on_battery(design: Design, name: str) -> bool:
    """Whether a battery feeds a machine, and a motor or another load that is not on its mains."""
    batteries = any(isinstance(part.data, Battery) for part in design.parts.values())
    return batteries and name not in on_mains(design)


def short_supplies(design: Design) -> Iterator[Finding]:
    """What is told of supplies that are bought and give too little."""
    for rule in (PEAK.slug, LOADED.slug):
        for said in told_alone(design, rule):
            part = design.parts.get(said.subjects[0]) if isinstance(said, Finding) else None
            if isinstance(said, Finding) and part is not None and part.data.bought and isinstance(part.data, Supply):
                yield said


def refuse_overload(design: Design) -> None:
    """The sum of each state at the inlet against the device of the building. Raises Refused above it."""
    upstream = design.plan.mains.upstream if design.plan.mains else None
    if upstream is None:
        return
    for state, amps in line_currents(design.machine, design.operation).items():
        if amps > upstream.rating:
            raise Refused(
                f"state {state} takes {amps:.3g} A from the mains",
                f"the {upstream.kind} of the building is rated {upstream.rating:.3g} A",
                "Let fewer loads work at the same time (`runs`), or take a larger connection.",
                ("mains", "upstream"),
            )
