"""More leaks into the protective conductor than it may carry without further measures, or than the RCD bears.

The leakage that the plan declares for filters, drives, inverters and supplies is added up: in every protective
conductor that carries it alone, from the part to the incoming one, and behind each residual current device, that of
the building as well. A thin one beside a second way to earth is no fault: two conductors are one of the measures that
the standards name, and so is one that the cabinet and the conduit of the building enclose up to the inlet's bar.

Fires on mixer at PE1
    T1.leakage=12 mA
Quiet
    T1.leakage=3 mA
Not judged
    Filters and mains drives without `leakage`, supplies without it where the most that they may leak is too much; the
    size of a protective conductor that is not given.
Known limits
    Leakages are added without regard to their phase. An industrial plug is a measure too that a plan does not show:
    accept the finding with that reason.
"""

from __future__ import annotations

from collections.abc import Iterable

from wiring.circuit.model import Conductor
from wiring.design.earth.leakage import (
    leaking_sections,
    leaky_conductors,
    least_protective_mm2,
    protective_conductors_at,
    unsaid_leakages,
)
from wiring.design.earth.protective_network import behind, behind_inlet, leakage_of
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.protection import ResidualCurrentDevice
from wiring.plan.site import BuildingRcd
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import limit as single_limit
from wiring.rulebooks.signals import signal_limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="leakage-too-high",
    title="Too much leaks into the protective conductor",
    signal=Signal.WARNING,
    harm="If the one protective conductor opens, the leakage flows through whoever touches the machine.",
    sources=(("iec", iec_60204("8.2.6", Standing.CONFIRMED)), ("na", nfpa_79("8.2.7"))),
)


def check(design: Design) -> Judgements:
    """Every section of the protective earth, each drive, each residual current device."""
    for names in unsaid_leakages(design):
        yield RULE.not_judged(names, "their leakage current (`leakage: 1 mA`)", design.place(names[0]))
    above = design.book.limit("leakage_extra_measures_above")
    told: set[str] = set()
    if isinstance(above, Limit):
        for inlet in design.earthing.inlets:
            sections = leaking_sections(design, inlet, above)
            told.update(conductor.id for conductor in sections)
            yield from _against(design, sections, above, Signal.WARNING)
    for part in design.parts.values():
        if isinstance(part.data, Drive):
            yield from _drive(design, part, told)
        elif isinstance(part.data, ResidualCurrentDevice):
            yield from _residual(design, part.name, part.data.residual, behind(design.machine, part))
    mains = design.plan.mains
    if mains is not None and isinstance(mains.rcd, BuildingRcd) and mains.rcd.residual is not None:
        yield from _residual(design, "", mains.rcd.residual, behind_inlet(design.machine))


def requirements(design: Design) -> Requirements:
    """The sections that carry much alone, and the one protective conductor of a drive that leaks."""
    for name in sorted(leaky_conductors(design)):
        least = least_protective_mm2(design)
        yield Requirement(RULE.slug, name, Quantity.AREA, least, why="what leaks into it")


def _drive(design: Design, part: Part, told: set[str]) -> Judgements:
    above = single_limit("iec", "leakage_drive_above")
    amps = leakage_of(part) or 0.0
    found = protective_conductors_at(design, part)
    if isinstance(above, NotTabled) or len(found) != 1 or found[0].id in told:
        return
    if amps * 1000.0 > above.value * (1 + 1e-6):
        yield from _against(design, {found[0]: {part.name: amps}}, above, Signal.CAUTION)


def _against(design: Design, carried: dict[Conductor, dict[str, float]], above: Limit, signal: Signal) -> Judgements:
    """The conductors thinner than wanted, each with what leaks into it."""
    least = least_protective_mm2(design)
    unsized = [conductor for conductor in carried if conductor.size is None]
    if unsized:
        names = tuple(conductor.id for conductor in unsized)
        yield RULE.not_judged(names, "its size: more than usual leaks into it", unsized[0].place)
    thin = [c for c in carried if c.size is not None and c.size.area_mm2 < least * (1 - 1e-6)]
    if thin:
        yield _too_thin(thin, carried[thin[0]], least, above, signal)


def _too_thin(thin: list[Conductor], leaks: dict[str, float], least: float, above: Limit, signal: Signal) -> Judgement:
    amps, names, ids = sum(leaks.values()), ", ".join(sorted(leaks)), ", ".join(c.id for c in thin)
    first = thin[0]
    assert first.size is not None
    verb = "is" if len(thin) == 2 else "are"
    rest = f"; {listed([c.id for c in thin[1:]])} behind it {verb} too thin as well" if thin[1:] else ""
    return RULE.finding(
        (*(c.id for c in thin), *sorted(leaks)),
        f"{amps * 1000:.3g} mA leaks from {names} into {first.id}, one protective conductor of {first.size.text}{rest}",
        first.place,
        signal=signal,
        numbers=(Number("leakage", amps, "A", "declared values added"),),
        limit=Limit(above.value / 1000.0, "A", above.source, above.note),
        mend=(
            Mend(
                f"Make {ids} of {least:.3g} mm2, or add a second protective conductor beside each.",
                asks=tuple(Requirement(RULE.slug, one.id, Quantity.AREA, least, why="leakage") for one in thin),
            ),
        ),
    )


def _residual(design: Design, device: str, trips_a: float, fed: Iterable[Part]) -> Judgements:
    """Of a device of the plan, or of that of the building, which has no name there."""
    share = signal_limit("rcd_leakage_share_max")
    leaking = {other.name: amps for other in fed if (amps := leakage_of(other))}
    total, most = sum(leaking.values()), share.value / 100.0 * trips_a
    inlet = (design.plan.mains.inlet if design.plan.mains else None) or "mains"
    if total > most * (1 + 1e-6):
        yield RULE.finding(
            (device or inlet, *sorted(leaking)),
            f"{total * 1000:.3g} mA leaks behind {device or 'the residual current device of the building'}, which "
            f"trips at {trips_a * 1000:.3g} mA and bears {most * 1000:.3g} mA for ever",
            design.place(device, "residual") if device else design.reading.place("mains", "rcd"),
            signal=Signal.CAUTION,
            numbers=(Number("leakage", total, "A", "declared values added"),),
            limit=Limit(most, "A", share.source, share.note),
            mend=("Share the leaking parts out among several devices, or take a filter that leaks less.",),
        )
