"""More leaks into the protective conductor than it may carry without further measures, or than the RCD bears.

The leakage that the plan declares for filters, drives, inverters and supplies is added up: at the incoming protective
conductor, at each drive's own one, and behind each residual current device.

Fires
    parts:
      X0: {kind: inlet}
      Z1: {kind: filter, leakage: 12 mA}
      XPE: {kind: earth-bar, points: 4}
    wires:
      - {wire: 1, from: X0:L, to: Z1:L}
      - {wire: 2, from: X0:N, to: Z1:N}
      - {wire: PE1, from: X0:PE, to: XPE:1, size: 2.5 mm2}
      - {wire: PE2, from: XPE:2, to: Z1:PE, size: 2.5 mm2}
Quiet
    parts:
      X0: {kind: inlet}
      Z1: {kind: filter, leakage: 3 mA}
      XPE: {kind: earth-bar, points: 4}
    wires:
      - {wire: 1, from: X0:L, to: Z1:L}
      - {wire: 2, from: X0:N, to: Z1:N}
      - {wire: PE1, from: X0:PE, to: XPE:1, size: 2.5 mm2}
      - {wire: PE2, from: XPE:2, to: Z1:PE, size: 2.5 mm2}
Not judged
    Filters and mains drives without `leakage`; the size of a protective conductor that is not given.
Known limits
    Leakages are added without regard to their phase. A protective conductor that is enclosed for its whole length, or
    an industrial plug, are measures too that a plan does not show: accept the finding with that reason.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.earth import behind, earth_inlets, leakage_of
from wiring.findings import Number, Signal
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.incoming import Filter
from wiring.parts.protection import ResidualCurrentDevice
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import limit as single_limit
from wiring.rulebooks.signals import signal_limit
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="leakage-too-high",
    title="Too much leaks into the protective conductor",
    signal=Signal.WARNING,
    harm="If the one protective conductor opens, the leakage flows through whoever touches the machine.",
    sources=(
        ("iec", Source("IEC 60204-1", "2016", "8.2.6", Standing.CONFIRMED)),
        ("na", Source("NFPA 79", "2021", "8.2.7", Standing.FROM_MEMORY)),
    ),
)


def _leaks(part: Part) -> bool:
    return isinstance(part.data, Filter) or (isinstance(part.data, Drive) and part.data.supply.kind != "DC")


def check(design: Design) -> Iterator[Judgement]:
    """Incoming protective conductor, each drive, each residual current device."""
    inlets = earth_inlets(design)
    unknown = sorted(name for name, part in design.parts.items() if _leaks(part) and leakage_of(part) is None)
    if unknown and inlets:
        yield RULE.not_judged(unknown, "their leakage current (`leakage: 1 mA`)", design.place(unknown[0]))
    for inlet in inlets:
        yield from _incoming(design, inlet)
    for part in design.parts.values():
        if isinstance(part.data, Drive):
            yield from _drive(design, part)
        elif isinstance(part.data, ResidualCurrentDevice):
            yield from _residual(design, part, part.data)


def _earth_conductors(design: Design, node: tuple[str, str]) -> list[Conductor]:
    found = design.circuit.conductors_at(node)
    return [c for c in found if c.kind != "shield" and all(is_earth_point(design.circuit, end) for end in c.ends)]


def _incoming(design: Design, inlet: tuple[str, str]) -> Iterator[Judgement]:
    above = design.book.limit("leakage_extra_measures_above")
    if isinstance(above, NotTabled):
        return
    leaking = {name: amps for name, part in design.parts.items() if (amps := leakage_of(part))}
    yield from _against(design, inlet, sum(leaking.values()), above, leaking, Signal.WARNING)


def _drive(design: Design, part: Part) -> Iterator[Judgement]:
    above = single_limit("iec", "leakage_drive_above")
    amps = leakage_of(part) or 0.0
    if isinstance(above, NotTabled):
        return
    yield from _against(design, (part.name, part.data.terminals.get("PE", "PE")), amps, above, {part.name: amps})


def _against(
    design: Design,
    node: tuple[str, str],
    amps: float,
    above: Limit,
    leaking: dict[str, float],
    signal: Signal = Signal.CAUTION,
) -> Iterator[Judgement]:
    conductors = _earth_conductors(design, node)
    if amps * 1000.0 <= above.value * (1 + 1e-6) or len(conductors) != 1:
        return
    [conductor] = conductors
    wanted = design.book.limit("leakage_pe_min_cu")
    least = wanted.value if isinstance(wanted, Limit) else 10.0
    if conductor.size is None:
        yield RULE.not_judged((conductor.id,), "its size: more than usual leaks into it", conductor.place)
    elif conductor.size.area_mm2 < least * (1 - 1e-6):
        names = ", ".join(sorted(leaking))
        yield RULE.finding(
            (conductor.id, *sorted(leaking)),
            f"{amps * 1000:.3g} mA leaks from {names} into {conductor.id}, one protective conductor of "
            f"{conductor.size.text}",
            conductor.place,
            signal=signal,
            numbers=(Number("leakage", amps, "A", "declared values added"),),
            limit=Limit(above.value / 1000.0, "A", above.source, above.note),
            mend=(
                f"Make {conductor.id} {least:.3g} mm2, or add a second protective conductor of {conductor.size.text}.",
            ),
        )


def _residual(design: Design, part: Part, data: ResidualCurrentDevice) -> Iterator[Judgement]:
    share = signal_limit("rcd_leakage_share_max")
    leaking = {other.name: amps for other in behind(design, part) if (amps := leakage_of(other))}
    total, most = sum(leaking.values()), share.value / 100.0 * data.residual
    if total > most * (1 + 1e-6):
        yield RULE.finding(
            (part.name, *sorted(leaking)),
            f"{total * 1000:.3g} mA leaks behind {part.name}, which trips at {data.residual * 1000:.3g} mA and bears "
            f"{most * 1000:.3g} mA for ever",
            design.place(part.name, "residual"),
            signal=Signal.CAUTION,
            numbers=(Number("leakage", total, "A", "declared values added"),),
            limit=Limit(most, "A", share.source, share.note),
            mend=("Share the leaking parts out among several devices, or take a filter that leaks less.",),
        )
