"""Kinds and library parts by what a person calls them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from msgspec import Struct

from wiring.parts.kinds import KIND_NAMES
from wiring.parts.library_index import Library
from wiring.parts.part_sheet import about_kind
from wiring.plan.fault import nearest

#: What the trade, or a beginner, calls a kind.
ALSO_CALLED = {
    "appliance-inlet": "inlet",
    "plug": "inlet",
    "cord": "inlet",
    "psu": "supply",
    "power-supply": "supply",
    "smps": "supply",
    "dc-dc": "converter",
    "line-filter": "filter",
    "main-switch": "disconnector",
    "isolating-switch": "disconnector",
    "mcb": "breaker",
    "circuit-breaker": "breaker",
    "overload-relay": "motor-protector",
    "rccb": "rcd",
    "rcbo": "rcd",
    "gfci": "rcd",
    "spd": "surge-arrester",
    "contact-block": "contactor",
    "estop": "emergency-stop",
    "e-stop": "emergency-stop",
    "mushroom": "emergency-stop",
    "button": "push-button",
    "switch": "selector",
    "endstop": "limit-switch",
    "pedal": "foot-switch",
    "interlock": "guard-switch",
    "door-switch": "guard-switch",
    "stepper-driver": "stepper-drive",
    "driver": "stepper-drive",
    "servo": "servo-drive",
    "vfd": "inverter",
    "frequency-drive": "inverter",
    "stepper": "stepper-motor",
    "spindle": "motor",
    "outlet": "socket-outlet",
    "receptacle": "socket-outlet",
    "espe": "light-curtain",
    "light-grid": "light-curtain",
    "heated-bed": "heater",
    "hot-wire": "heater",
    "solenoid": "valve",
    "plc": "controller",
    "breakout-board": "controller",
    "proximity": "sensor",
    "proximity-switch": "sensor",
    "terminal-block": "terminals",
    "terminal-strip": "terminals",
    "ground-bar": "earth-bar",
    "pe-bar": "earth-bar",
    "frame": "metalwork",
    "door": "metalwork",
    "enclosure": "metalwork",
    "snubber": "suppressor",
    "flyback-diode": "suppressor",
    "ssr": "solid-state-relay",
    "pid": "temperature-controller",
    "optocoupler": "isolator",
}


class Hit(Struct, frozen=True):
    """Something that a word finds: its name in a plan, a sentence on it, and whether it is a kind."""

    name: str
    about: str
    is_kind: bool


def everything(library: Library) -> Iterator[Hit]:
    """Every kind, then every library part, each in the order of its names."""
    for kind in sorted(KIND_NAMES):
        yield Hit(kind, about_kind(kind), True)
    for key in library.names():
        entry = library.find(key)
        if entry is not None:
            title = str(entry.data.get("title", entry.kind))
            yield Hit(key, title, False)


def search(library: Library, word: str) -> list[Hit]:
    """What a word finds: names first that hold it, then what else its words stand in, and what it is also called."""
    wanted = _pieces(word)
    called = {kind for name, kind in ALSO_CALLED.items() if wanted and wanted <= _pieces(name)}
    hits = list(everything(library))
    first = [hit for hit in hits if word.casefold() in hit.name or hit.name in called]
    rest = [hit for hit in hits if hit not in first and wanted and wanted <= _pieces(f"{hit.name} {hit.about}")]
    return first + rest


def _pieces(text: str) -> set[str]:
    """The words of a text, without the s of a plural."""
    return {piece.removesuffix("s") for piece in re.findall(r"[^\W_]+", text.casefold())}


def nearest_kinds(word: str) -> tuple[str, ...]:
    """The kinds that a word may mean: what it is also called, then those spelled like it."""
    folded = re.sub(r"[\s_]+", "-", word.casefold())
    meant = ALSO_CALLED.get(folded)
    spelled = nearest(folded, (*KIND_NAMES, *ALSO_CALLED))
    found: Iterable[str] = [*([meant] if meant else []), *(ALSO_CALLED.get(name, name) for name in spelled)]
    return tuple(dict.fromkeys(found))[:3]


def nearest_parts(library: Library, word: str) -> tuple[str, ...]:
    """The library parts that a key may mean: those spelled like it, else those that share most of its words."""
    names = library.names()
    if spelled := nearest(word, names):
        return spelled
    wanted = _pieces(word)
    shared = {name: len(wanted & _pieces(name)) for name in names}
    return tuple(sorted((name for name in names if shared[name]), key=lambda name: (-shared[name], name))[:3])
