"""From a plan file to a design: read, resolve the parts, join them; every fault of every step at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from wiring.circuit.build import build_circuit, terminal_faults
from wiring.circuit.semiconductors import as_fed
from wiring.control.script import operators_on
from wiring.design.design import Design
from wiring.design.enclosure.laid_cabinet import with_lengths
from wiring.design.machine import Machine
from wiring.design.measured import measured_faults
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Output, Resistance, Switch
from wiring.parts.motors import Shaft
from wiring.parts.resolve import resolve_parts
from wiring.plan.fault import Fault, in_order
from wiring.plan.models import StateEntry
from wiring.plan.read import Reading, read, read_text
from wiring.plan.source import Source
from wiring.wording import natural


class Loaded(Struct, frozen=True):
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
    faults += _state_faults(reading, parts)
    faults += _guard_faults(reading, parts)
    faults += measured_faults(reading, parts)
    name = reading.source.file
    if faults or reading.plan is None:
        return Loaded(None, tuple(in_order(faults)), sources, name)
    circuit = build_circuit(reading, parts)
    if fed := as_fed(circuit):
        parts = parts | fed
        circuit = build_circuit(reading, parts)
    design = Design.of(Machine.of(reading, reading.plan, parts, with_lengths(circuit, reading)))
    return Loaded(design, (), sources, name)


#: What takes or gives power, so that it can be on or off.
_POWERED = (Draw, Input, Output, Coil)


def _state_faults(reading: Reading, parts: Mapping[str, Part]) -> Iterator[Fault]:
    """States that ask of a part what it cannot do."""
    for state, entries in (reading.plan.states if reading.plan else {}).items():
        for name, entry in entries.items():
            part = parts.get(name)
            refused = _refused(part, entry) if part is not None else None
            if refused is not None:
                yield Fault(reading.place("states", state, name), f"{name} {refused[0]}", refused[1])


def _guard_faults(reading: Reading, parts: Mapping[str, Part]) -> Iterator[Fault]:
    """Guards that stand in front of what takes no power."""
    for guard in parts.values():
        for name in getattr(guard.data, "guards", None) or ():
            if name in parts and not _is_powered(parts[name]):
                place = reading.place("parts", guard.name, "guards")
                yield Fault(
                    place,
                    f"{name} takes no power, and nobody is kept from it by a guard that stops",
                    "a motor or a load that can hurt",
                )


def _refused(part: Part, entry: StateEntry) -> tuple[str, str] | None:
    """What is wrong with an entry of a state for a part, and what was expected."""
    moves = entry.mode == "hold" or entry.speed is not None or entry.torque is not None
    if entry.mode == "worked" and not operators_on(part):
        return "is no switch that can be worked", "`run`, `hold`, `off` or `on`"
    if moves and not isinstance(part.data, Shaft):
        return "is no motor: it has no shaft that holds or turns", "`on` or `off`"
    if entry.mode in ("run", "on", "off") and not _is_powered(part):
        expected = "`worked`, or the part that it switches" if operators_on(part) else "the part that takes the power"
        return f"takes no power: it cannot be `{entry.mode}`", expected
    return None


def _is_powered(part: Part) -> bool:
    programs = any(switch.actuator.startswith("output ") for switch in part.of(Switch))
    loads = any(resistance.load for resistance in part.of(Resistance))
    return isinstance(part.data, Shaft) or bool(part.of(*_POWERED)) or loads or programs


def load(path: str | Path) -> Loaded:
    """The design of a plan file. Never raises for anything a file can hold or a path can name."""
    return design_of(read(path))


def load_text(text: str, file: str = "plan", folder: Path = Path(), lists: Mapping[str, bytes] | None = None) -> Loaded:
    """The design of a plan given as text; `folder` is where files that it names are looked for.

    `lists` are lists of wires or cables by their path, in place of what the files there hold.
    """
    return design_of(read_text(text, file, folder, lists))
