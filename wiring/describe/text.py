"""A draft as the text of a plan: sections in the order in which a machine is read, one part or wire a line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from wiring.describe.draft import CableEntry, Draft, WireEntry
from wiring.plan.edits import scalar
from wiring.quantities import show
from wiring.requirement import Quantity

#: A reason stands behind its line where both fit, else above it.
_WIDTH = 150
_WORDS = ("on", "off", "yes", "no")
HEADINGS = {
    "mains": "mains and power",
    "branches": "branches of the mains",
    "rail": "power of the axes",
    "control": "24 V",
    "stop": "stop circuit",
    "switched": "process, switched by the controller",
    "signals": "signals at 24 V",
    "steps": "step, direction and enable at 5 V",
    "PE": "protective conductors, each at a point of its own",
}


_PERCENT = re.compile(r"[0-9.]+ %(/K)?")
#: The order in which the sections of parts stand, as a machine is read.
SECTIONS = (
    "mains side",
    "protection of the branches",
    "supplies",
    "fuses of the drives",
    "fuses of the controls",
    "axes",
    "process",
    "stop circuit",
    "operators and lamps",
    "signals",
    "terminals",
    "earth and metal",
)


def shown(value: float, dimension: str) -> str:
    """A quantity with three figures, as a person would write it."""
    number, unit = show(value, dimension).split(" ", 1)
    return f"{float(f'{float(number):.3g}'):g} {unit}"


def value_text(value: object) -> str:
    """Plain data as YAML in brackets; words that other readers take for true or false stand in quotes."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{value_text(key)}: {value_text(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(value_text, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    text = str(value)
    if _PERCENT.fullmatch(text):
        return text
    return f'"{text}"' if text.lower() in _WORDS or not text else scalar(text)


def reasoned(line: str, why: str, hanging: str = "") -> Iterator[str]:
    """A line with its reason as a comment; what it goes on with hangs so far in, or five places."""
    if why and len(line) + len(why) + 4 <= _WIDTH:
        yield f"{line}  # {why}"
        return
    indent = " " * (len(line) - len(line.lstrip()))
    if why:
        yield from (f"{indent}# {piece}" for piece in _folded(why, _WIDTH - len(indent) - 2))
    yield from broken(line, hanging or f"{indent}     ")


def broken(line: str, indent: str) -> Iterator[str]:
    """A mapping in brackets over as many lines as it takes, broken behind commas."""
    while len(line) > _WIDTH:
        cut = line.rfind(", ", 0, _WIDTH) + 1
        if cut <= len(indent):
            break
        yield line[:cut]
        line = indent + line[cut + 1 :]
    yield line


def _folded(text: str, width: int) -> list[str]:
    from textwrap import wrap

    return wrap(text, width, break_long_words=False)


def block(name: str, entries: Mapping[str, object], why: Mapping[str, str] | None = None) -> Iterator[str]:
    """A section with an entry a line, each with its reason where there is one."""
    yield f"{name}:"
    wide = max((len(key) for key in entries), default=0)
    for key, value in entries.items():
        line = f"  {key}:{' ' * (wide - len(key) + 1)}{value_text(value)}"
        yield from reasoned(line, (why or {}).get(key, ""), " " * (wide + 5))
    yield ""


def plan_text(head: Iterable[str], draft: Draft) -> str:
    """The whole plan."""
    lines = [*head, *block("states", draft.states), *block("stops", draft.stops), *_parts(draft)]
    lines += [
        *block("wire_types", draft.types, draft.chosen.type_why),
        *block("routes", draft.routes),
        *_wires(draft),
        *_cables(draft),
    ]
    return "\n".join([*lines, "accepted: []"]) + "\n"


def _parts(draft: Draft) -> Iterator[str]:
    yield "parts:"
    for section in SECTIONS:
        entries = [entry for entry in draft.parts if entry.section == section]
        if entries:
            yield f"  # {section}"
        for entry in entries:
            yield from reasoned(f"  {entry.name}: {value_text(entry.data)}", entry.why)
    yield ""


def _wires(draft: Draft) -> Iterator[str]:
    yield "wires:"
    for name, wires in groupby(draft.numbered(), key=lambda one: one[0]):
        yield f"  # {HEADINGS[name]}"
        for _, number, wire in wires:
            own = draft.chosen.reason(number, Quantity.AREA) if _own_size(draft, number, wire) else ""
            why = "; ".join(filter(None, (wire.why, own)))
            yield from reasoned(f"  - {value_text(_wire(draft, number, wire))}", why)
    yield ""


def _own_size(draft: Draft, number: str, wire: WireEntry) -> str:
    """The size of a wire that leaves its type, "" for any other."""
    own = draft.chosen.steps.get((Quantity.AREA, number), "")
    return own if own != draft.types[wire.type]["size"] else ""


def _wire(draft: Draft, number: str, wire: WireEntry) -> dict[str, object]:
    ends = [draft.place_of(end) for end in wire.ends]
    joined: dict[str, object] = {"from": ends[0], "to": ends[1]} if len(ends) == 2 else {"through": ends}
    own = _own_size(draft, number, wire)
    size = {"size": own} if own else {}
    return {"wire": number, **joined, "type": wire.type, **size, **wire.more, "title": wire.title}


def _cables(draft: Draft) -> Iterator[str]:
    yield "cables:"
    for number, cable in enumerate(draft.cables, 1):
        entry = _cable(draft, f"C{number}", cable)
        why = draft.chosen.reason(f"C{number}", Quantity.AREA) if "size" in entry else ""
        yield from reasoned(f"  - {value_text(entry)}", why)
    yield ""


def _cable(draft: Draft, name: str, cable: CableEntry) -> dict[str, object]:
    own = draft.chosen.steps.get((Quantity.AREA, name))
    found: dict[str, object] = {"cable": name, "title": cable.title, "type": cable.type}
    found["cores"] = str(len(cable.join))
    if own is not None and own != draft.types[cable.type]["size"]:
        found["size"] = own
    found |= {"length": cable.length, "route": cable.route}
    if cable.flexing:
        found["flexing"] = True
    found["join"] = {core: [draft.place_of(end) for end in ends] for core, ends in cable.join.items()}
    if cable.shield:
        found["shield"] = {"ends": [draft.place_of(end) for end in cable.shield], "method": "clamp"}
    return found
