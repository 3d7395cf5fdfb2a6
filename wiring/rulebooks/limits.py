"""Single limits by name, bands of extra-low voltage, and how fast stored voltage must be gone."""

from __future__ import annotations

from math import inf, log

from msgspec import Struct

from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.tables import TableError, load


def limit(book: str, name: str) -> Limit | NotTabled:
    """The limit of that name in table `limits` of "iec", "na" or "common"; its note is the condition it holds under."""
    row = load(book, "limits").row(name)
    return row.limit("value", row.text("condition")) if row else NotTabled(f"this rulebook has no limit {name!r}")


def tabled(book: str, name: str) -> Limit:
    """The same of a limit that the book must have; TableError where it has none."""
    found = limit(book, name)
    if isinstance(found, NotTabled):
        raise TableError(f"table {book}/limits has no row {name!r}")
    return found


#: Share of the available current that should stay free.
KEPT_FREE = tabled("common", "kept_free").value


def words(name: str) -> str:
    """A limit that is no number, such as a degree of protection; "" when the book has none of that name."""
    row = load("iec", "limits_in_words").row(name)
    return row.text("words") if row else ""


class Discharge(Struct, frozen=True):
    """Stored voltage is below `voltage` V after `time` s; charge up to `exempt_charge_c` coulomb does not count."""

    voltage: Limit
    time: Limit
    exempt_charge_c: float


def largest_branch_a(receptacle_a: float) -> float:
    """The largest branch circuit of a receptacle [A] (NFPA 70, table 210.21(B)(3)): 15 A may stand behind 20 A."""
    return tabled("na", "outlet_15_a_behind").value if receptacle_a == 15.0 else receptacle_a


def discharge_limit(book: str, place: str) -> Discharge | NotTabled:
    """Residual voltage allowed inside an enclosure (`place` "enclosure") or at exposed plug pins ("plug").

    Source: IEC 60204-1:2016 6.2.4; NFPA 79 6.5.
    """
    names = {"enclosure": "residual_voltage_time_max", "plug": "residual_voltage_plug_pin_time_max"}
    if place not in names:
        return NotTabled(f"no time of discharge is known for the place {place!r}")
    voltage, time = limit(book, "residual_voltage_max"), limit(book, names[place])
    exempt = limit(book, "residual_charge_exempt_max")
    if isinstance(voltage, NotTabled) or isinstance(time, NotTabled):
        return NotTabled("no residual voltage is tabled")
    return Discharge(voltage, time, 0.0 if isinstance(exempt, NotTabled) else exempt.value * 1e-6)


def discharge_time_s(resistance_ohm: float, capacitance_f: float, from_v: float, to_v: float) -> float:
    """Time a bleeder takes, s: R C ln(V0/V1); 0 when already there, infinite without a path or down to 0 V."""
    if from_v <= to_v:
        return 0.0
    if to_v <= 0 or resistance_ohm == inf:
        return inf
    return resistance_ohm * capacitance_f * log(from_v / to_v)


def extra_low_voltage(book: str, kind: str, *, dry: bool | None = None) -> Limit | NotTabled:
    """Upper end of extra-low voltage, V. `kind` "AC" or "DC".

    `dry` None: the band itself (IEC 61140, 50 V AC and 120 V DC; NFPA 79 6.2). True or False: what PELV may have for
    bare parts to be touched, in a dry place with no large contact, or anywhere (IEC 60204-1 6.4.1, NFPA 79 6.4).
    """
    prefix = "elv" if dry is None else "pelv"
    suffix = "" if dry is None else ("_dry" if dry else "_other")
    return limit(book, f"{prefix}_{kind.lower()}_max{suffix}")
