"""What leaks into which section of the protective earth."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from wiring.circuit.model import Conductor
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.earth.protective_network import behind, leakage_of
from wiring.design.earth.protective_sections import lone_sections
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.incoming import Filter
from wiring.parts.loads import ProcessSource
from wiring.parts.protection import ResidualCurrentDevice
from wiring.parts.sources import Supply
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import limit as single_limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.signals import signal_limit
from wiring.wording import natural


def _has_leakage(part: Part) -> bool:
    """Whether a part leaks by its nature: a filter, a drive on alternating current."""
    return isinstance(part.data, Filter) or (isinstance(part.data, Drive) and part.data.supply.kind != "DC")


#: Ways in which conduit, trunking or a buried duct encloses a feed for its whole length (IEC 60364-5-52, table A.52.3).
_ENCLOSING = ("A1", "A2", "B1", "B2", "D1")


def _enclosed(design: Design, section: Conductor, inlet: tuple[str, str]) -> bool:
    """Whether a section, with the feed of the building ahead of it, is enclosed for its whole length: the first of the
    measures of IEC 60204-1:2016, 8.2.6 against more than 10 mA."""
    mains = design.plan.mains
    if mains is None or mains.feed is None or mains.connection != "fixed" or mains.feed.method not in _ENCLOSING:
        return False
    return inlet in section.ends and all(design.parts[name].data.at == "cabinet" for name, _ in section.ends)


def leaking_sections(design: Design, inlet: tuple[str, str], above: Limit) -> dict[Conductor, dict[str, float]]:
    """The sections that alone carry more than a limit and are not enclosed, each with what leaks into it [A]."""
    leaks = {name: amps for name, part in design.parts.items() if (amps := leakage_of(part))}
    if not leaks:
        return {}
    found: dict[Conductor, dict[str, float]] = {}
    for section in lone_sections(design.machine, inlet):
        carried = {name: leaks[name] for name in section.parts if name in leaks}
        if sum(carried.values()) * 1000.0 > above.value * (1 + 1e-6) and not _enclosed(
            design, section.conductor, inlet
        ):
            found[section.conductor] = carried
    return found


def protective_conductors_at(design: Design, part: Part) -> list[Conductor]:
    """The protective conductors at a part."""
    node = (part.name, part.data.terminals.get("PE", "PE"))
    wires = [one for one in design.circuit.conductors_at(node) if one.kind != "shield"]
    return [one for one in wires if all(is_earth_point(design.circuit, end) for end in one.ends)]


#: Protective conductor of copper for a high leakage where a book names none [mm2].
_LEAST_MM2 = tabled("iec", "leakage_pe_min_cu").value


def least_protective_mm2(design: Design) -> float:
    """The least protective conductor for a high leakage [mm2]."""
    wanted = design.book.limit("leakage_pe_min_cu")
    return wanted.value if isinstance(wanted, Limit) else _LEAST_MM2


#: The most that a supply of class I leaks where its plan does not say [A].
_SUPPLY_A = tabled("common", "supply_leakage").value / 1000.0


def unsaid_leakages(design: Design) -> Iterator[list[str]]:
    """Parts that leak and do not say how much, together: those that leak by their nature, and supplies where it
    decides."""
    unsaid = sorted(name for name, part in design.parts.items() if _has_leakage(part) and leakage_of(part) is None)
    if unsaid and design.earthing.inlets:
        yield unsaid
    yield from _silent_supplies(design)


def _silent_supplies(design: Design) -> Iterator[list[str]]:
    """Supplies without a leakage, where together they may leak more than is allowed; behind a residual current device
    with that."""
    above = design.book.limit("leakage_extra_measures_above")
    silent = [name for name, part in design.parts.items() if _is_silent(part)]
    known = sum(leakage_of(part) or 0.0 for part in design.parts.values())
    over = isinstance(above, Limit) and (known + _SUPPLY_A * len(silent)) * 1000.0 > above.value * (1 + 1e-6)
    if silent and over:
        yield sorted(silent, key=natural)
    for part in design.parts.values():
        if isinstance(part.data, ResidualCurrentDevice):
            fed = behind(design.machine, part)
            silent = [other.name for other in fed if _is_silent(other)]
            most = signal_limit("rcd_leakage_share_max").value / 100.0 * part.data.residual
            if sum(leakage_of(other) or 0.0 for other in fed) + _SUPPLY_A * len(silent) > most * (1 + 1e-6) and silent:
                yield [part.name, *silent]


def _is_silent(part: Part) -> bool:
    data = part.data
    fed = isinstance(data, Supply | ProcessSource) and data.input.kind != "DC" and data.earth_terminal() is not None
    return fed and leakage_of(part) is None


def leaky_conductors(design: Design) -> set[str]:
    """The conductors of the protective earth into which more leaks than is allowed without extra measures."""
    above = design.book.limit("leakage_extra_measures_above")
    found: set[str] = set()
    if isinstance(above, Limit):
        found = {one.id for inlet in design.earthing.inlets for one in leaking_sections(design, inlet, above)}
    of_drive = single_limit("iec", "leakage_drive_above")
    drive_ma = of_drive.value * (1 + 1e-6) if isinstance(of_drive, Limit) else inf
    for part in design.parts.values():
        earths = protective_conductors_at(design, part) if isinstance(part.data, Drive) else []
        if len(earths) == 1 and (leakage_of(part) or 0.0) * 1000.0 > drive_ma:
            found.add(earths[0].id)
    return found
