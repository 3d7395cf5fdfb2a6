"""A part that becomes another one of the library: what it keeps is what says where and for what it is used."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.parts.library_index import Entry, load_library
from wiring.parts.library_search import nearest_parts
from wiring.plan.edits import Edit, RemoveEntry, RenameKey, SetValue, scalar
from wiring.plan.fault import Fault, Refusal
from wiring.plan.source import Node

#: Keys that belong to the place of a part in this machine and not to the part that is bought.
KEPT = (
    "title",
    "at",
    "mount",
    "wall",
    "position",
    "terminals",
    "sheet",
    "note",
    "hazardous",
    "work",
    "load_inertia",
    "vertical",
    "self_locking",
    "holds",
    "purpose",
    "ends",
    "poles",
    "colour",
)


def library_entry(design: Design, key: str) -> Entry:
    """The library part of that key, the user's own first. Raises Refusal with the nearest keys."""
    faults: list[Fault] = []
    library = load_library(design.reading, faults)
    found = library.find(key)
    if found is None:
        raise Refusal(
            f"there is no library part {key[:60]!r}",
            "a key of the generic library, or of a folder of your own named under `library`",
            "",
            nearest_parts(library, key),
            complete=True,
        )
    return found


def flow(data: object) -> str:
    """Plain data of a plan as YAML in brackets."""
    if isinstance(data, dict):
        return "{" + ", ".join(f"{scalar(str(key))}: {flow(value)}" for key, value in data.items()) + "}"
    if isinstance(data, list):
        return "[" + ", ".join(map(flow, data)) + "]"
    return scalar(str(data)) if data is not None else '""'


def entry_using(node: Node, key: str, title: str | None = None) -> str:
    """The entry of a part, written anew for a further one as the library part of that key, with what it keeps."""
    data: dict[str, object] = {"use": key}
    data |= {name: value for name, value in node.data.items() if name in KEPT and name != "position"}
    if title is not None:
        data["title"] = title
    return flow(data)


def use_edits(design: Design, part: str, key: str) -> tuple[list[Edit], list[str]]:
    """Edits that make a part the library part of that key, and the names of the data that it gives up.

    Raises Refusal where the library has no such part, or one of another kind.
    """
    entry, old = library_entry(design, key), design.parts[part]
    if entry.kind != old.kind:
        raise Refusal(
            f"{part} is a {old.kind}, and {key} is a {entry.kind}", f"a {old.kind} of the library", complete=True
        )
    node = design.reading.node("parts", part)
    assert node is not None
    edits: list[Edit] = []
    if "use" in node.data:
        edits.append(SetValue(("parts", part, "use"), scalar(key)))
    else:
        edits += [SetValue(("parts", part, "kind"), scalar(key)), RenameKey(("parts", part, "kind"), "use")]
    gone = [name for name in node.data if name not in (*KEPT, "kind", "use")]
    edits += [RemoveEntry(("parts", part, name)) for name in gone]
    return edits, gone
