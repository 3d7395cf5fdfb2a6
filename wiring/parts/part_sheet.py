"""What a person must know of a kind of part or a library part to write it: terminals, keys, an example that reads."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import yaml
from msgspec import Struct

from wiring.parts.base import Part, PartModel, build_part
from wiring.parts.elements import (
    Coil,
    Draw,
    Element,
    Feed,
    Function,
    Input,
    Link,
    Output,
    Pole,
    Rectifying,
    Resistance,
    Switch,
)
from wiring.parts.key_texts import example_of, key_example, key_text
from wiring.parts.kinds import kind_model
from wiring.parts.library_index import Entry
from wiring.plan.forms import form_words, model_schema
from wiring.plan.model import Key
from wiring.plan.source import Place
from wiring.quantities import show

#: What stands at both ends of an element is said by what its terminals are for, where that says more.
_TELLING = (Function.INPUT, Function.OUTPUT, Function.MOTOR, Function.SHIELD, Function.COMMON)


class Row(Struct, frozen=True):
    """One line of the picture of a part: two terminals with what is between them, or one terminal with what it is."""

    left: str
    what: str
    right: str = ""


class KeyNote(Struct, frozen=True):
    """A key for people: what may stand there, what it means, what holds where it is left out ("" where it must be
    given)."""

    name: str
    form: str
    text: str
    default: str

    @property
    def required(self) -> bool:
        """Whether no part of the kind can be read without it."""
        return not self.default


class Sheet(Struct, frozen=True):
    """A kind of part: what it is, its picture, the keys of its own, and an example as it stands in a plan."""

    kind: str
    about: str
    rows: tuple[Row, ...]
    keys: tuple[KeyNote, ...]
    example: str


def about_kind(kind: str) -> str:
    """What a kind is, in a sentence. Raises KeyError for a kind that does not exist."""
    return " ".join((kind_model(kind).__doc__ or "").split("\n\n")[0].split())


def kind_sheet(kind: str) -> Sheet:
    """Everything about a kind. Raises KeyError for a kind that does not exist."""
    model = kind_model(kind)
    body = example_of(kind)
    data = {key: value for key, value in yaml.load(body, yaml.BaseLoader).items() if key != "kind"}
    return Sheet(
        kind, about_kind(kind), picture(_built(model, data)), tuple(key_notes(kind)), f"{_name(model)}: {body}"
    )


def entry_sheet(entry: Entry) -> Sheet:
    """The same of a library part; its example uses it."""
    model = kind_model(entry.kind)
    rows = picture(_built(model, dict(entry.data)))
    example = f"{_name(model)}: {{use: {entry.key}}}"
    return Sheet(entry.kind, about_kind(entry.kind), rows, tuple(key_notes(entry.kind)), example)


def _name(model: type[PartModel]) -> str:
    return f"{model.letter or 'U'}1"


def _built(model: type[PartModel], data: Mapping[str, Any]) -> Part:
    return build_part(_name(model), model.model_validate(data), Place("", 1, 1))


def common_notes() -> list[KeyNote]:
    """The keys that every part may have."""
    return [note for note in _notes("metalwork") if note.name in PartModel.model_fields]


def key_notes(kind: str) -> list[KeyNote]:
    """The keys of its own that a part of a kind may have, those that must be given first."""
    own = [note for note in _notes(kind) if note.name not in PartModel.model_fields]
    return sorted(own, key=lambda note: not note.required)


def form_of(kind: str, key: str) -> str:
    """How a value of a key of a kind is written, "" for a key that it does not have."""
    return next((note.form for note in _notes(kind) if note.name == key), "")


def _notes(kind: str) -> Iterator[KeyNote]:
    model = kind_model(kind)
    properties, definitions = model_schema(model)
    for name, field in model.model_fields.items():
        key = field.alias or name
        example = key_example(kind, key)
        form = f"such as {example}" if example else form_words(properties[key], definitions)
        yield KeyNote(key, form, key_text(kind, key), _default(field))


def _default(field: Key) -> str:
    """What holds where the key is left out, "" where it must be given."""
    if field.is_required():
        return ""
    value = field.get_default()
    dimension = next((one.dimension for one in field.metadata if getattr(one, "dimension", "")), "")
    if isinstance(value, float) and dimension:
        return show(value, dimension)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str | int | float) and value != "":
        return f"{value:g}" if isinstance(value, float) else str(value)
    if isinstance(value, list | tuple) and value:
        return f"[{', '.join(map(str, value))}]"
    return "not known" if value is None else "none"


def picture(part: Part) -> tuple[Row, ...]:
    """The part as a box: a line for whatever lies between two of its terminals, then one for each terminal left."""
    rows: list[Row] = []
    seen: set[str] = set()
    pairs: set[tuple[str, str]] = set()
    for element in part.elements:
        ends = _ends(element)
        if not ends or ends in pairs or not set(ends) <= set(part.terminals):
            continue  # what reaches a point inside the part is told by the function of its terminal
        pairs.add(ends)
        seen |= set(ends)
        rows.append(Row(ends[0], _what(part, element, ends), ends[1]))
    rest = (terminal for name, terminal in part.terminals.items() if name not in seen)
    return (*rows, *(Row(terminal.name, str(terminal.function)) for terminal in rest))


def _ends(element: Element) -> tuple[str, str] | None:
    match element:
        case Link() | Resistance() | Switch() | Pole() | Coil() | Input() | Draw() | Rectifying():
            return element.a, element.b
        case Output():
            return element.plus, element.minus
        case _:
            return None


def _what(part: Part, element: Element, ends: tuple[str, str]) -> str:
    functions = {part.terminals[end].function for end in ends if end in part.terminals}
    if len(functions) == 1 and isinstance(element, Link | Resistance) and (only := functions.pop()) in _TELLING:
        return str(only)
    match element:
        case Switch():
            return _contact(element)
        case Pole():
            return "pole"
        case Coil():
            return f"coil {element.kind}".rstrip()
        case Output():
            return f"gives {show(element.volts, 'voltage')} {element.kind}"
        case Input() | Draw():
            return f"is fed, {element.kind}"
        case Rectifying():
            return "diode, anode first"
        case Link() if element.ohm == 0.0:
            return "joined"
        case Link():
            return "passes through"
        case Resistance() if element.load:
            return "load"
        case Feed():
            return "comes in"
        case _:
            return "resistance"


def _contact(switch: Switch) -> str:
    if switch.actuator.startswith("output"):
        return "output, switched by a program"
    if switch.solid_state:
        return "output, on at rest" if switch.closed_at_rest else "semiconductor, off at rest"
    kind = "break" if switch.closed_at_rest else "make"
    extras = [
        word for word, has in (("mirror", switch.mirror), ("direct", switch.direct), ("late", switch.late)) if has
    ]
    return " ".join([*extras, kind, "contact"])
