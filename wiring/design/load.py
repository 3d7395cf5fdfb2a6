"""From a plan file to a design: read, resolve the parts, join them; every fault of every step at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from wiring.circuit.build import build_circuit, terminal_faults
from wiring.control.script import operators_on
from wiring.design.design import Design
from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.resolve import resolve_parts
from wiring.plan.fault import Fault, in_order
from wiring.plan.read import Reading, read, read_text
from wiring.plan.source import Source
from wiring.wording import natural


@dataclass(frozen=True)
class Loaded:
    """A design, or the faults that stand in its way; `sources` are the files that were read, by name."""

    design: Design | None
    faults: tuple[Fault, ...]
    sources: Mapping[str, Source]
    name: str


def design_of(reading: Reading) -> Loaded:
    """The design of a plan that was read."""
    faults = list(reading.faults)
    sources = dict(reading.sources)
    parts = resolve_parts(reading, faults, sources)
    parts = {name: parts[name] for name in sorted(parts, key=natural)}  # their order in the plan means nothing
    faults += terminal_faults(reading, parts)
    faults += _worked_faults(reading, parts)
    name = reading.source.file
    if faults or reading.plan is None:
        return Loaded(None, tuple(in_order(faults)), sources, name)
    design = Design.of(Machine.of(reading, reading.plan, parts, build_circuit(reading, parts)))
    return Loaded(design, (), sources, name)


def _worked_faults(reading: Reading, parts: Mapping[str, Part]) -> Iterator[Fault]:
    """States that work something which nobody can work."""
    for state, entries in (reading.plan.states if reading.plan else {}).items():
        for name, entry in entries.items():
            part = parts.get(name)
            if entry.mode == "worked" and part is not None and not operators_on(part):
                place = reading.place("states", state, name)
                yield Fault(place, f"{name} is no switch that can be worked", "`run`, `hold`, `off` or `on`")


def load(path: str | Path) -> Loaded:
    """The design of a plan file. Never raises for anything a file can hold or a path can name."""
    return design_of(read(path))


def load_text(text: str, file: str = "plan", folder: Path = Path(), lists: Mapping[str, bytes] | None = None) -> Loaded:
    """The design of a plan given as text; `folder` is where files that it names are looked for.

    `lists` are lists of wires or cables by their path, in place of what the files there hold.
    """
    return design_of(read_text(text, file, folder, lists))
