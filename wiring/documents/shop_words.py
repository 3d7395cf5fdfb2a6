"""What a shop asks of a part, in its words: poles, rating, curve, breaking capacity, contacts, colour, size."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, get_args

from wiring.drawing.notes import rated_words, volts_words
from wiring.parts.base import Part
from wiring.parts.contacts import Contacts, split_pair
from wiring.parts.passive import Terminals, bridge_points
from wiring.parts.protection import MainPoles
from wiring.parts.settings import SETTINGS
from wiring.plan.model import Key, Model
from wiring.plan.ratings import CurrentRange, PhaseCurrent, Rated, Voltage, VoltageRange
from wiring.plan.records import Box, WireSizeRange
from wiring.quantities import show

#: How each key is said to a shop, in the order in which it is said.
_SAID = {
    "poles": "{} poles",
    "phases": "{} phases",
    "points_": "{} points",
    "bridged": "bridges of {}",
    "earth_points": "{} earth points",
    "lines": "{} lines",
    "class_": "{}",
    "time_delay": "time delay",
    "curve": "curve {}",
    "type": "type {}",
    "rating": "{}",
    "rated": "{}",
    "range": "dial {}",
    "setting": "set to {}",
    "trip_class": "trip class {}",
    "residual": "{} residual",
    "category": "{}",
    "dc_rated": "{} at DC",
    "coil": "coil {}",
    "suppressor": "suppressor {}",
    "interlock": "mechanical interlock",
    "capacitance": "{}",
    "capacity": "{}",
    "primary": "primary {}",
    "secondary": "secondary {}",
    "supply": "supply {}",
    "logic": "logic supply {}",
    "control": "control {}",
    "voltage": "{}",
    "input": "input {}",
    "output": "output {}",
    "input_voltage": "inputs {}",
    "output_voltage": "output {}",
    "phase_current": "{}",
    "rated_power": "{}",
    "rated_current": "{}",
    "peak_current": "peak {}",
    "output_current": "output {}",
    "holding_torque": "{}",
    "rated_torque": "{}",
    "resistance": "{}",
    "power": "{}",
    "airflow": "{}",
    "rated_voltage": "rated {}",
    "dc_voltage": "breaks up to {}",
    "breaking": "breaking capacity {}",
    "making": "making capacity {}",
    "short_circuit_rating": "short-circuit rating {}",
    "standard": "{} protector",
    "protection_class": "class {}",
    "contacts": "{}",
    "contact_rating": "contacts {}",
    "forced": "linked contacts",
    "channels": "{} channels",
    "inputs": "inputs: {}",
    "outputs": "outputs: {}",
    "auxiliary": "{} break contacts",
    "delayed": "{} delayed outputs",
    "sto": "{} safe torque off inputs",
    "encoder": "with encoder",
    "lockable": "lockable",
    "switch": "with switch",
    "fuse": "fuse {}",
    "lamp": "lamp {}",
    "colour": "{}",
    "action": "{}",
    "positions": "{} positions",
    "locking": "with guard locking",
    "opens_at": "opens at {}",
    "switches_at": "switches at {}",
    "on_delay": "on delay {}",
    "off_delay": "off delay {}",
    "sizes": "takes {}",
    "size": "outline {}",
}
#: Keys that say where a part stands or what it does there; another value of them is the same thing to buy.
_OF_THE_PLACE = frozenset(
    {
        "title", "at", "note", "sheet", "terminals", "hazardous", "mount", "wall", "position", "excludes",
        "bolted_to", "functions", "purpose", "ends", "work", "load_inertia", "vertical", "gravity_torque",
        "self_locking", "run_down", "continuous", "run_on", "holds", "protects", "guards", "tracks", "heat", "distance",
        "bought",
    }
)  # fmt: skip
_NO = "no"
#: Keys with a column of their own.
_ORDERED = frozenset({"order", "price", "supplier"})


def bought_keys(part: Part) -> dict[str, str]:
    """What the plan says of the thing to buy, by key in words; markings are counted, and no key is of its place."""
    fields = type(part.data).model_fields
    data = {
        key: value_words(getattr(part.data, key), field) for key, field in fields.items() if key not in _OF_THE_PLACE
    }
    if isinstance(part.data, Terminals):
        lengths = sorted(len(bridge_points(bridge)) for bridge in part.data.bridged)
        data["bridged"] = " + ".join(map(str, lengths))
    if getattr(part.data, "standard", "") == "branch":
        del data["standard"]
    if isinstance(part.data, MainPoles):
        data.pop("resistance", None)
        if data.get("range"):
            data.pop("setting", None)
    return {key: words for key, words in data.items() if words}


def thing(part: Part) -> tuple[object, ...]:
    """What is bought, whatever it costs and is set to: equal for parts that can stand for each other."""
    no_matter = _ORDERED if part.data.is_motor else _ORDERED | SETTINGS
    return (part.kind, part.library, *sorted(pair for pair in bought_keys(part).items() if pair[0] not in no_matter))


def shop_words(part: Part) -> str:
    """The kind of the part, then everything that a shop asks and the plan says."""
    keys = bought_keys(part)
    kind = f"{part.kind.replace('-', ' ')} ({part.library})" if part.library else part.kind.replace("-", " ")
    said = [_said(key, keys[key]) for key in _SAID if keys.get(key, _NO) != _NO]
    return ", ".join([kind, *said])


def differences(rows: Sequence[Mapping[str, str]]) -> list[str]:
    """For each of several things what sets it apart from the others, by its keys; "" where it stands alone."""
    keys = [key for key in dict.fromkeys(key for row in rows for key in row) if len({row.get(key) for row in rows}) > 1]
    keys = [key for key in keys if key not in _ORDERED]
    return [", ".join(f"{key_name(key)} {row.get(key, 'not given')}" for key in keys) for row in rows]


def key_name(key: str) -> str:
    """A key as it is said: "rated voltage"."""
    return key.strip("_").replace("_", " ")


def _said(key: str, words: str) -> str:
    text = _SAID[key].format(words)
    return text.removesuffix("s") if words == "1" else text


def value_words(value: Any, field: Key | None = None) -> str:
    """A value of a part in words, "" for what is not given or none."""
    if isinstance(value, bool):
        return "yes" if value else _NO
    if value in (None, "", (), [], {}):
        return ""
    if isinstance(value, float):
        dimension = _dimension(field) if field else ""
        return show(value, dimension) if dimension else f"{value:g}"
    if isinstance(value, Model):
        inner = type(value).model_fields
        pairs = ((key, value_words(getattr(value, key), one)) for key, one in inner.items())
        return " ".join(words for key, words in pairs if words not in ("", _NO) and key not in ("between", "signals"))
    if isinstance(value, Mapping):
        return _counted(_changeovers(value) if field and field.annotation == Contacts else value.values())
    if isinstance(value, list | tuple):
        return str(len(value))
    return _written(value)


def _changeovers(contacts: Mapping[str, str]) -> list[str]:
    """The contacts as a shop counts them: a make and a break contact that share a terminal are one changeover."""
    by_common: dict[str, list[str]] = {}
    for pair, word in contacts.items():
        by_common.setdefault(split_pair(pair)[0], []).append(word)
    found: list[str] = []
    for words in by_common.values():
        found += ["changeover"] if sorted(words) == ["NC", "NO"] else words
    return found


def _counted(values: Iterable[Any]) -> str:
    """How many of each: "1 NC + 2 NO"; conductor sizes each once; what is no word is counted alone."""
    if sizes := list(dict.fromkeys(_written(value) for value in values if isinstance(value, WireSizeRange))):
        return " and ".join(sizes)
    words = Counter(value if isinstance(value, str) else "" for value in values)
    return " + ".join(f"{count} {word}".strip() for word, count in sorted(words.items()))


def _written(value: Any) -> str:
    match value:
        case Voltage() | VoltageRange():
            return volts_words(value)
        case Rated():
            return rated_words(value)
        case PhaseCurrent():
            return f"{show(value.amps, 'current')} {value.convention}"
        case CurrentRange():
            return f"{show(value.low, 'current')} to {show(value.high, 'current')}"
        case WireSizeRange():
            return value.low.text if value.low == value.high else f"{value.low.label}..{value.high.text}"
        case Box():
            return " x ".join(f"{length * 1000:g}" for length in (value.width, value.height, value.depth)) + " mm"
    return str(value)


def _dimension(field: Key) -> str:
    """The dimension of a quantity, "" of a bare number."""
    found = [*field.metadata, *(one for member in get_args(field.annotation) for one in get_args(member))]
    return next((one.dimension for one in found if getattr(one, "dimension", "")), "")
