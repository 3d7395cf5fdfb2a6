"""The ladders of parts and of the cabinet's fan.

A part of the library goes to its neighbours there; one with data of its own keeps them and gets another rating.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache

from msgspec.structs import replace

from wiring.design.design import Design
from wiring.design.device.devices import device_steps
from wiring.design.enclosure.cabinet_temperature import fan_m3_h, fan_parts
from wiring.design.switching.contacts import contact_steps
from wiring.parts.base import Part, PartModel
from wiring.parts.incoming import Transformer
from wiring.parts.kinds import kind_model
from wiring.parts.library_index import Entry, load_library, packaged_entry, packaged_index
from wiring.parts.passive import EarthBar, Terminals
from wiring.parts.price import Price, cheapest
from wiring.parts.protection import Breaker, Disconnector, Fuse, ResidualCurrentDevice
from wiring.parts.sources import Converter, Supply
from wiring.parts.switching import Contactor
from wiring.plan.edits import Edit, RemoveEntry, SetValue
from wiring.plan.records import WireSizeRange
from wiring.requirement import CABINET, Quantity
from wiring.rulebooks.steps import CLAMPS, FAN_M3_H, RESIDUAL_A, SUPPLY_A, TRANSFORMER_VA
from wiring.sizing.ladder import Ladder, Sort, Step, ladder_of
from wiring.sizing.library_use import KEPT, use_edits


def part_ladders(design: Design) -> Iterator[Ladder]:
    """Every part that has one, and the fan; parts that are marked as bought stay as they are."""
    for part in design.parts.values():
        if not part.data.bought:
            found = _of_part(design, part)
            if found is not None:
                yield found
    yield from _fan(design)


def _of_part(design: Design, part: Part) -> Ladder | None:
    match part.data:
        case Supply() | Converter():
            return _rated(design, part, Sort.SUPPLY, SUPPLY_A, "A", "rated")
        case Transformer():
            return _rated(design, part, Sort.TRANSFORMER, TRANSFORMER_VA, "VA", "rated")
        case Breaker() | Fuse():
            return _rated(design, part, Sort.DEVICE, device_steps(part, design.plan.rulebook), "A", "rating")
        case ResidualCurrentDevice(rating=None):
            return _rated(design, part, Sort.DEVICE, RESIDUAL_A, "A", "rated")
        case Contactor() | Disconnector():
            return _rated(design, part, Sort.CONTACT, contact_steps(part), "A", "rated")
        case Terminals() | EarthBar():
            return _clamps(part)
    return None


def _number(value: float) -> str:
    return f"{value:.10g}"


def _rated(design: Design, part: Part, sort: Sort, steps: Sequence[float], unit: str, key: str) -> Ladder | None:
    """The ladder of a part by the library where it uses it, else by the ratings given."""
    value = getattr(part.data, key)
    if value is None:
        return None
    own = design.reading.node("parts", part.name, key) is not None
    words = part.library if part.library and not own else f"{_number(value)} {unit}"
    now = Step(value, value, words, part.data, part.library, price=Price.read(part.data.price))
    others = _of_library(design, part, key) if part.library else _own(part, steps, unit, key)
    return ladder_of(sort, Quantity.RATING, part.name, now, others)


def _own(part: Part, steps: Sequence[float], unit: str, key: str) -> Iterator[Step]:
    for step in steps:
        text = f"{_number(step)} {unit}"
        made = part.data.model_copy(update={key: step, "price": "", "order": ""})
        yield Step(step, step, text, made, edits=(SetValue(("parts", part.name, key), text),))


def _of_library(design: Design, part: Part, key: str) -> Iterator[Step]:
    """Parts of the library that can stand in its place, the cheapest or else the first of each rating."""
    found: dict[float, list[Step]] = {}
    for name, model in library_models(design, part.kind):
        value = getattr(model, key)
        if value is None or not _alike(part.data, model):
            continue
        made = standing_in(part.data, model)
        step = Step(
            value, value, name, made, name, tuple(use_edits(design, part.name, name)[0]), Price.read(model.price)
        )
        found.setdefault(value, []).append(step)
    yield from (one for steps in found.values() if (one := cheapest(steps, lambda step: step.price)))


def standing_in(old: PartModel, new: PartModel) -> PartModel:
    """A part in the place of another one, with what belongs to that place."""
    return new.model_copy(update={key: getattr(old, key) for key in old.model_fields_set & set(KEPT)})


def library_models(design: Design, kind: str) -> Iterator[tuple[str, PartModel]]:
    """The parts of a kind in the user's own library and in the generic one, by their keys, as the plan prices them."""
    own, prices = load_library(design.reading, []).own if design.plan.library else {}, design.plan.prices
    models = [(key, _model(entry)) for key, entry in own.items() if entry.kind == kind]
    for key, model in [*models, *(one for one in _packaged(kind) if one[0] not in own)]:
        yield key, model.model_copy(update={"price": prices[key]}) if key in prices else model


