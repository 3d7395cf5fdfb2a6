"""What can be taken smaller or larger: supplies, transformers, protective devices, conductors, the cabinet's fan.

Each has a ladder of standard steps. A part of the library goes to its neighbours in the library; one with data of its
own keeps them and gets another rating.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from wiring.changes.edits import Edit, RemoveEntry, SetValue
from wiring.changes.library_use import KEPT, use_edits
from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.parts.base import Part, PartModel
from wiring.parts.incoming import Converter, Supply, Transformer
from wiring.parts.kinds import kind_model
from wiring.parts.library_index import packaged_entry, packaged_index
from wiring.parts.protection import Breaker, Fuse
from wiring.plan.site import Enclosure, Fan
from wiring.quantities import WireSize
from wiring.rulebooks.overcurrent import standard_ratings

#: Rated currents of supplies with data of their own [A] (common practice, no source).
SUPPLY_STEPS_A = (1.0, 2.5, 5.0, 10.0, 20.0, 40.0)
#: Rated powers of transformers [VA] (common practice, no source).
TRANSFORMER_STEPS_VA = (25.0, 40.0, 63.0, 100.0, 160.0, 250.0, 400.0, 500.0, 630.0, 1000.0, 1600.0, 2500.0)
#: Air that filter fans deliver [m3/h] (common practice, no source).
FAN_STEPS_M3_H = (20.0, 55.0, 105.0, 160.0, 230.0, 500.0)
#: The smallest devices whose own resistance is tabled [A]; what smaller ones lose could not be judged.
SMALLEST_BREAKER_A, SMALLEST_FUSE_A = 1.0, 0.5
_SECONDS_PER_HOUR = 3600.0
_MINIATURE = ("FF", "F", "M", "T", "TT")


@dataclass(frozen=True, slots=True)
class Stage:
    """One step of a ladder: its value (for the order), its words, and the edits that bring the plan to it.

    `made` is what stands in the plan then: the data of a part, with the key of its `library` part, the size of
    conductors, or the cabinet; None at the present step.
    """

    value: float
    words: str
    edits: tuple[Edit, ...] = ()
    made: PartModel | WireSize | Enclosure | None = None
    library: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """Something with a ladder. `subjects` are the ids of parts and conductors that it stands for.

    `stages` rise; `now` is the place of the present one, which has no edits. `sort` is supply, transformer, device,
    conductor or fan; `name` what the plan calls it.
    """

    sort: str
    name: str
    subjects: tuple[str, ...]
    stages: tuple[Stage, ...]
    now: int


def _item(sort: str, name: str, subjects: Sequence[str], now: Stage, others: Sequence[Stage]) -> Item:
    """The item with the present step among the others; a step of its value gives way to it."""
    rest = [stage for stage in others if abs(stage.value - now.value) > 1e-9 * max(now.value, 1.0)]
    stages = sorted([*rest, now], key=lambda stage: stage.value)
    return Item(sort, name, tuple(subjects), tuple(stages), stages.index(now))


def _number(value: float) -> str:
    return f"{value:g}"


@cache
def _library(kind: str) -> tuple[tuple[str, PartModel], ...]:
    """Every generic part of a kind as its model, by key."""
    found = []
    for key in sorted(packaged_index()):
        entry = packaged_entry(key)
        if entry is not None and entry.kind == kind:
            found.append((key, kind_model(kind).model_validate(dict(entry.data))))
    return tuple(found)


def _rated(design: Design, part: Part, sort: str, steps: Sequence[float], unit: str, key: str) -> Item | None:
    """The ladder of a part by the library where it uses it, else by the ratings given."""
    value = getattr(part.data, key)
    if value is None:
        return None
    now = Stage(value, f"{_number(value)} {unit}")
    if part.library:
        mates = [(name, model) for name, model in _library(part.kind) if _alike(part.data, model)]
        others = [
            Stage(
                float(getattr(model, key)),
                name,
                tuple(use_edits(design, part.name, name)[0]),
                _placed(model, part.data),
                name,
            )
            for name, model in mates
        ]
        now = Stage(value, part.library if design.reading.node("parts", part.name, key) is None else now.words)
        unique = {stage.value: stage for stage in reversed(others)}
        return _item(sort, part.name, (part.name,), now, list(unique.values()))
    path = ("parts", part.name, key)
    texts = [(step, f"{_number(step)} {unit}") for step in steps]
    others = [
        Stage(step, text, (SetValue(path, text),), part.data.model_copy(update={key: step})) for step, text in texts
    ]
    return _item(sort, part.name, (part.name,), now, others)


def _placed(model: PartModel, old: PartModel) -> PartModel:
    """A library part in the place of another one, with what belongs to the place."""
    return model.model_copy(update={name: getattr(old, name) for name in old.model_fields_set.intersection(KEPT)})


def _alike(old: object, new: object) -> bool:
    """Whether one part can stand in the place of another of its kind."""
    match old, new:
        case Supply(), Supply():
            inside = (new.input.low <= old.input.low and new.input.high >= old.input.high) or new.input == old.input
            return inside and new.output == old.output
        case Converter(), Converter():
            fits = new.input.low <= old.input.low and new.input.high >= old.input.high
            return fits and new.output == old.output and new.isolated == old.isolated
        case Transformer(), Transformer():
            return new.primary == old.primary and new.secondary == old.secondary
        case Fuse(), Fuse():
            return (new.class_, new.rated_voltage) == (old.class_, old.rated_voltage)
        case Breaker(), Breaker():
            wanted = (old.curve, old.standard, old.rated_voltage, old.poles)
            return (new.curve, new.standard, new.rated_voltage, new.poles) == wanted
    return False


def _part_items(design: Design) -> Iterator[Item]:
    book = design.plan.rulebook
    for part in design.parts.values():
        found = None
        match part.data:
            case Supply() | Converter():
                found = _rated(design, part, "supply", SUPPLY_STEPS_A, "A", "rated")
            case Transformer():
                found = _rated(design, part, "transformer", TRANSFORMER_STEPS_VA, "VA", "rated")
            case Breaker():
                found = _rated(design, part, "device", _ratings(book, "breaker", SMALLEST_BREAKER_A), "A", "rating")
            case Fuse():
                kind = "miniature-fuse" if part.data.class_ in _MINIATURE else "fuse"
                found = _rated(design, part, "device", _ratings(book, kind, SMALLEST_FUSE_A), "A", "rating")
        if found is not None:
            yield found


def _ratings(book: str, kind: str, smallest_a: float) -> list[float]:
    return [rating for rating in standard_ratings(book, kind) if rating >= smallest_a]


# conductors


def _range(design: Design, conductors: Sequence[Conductor]) -> tuple[float, float]:
    """The cross-sections that every terminal at the ends of these conductors takes [mm2]."""
    low, high = 0.0, float("inf")
    for conductor in conductors:
        for part, terminal in conductor.ends:
            known = design.parts[part].terminals.get(terminal) if part in design.parts else None
            if known is not None and known.sizes_mm2 is not None:
                low, high = max(low, known.sizes_mm2[0]), min(high, known.sizes_mm2[1])
    return low, high


def _sized(design: Design) -> Mapping[tuple[str | int, ...], list[Conductor]]:
    """The conductors by the place where their size is written."""
    found: dict[tuple[str | int, ...], list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        entry = design.origins.of_conductor.get(conductor.id)
        if entry is None or conductor.size is None or conductor.kind == "shield":
            continue
        core = conductor.id.removeprefix(f"{entry.id}.")
        places: list[tuple[str | int, ...]] = [
            ("cables", entry.index, "sizes", core),
            (entry.section, entry.index, "size"),
            ("wire_types", entry.type, "size"),
        ]
        place = next((p for p in places if design.reading.node(*p) is not None), None)
        if place is not None:
            path = (place[0], entry.id, *place[2:]) if place[0] != "wire_types" else place
            found.setdefault(path, []).append(conductor)
    return found


def _conductor_items(design: Design) -> Iterator[Item]:
    for path, conductors in _sized(design).items():
        size = conductors[0].size
        assert size is not None
        low, high = _range(design, conductors)
        others = [
            Stage(step.area_mm2, step.text, (SetValue(path, step.text),), step)
            for step in design.book.standard_sizes()
            if low * (1 - 1e-6) <= step.area_mm2 <= high * (1 + 1e-6)
        ]
        ids = tuple(conductor.id for conductor in conductors)
        yield _item("conductor", _words(path), ids, Stage(size.area_mm2, size.text), others)


def _words(path: Sequence[str | int]) -> str:
    if path[0] == "wire_types":
        return f"type {path[1]}"
    return f"{path[1]}.{path[3]}" if len(path) == 4 else str(path[1])


def _with_fan(enclosure: Enclosure, fan: Fan | None) -> Enclosure:
    return enclosure.model_copy(update={"fan": fan})


def _fan_item(design: Design) -> Item | None:
    enclosure = design.plan.enclosure
    if enclosure is None:
        return None
    flow = enclosure.fan.airflow * _SECONDS_PER_HOUR if enclosure.fan else 0.0
    path = ("enclosure", "fan", "airflow")
    others = [
        Stage(step, text, (SetValue(path, text),), _with_fan(enclosure, Fan.model_validate({"airflow": text})))
        for step, text in ((step, f"{_number(step)} m3/h") for step in FAN_STEPS_M3_H)
    ]
    if enclosure.fan is None:
        now = Stage(0.0, "no fan")
    else:
        now = Stage(flow, f"{flow:.4g} m3/h")
        others.append(Stage(0.0, "no fan", (RemoveEntry(("enclosure", "fan")),), _with_fan(enclosure, None)))
    return _item("fan", "cabinet fan", ("enclosure",), now, others)


def items(design: Design) -> tuple[Item, ...]:
    """All that has a ladder: supplies, transformers, devices, conductors, the fan; in the order of the plan."""
    order = {"supply": 0, "transformer": 1, "device": 2, "conductor": 3, "fan": 4}
    fan = _fan_item(design)
    found = [*_part_items(design), *_conductor_items(design), *([fan] if fan else [])]
    return tuple(sorted(found, key=lambda item: order[item.sort]))
