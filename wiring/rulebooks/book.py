"""The two rulebooks behind one interface: every answer is a Limit with its source, or NotTabled with the reason."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from wiring.quantities import WireSize
from wiring.rulebooks import (
    ampacity_iec,
    ampacity_na,
    conductors,
    earthing,
    identification,
    limits,
    minimum_sizes,
    voltage_drop_formulas,
)
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.laying import Laying

_AMPACITY = {"iec": ampacity_iec.ampacity, "na": ampacity_na.ampacity}


class Rulebook(Struct, frozen=True):
    """One book by its name, "iec" or "na". Units and sources: see the functions it calls."""

    name: str
    title: str

    def resistance_ohm_per_m(
        self, size: WireSize, conductor_class: str = "5", temperature_c: float = 20.0
    ) -> Limit | NotTabled:
        """Resistance of one conductor in ohm/m; see `conductors.resistance_ohm_per_m`."""
        return conductors.resistance_ohm_per_m(size, conductor_class, temperature_c)

    def ampacity(self, size: WireSize, insulation_c: float, laying: Laying) -> Limit | NotTabled:
        """Ampacity in A; see `ampacity_iec` and `ampacity_na`."""
        return _AMPACITY[self.name](size, insulation_c, laying)

    def largest_device(self, size: WireSize, circuit: str) -> Limit | NotTabled:
        """Largest device ahead of a small conductor in A; see `minimum_sizes.largest_device`."""
        return minimum_sizes.largest_device(self.name, size, circuit)

    def largest_load(self, size: WireSize, circuit: str, overload_class: str = "20") -> Limit | NotTabled:
        """Largest load on a small conductor in A; see `minimum_sizes.largest_load`."""
        return minimum_sizes.largest_load(self.name, size, circuit, overload_class)

    def minimum_size(
        self,
        location: str,
        use: str,
        *,
        cores: int = 1,
        shielded: bool = False,
        conductor_class: str = "5",
        moving: bool = False,
    ) -> Limit | NotTabled:
        """Smallest cross-section in mm2; see `minimum_sizes.minimum_size`."""
        return minimum_sizes.minimum_size(
            self.name,
            location,
            use,
            cores=cores,
            shielded=shielded,
            conductor_class=conductor_class,
            moving=moving,
        )

    def protective_conductor(
        self, line: WireSize, device_a: float | None, *, in_cable: bool, location: str, protected: bool = True
    ) -> Limit | NotTabled:
        """Smallest protective conductor in mm2; see `earthing.protective_conductor`."""
        return earthing.protective_conductor(
            self.name, line, device_a, in_cable=in_cable, location=location, protected=protected
        )

    def k_factor(self, insulation: str, insulation_c: float, area_mm2: float = 1.0) -> Limit | NotTabled:
        """Material factor k of a loaded conductor in A·s^0.5/mm2; see `earthing.k_factor`."""
        return earthing.k_factor(self.name, insulation, insulation_c, area_mm2)

    def disconnection_time(
        self, system: str, kind: str, u0_v: float, final_a: float | None = None
    ) -> Limit | NotTabled:
        """Longest time to disconnect in s; the times of IEC 60364-4-41 serve both books, NFPA 70 has no such table."""
        return earthing.disconnection_time(system, kind, u0_v, final_a)

    def colour_faults(self, role: str, colour: str, use: str = "power") -> tuple[identification.ColourRule, ...]:
        """The rules of colour that a conductor breaks; see `identification.colour_faults`."""
        return identification.colour_faults(self.name, role, colour, use)

    def colour_rules(self, role: str, use: str = "power") -> tuple[identification.ColourRule, ...]:
        """The rules of colour for a role; see `identification.colour_rules`."""
        return identification.colour_rules(self.name, role, use)

    def voltage_drop_limit(self, use: str) -> Limit | NotTabled:
        """Largest drop in percent; see `voltage_drop_formulas.drop_limit`."""
        return voltage_drop_formulas.drop_limit(self.name, use)

    def discharge_limit(self, place: str) -> limits.Discharge | NotTabled:
        """Residual voltage and time; see `limits.discharge_limit`."""
        return limits.discharge_limit(self.name, place)

    def extra_low_voltage(self, kind: str, *, dry: bool | None = None) -> Limit | NotTabled:
        """Upper end of extra-low voltage in V; see `limits.extra_low_voltage`."""
        return limits.extra_low_voltage(self.name, kind, dry=dry)

    def limit(self, name: str) -> Limit | NotTabled:
        """A single limit by its name; see `limits.limit`."""
        return limits.limit(self.name, name)

    def standard_sizes(self) -> tuple[WireSize, ...]:
        """The sizes of the book, thin to thick."""
        return conductors.ladder(self.name)

    def smallest_size(self, holds: Callable[[WireSize], bool]) -> WireSize | None:
        """The thinnest size of the book for which a condition holds; None where none is thick enough."""
        return conductors.smallest_size(self.name, holds)

    def size_of_area(self, area_mm2: float) -> WireSize | None:
        """The thinnest size of the book of at least an area [mm2]; None above the largest."""
        return self.smallest_size(lambda size: size.area_mm2 >= area_mm2 * (1.0 - 1e-6))


IEC = Rulebook("iec", "IEC 60204-1 and IEC 60364")
NA = Rulebook("na", "NFPA 79, NFPA 70 and UL 508A")


def rulebook(name: str) -> Rulebook:
    """The book of that name; ValueError for any but "iec" and "na"."""
    for book in (IEC, NA):
        if book.name == name:
            return book
    raise ValueError(f"no rulebook {name!r}; there are iec and na")