@cache
def _packaged(kind: str) -> tuple[tuple[str, PartModel], ...]:
    """Every generic part of a kind as its model, by key."""
    entries = ((key, packaged_entry(key)) for key in sorted(packaged_index()))
    return tuple((key, _model(entry)) for key, entry in entries if entry is not None and entry.kind == kind)


def _model(entry: Entry) -> PartModel:
    return kind_model(entry.kind).model_validate(dict(entry.data))


def _alike(old: PartModel, new: PartModel) -> bool:
    """Whether one part can stand in the place of another of its kind."""
    match old, new:
        case (Supply(), Supply()) | (Converter(), Converter()):
            assert isinstance(old, Supply | Converter)
            assert isinstance(new, Supply | Converter)
            inside = (new.input.low <= old.input.low and new.input.high >= old.input.high) or new.input == old.input
            return inside and new.output == old.output and getattr(new, "isolated", 0) == getattr(old, "isolated", 0)
    keys = _ALIKE.get(type(old), ())
    return bool(keys) and all(getattr(new, key) == getattr(old, key) for key in keys)


#: What a part must have in common with another one in whose place it stands.
_ALIKE: Mapping[type[PartModel], tuple[str, ...]] = {
    Transformer: ("primary", "secondary"),
    Fuse: ("class_", "rated_voltage"),
    Breaker: ("curve", "standard", "rated_voltage", "poles"),
    ResidualCurrentDevice: ("poles", "residual", "type"),
    Contactor: ("coil", "poles", "contacts"),
    Disconnector: ("poles",),
}


def _clamps(part: Part) -> Ladder | None:
    """A row of terminals or an earth bar by the conductors that it takes; by groups of terminals it is left alone."""
    sizes = part.data.sizes
    if not isinstance(sizes, WireSizeRange) or part.library or sizes.low.system not in CLAMPS:
        return None
    others = (_clamp(part, WireSizeRange.read(text), text) for text in CLAMPS[sizes.low.system])
    now = replace(_clamp(part, sizes, ""), words=f"{sizes.low.label}..{sizes.high.text}", edits=())
    return ladder_of(Sort.TERMINALS, Quantity.CLAMP, part.name, now, others)


def _clamp(part: Part, sizes: WireSizeRange, text: str) -> Step:
    edit = SetValue(("parts", part.name, "sizes"), text)
    made = part.data.model_copy(update={"sizes": sizes})
    return Step(sizes.low.area_mm2, sizes.high.area_mm2, text, made, edits=(edit,))


def _fan(design: Design) -> Iterator[Ladder]:
    """The fan of the cabinet: its own entry, or the one part that is a fan there.

    Without a fan an empty place counts as one, but not beside parts that are fans: then those move the air.
    """
    enclosure = design.plan.enclosure
    parts = fan_parts(design.machine)
    if enclosure is None or (enclosure.fan is None and len(parts) > 1):
        return
    flow = fan_m3_h(design.machine)
    now = Step(flow, flow, f"{flow:.3g} m3/h" if flow else "no fan")
    by_part = enclosure.fan is None and len(parts) == 1
    path = ("parts", parts[0].name, "airflow") if by_part else ("enclosure", "fan", "airflow")
    others = [_air(step, (SetValue(path, f"{_number(step)} m3/h"),)) for step in FAN_M3_H]
    if enclosure.fan is not None and not parts:
        others.append(replace(_air(0.0, (RemoveEntry(("enclosure", "fan")),)), words="no fan"))
    yield ladder_of(Sort.FAN, Quantity.AIRFLOW, "cabinet fan", now, others, (CABINET, *(one.name for one in parts)))


def _air(flow: float, edits: tuple[Edit, ...]) -> Step:
    return Step(flow, flow, f"{_number(flow)} m3/h", edits=edits)
