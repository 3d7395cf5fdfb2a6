"""What leaks into which section of the protective earth."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.protective_network import leakage_of
from wiring.design.protective_sections import lone_sections
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.incoming import Filter
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled


def has_leakage(part: Part) -> bool:
    return isinstance(part.data, Filter) or (isinstance(part.data, Drive) and part.data.supply.kind != "DC")


def leaking_sections(design: Design, inlet: tuple[str, str], above: Limit) -> dict[Conductor, dict[str, float]]:
    """The sections that alone carry more than a limit, each with what leaks into it [A]."""
    leaks = {name: amps for name, part in design.parts.items() if (amps := leakage_of(part))}
    if not leaks or sum(leaks.values()) * 1000.0 <= above.value * (1 + 1e-6):
        return {}
    found: dict[Conductor, dict[str, float]] = {}
    for section in lone_sections(design.machine, inlet):
        carried = {name: leaks[name] for name in section.parts if name in leaks}
        if sum(carried.values()) * 1000.0 > above.value * (1 + 1e-6):
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
