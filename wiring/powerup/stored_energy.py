"""What still holds charge after switching off: how long to wait, and how it is proved dead."""

from __future__ import annotations

from math import inf, sqrt
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node, named
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw, Output
from wiring.parts.loads import ProcessSource
from wiring.parts.sources import Capacitor
from wiring.powerup.contact_safety import ContactSafety, volts_words
from wiring.powerup.ohms import measure
from wiring.powerup.step import Setting
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.limits import discharge_time_s

if TYPE_CHECKING:
    from wiring.powerup.survey import Survey

#: Capacitors are waited for down to this [V]: what the sheet lets stand on a circuit that has been switched off.
_GONE_V = 0.5


class Store(Struct, frozen=True):
    """One place that stores energy: `ends` are where it is proved dead, `volts` what it may be charged to [V], `farads`
    None where the plan does not tell, `wait_s` the time until it is dead, None where nobody knows. `high` is set where
    no lead may go, `inside` where no terminal shows the charge."""

    parts: tuple[str, ...]
    ends: tuple[Node, Node]
    volts: float
    farads: float | None
    wait_s: float | None
    high: bool
    inside: bool

    @property
    def names(self) -> str:
        """The parts, for a sentence."""
        return ", ".join(self.parts)


def waited_for_together(found: tuple[Store, ...]) -> list[Store]:
    """The stores with all in one that no terminal shows and that take as long: one row tells them."""
    together: dict[object, list[Store]] = {}
    for store in found:
        together.setdefault(store.wait_s if store.inside and not store.high else store.ends, []).append(store)
    return [
        some[0]
        if len(some) == 1
        else replace(
            some[0],
            parts=tuple(name for store in some for name in store.parts),
            volts=max(store.volts for store in some),
            farads=None,
        )
        for some in together.values()
    ]


def stores(survey: Survey, safety: ContactSafety) -> tuple[Store, ...]:
    """Every store of energy of a machine, one for each pair of nets that capacitors stand between."""
    nets = survey.design.nets.of
    together: dict[tuple[Node, Node], list[tuple[Part, tuple[Node, Node]]]] = {}
    for part in survey.circuit.parts.values():
        ends = _ends(survey, part)
        if ends:
            together.setdefault((nets[ends[0]], nets[ends[1]]), []).append((part, ends))
    return tuple(_store(survey, safety, together[key]) for key in sorted(together))


def _ends(survey: Survey, part: Part) -> tuple[Node, Node] | None:
    """The terminals of what a part stores, None where it stores nothing that reaches its terminals."""
    data = part.data
    if isinstance(data, Capacitor):
        return (part.name, data.terminals.get("+", "+")), (part.name, data.terminals.get("-", "-"))
    if isinstance(data, Drive):
        bus = next((e for e in part.elements if isinstance(e, Draw) and e.name == "bus"), None)
        return ((part.name, bus.a), (part.name, bus.b)) if bus else None
    output: Output | None = survey.sources.get(part.name)
    if output and (isinstance(data, ProcessSource) or getattr(data, "output_capacitance", None)):
        return (part.name, output.plus), (part.name, output.minus)
    return None


def _farads(part: Part) -> float | None:
    names = ("capacitance", "bus_capacitance", "output_capacitance")
    return next((float(farads) for name in names if (farads := getattr(part.data, name, None))), None)


def _store(survey: Survey, safety: ContactSafety, members: list[tuple[Part, tuple[Node, Node]]]) -> Store:
    parts = [part for part, _ in members]
    # At the source: what fuses part from it was never charged behind them.
    ends = min(members, key=lambda member: isinstance(member[0].data, Drive))[1]
    known = [_farads(part) for part in parts]
    farads = None if None in known else sum(amount for amount in known if amount)
    inside = all(isinstance(part.data, Drive) and part.data.supply.kind == "AC" for part in parts)
    volts = max(safety.volts_at(end) for _, pair in members for end in pair) * (sqrt(2.0) if inside else 1.0)
    return Store(
        tuple(part.name for part in parts),
        ends,
        volts,
        farads,
        _wait_s(parts, _bled_s(survey, ends, farads, volts)),
        any(map(safety.is_high, ends)),
        inside,
    )


def _wait_s(parts: list[Part], bled_s: float) -> float | None:
    """The longest time that a label gives or a bleeder takes; None where a part has neither."""
    given: list[float | None] = [getattr(part.data, "discharge", None) for part in parts]
    known = [time for time in given if time is not None]
    for_certain = bled_s < inf and not any(isinstance(part.data, ProcessSource) for part in parts)
    if for_certain:
        return max([bled_s, *known])
    return max(known) if len(known) == len(given) else None


def _bled_s(survey: Survey, ends: tuple[Node, Node], farads: float | None, volts: float) -> float:
    ohm = bleeder_ohm(survey, ends)
    return discharge_time_s(ohm, farads, volts, _GONE_V) if farads and ohm < inf else inf


def bleeder_ohm(survey: Survey, ends: tuple[Node, Node]) -> float:
    """The resistance that empties a capacitor between two points with everything switched off; infinite for none."""
    ohm = measure(survey.cold, Setting(False), [ends])[0]
    return inf if ohm is None or ohm <= 0.0 else ohm


def wait_words(found: tuple[Store, ...]) -> str:
    """How long to wait for stored energy, and for what."""
    if not found:
        return ""
    known = [store for store in found if store.wait_s is not None]
    unknown = [store for store in found if store.wait_s is None]
    told = []
    if known:
        longest = max(store.wait_s or 0.0 for store in known)
        told.append(f"wait {seconds_words(longest)} for {', '.join(store.names for store in known)}")
    if unknown:
        told.append(f"wait as its label says for {', '.join(store.names for store in unknown)}")
    return " and ".join(told)


def proved_words(found: tuple[Store, ...]) -> str:
    """Where a machine is proved dead besides its inlet."""
    kept = [store.names for store in found if store.high or store.inside]
    told = [f"{named(store.ends[0])} to {named(store.ends[1])}" for store in found if store.names not in kept]
    return ", ".join([*told, *([f"{', '.join(kept)} as the maker says"] if kept else [])])


def seconds_words(seconds: float) -> str:
    """ "5 s", "10 min": rounded up."""
    if seconds < 90:
        return f"{max(int(seconds + 0.999), 1)} s"
    return f"{int(seconds / 60 + 0.999)} min"


def store_words(store: Store) -> str:
    """What it is: voltage and capacitance."""
    farads = f", {1e3 * store.farads:.3g} mF" if store.farads else ""
    return f"up to {volts_words(store.volts)}{farads}"


def limit_v(survey: Survey) -> float | None:
    """The residual voltage that the standard lets stand [V]."""
    limit = survey.design.book.discharge_limit("enclosure")
    return None if isinstance(limit, NotTabled) else limit.voltage.value
