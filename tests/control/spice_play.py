"""Relay circuits played by ngspice: every wire, contact, coil and heater a resistor, contacts altered as coils answer.

Written apart from the package: of it comes only the list of faults. Wires are rows "A:1>B:2"; 230 V between L and N
stand as 230 V of direct current, N earthed at the source. A coil attracts from 85 % of its voltage and lets go below
20 % (IEC 60947-4-1, 8.2.1.2; from memory). A source that carries more than 200 A of its 1 kA is cut for good.
"""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Generator, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

OPEN, CLOSED = 1e9, 1e-2
VOLTS, PICK_UP, DROP_OUT, CUT_A, DEAD_V = 230.0, 0.85, 0.2, 200.0, 50.0
#: What one operating point is for: the resistors that are closed.
Config = frozenset[str]
Answer = dict[str, float]
Play = Generator[Config, Answer, set[str]]


@dataclass
class Circuit:
    """Contacts as (part, pair, break contact), coils and heaters as part and watts, all read from a plan's text."""

    wires: dict[str, tuple[str, str]] = field(default_factory=dict)
    contacts: dict[str, tuple[str, str, str, bool]] = field(default_factory=dict)
    coils: dict[str, float] = field(default_factory=dict)
    heaters: dict[str, float] = field(default_factory=dict)
    buttons: list[str] = field(default_factory=list)


def read(text: str) -> Circuit:
    """The circuit of a plan as `circuits` and `operated` write it."""
    found = Circuit()
    for name, kind, rest in re.findall(r"^  (\w+): \{kind: ([\w-]+)(.*)\}$", text, re.M):
        for a, b, form in re.findall(r"(\w+)-(\w+): (NO|NC)", rest):
            found.contacts[f"{name}:{a}-{b}"] = (name, f"{name}:{a}", f"{name}:{b}", form == "NC")
        if "poles: 1" in rest:
            found.contacts[f"{name}:1-2"] = (name, f"{name}:1", f"{name}:2", False)
        watts = re.search(r"230 V AC (\d+) W", rest)
        if kind in ("contactor", "relay") and watts:
            found.coils[name] = float(watts[1])
        elif kind == "heater" and watts:
            found.heaters[name] = float(watts[1])
        elif kind == "push-button":
            found.buttons.append(name)
    for name, a, b in re.findall(r"\{wire: (\d+), from: '?([\w:]+)'?, to: '?([\w:]+)'?", text):
        found.wires[name] = (a, b)
    return found


class Bench:
    """The resistors of a circuit and of its bridges, and the points that ngspice found."""

    def __init__(self, circuit: Circuit, faults: Iterable[Any]) -> None:
        self.circuit = circuit
        self.ends = dict(circuit.wires) | {name: (a, b) for name, (_, a, b, _) in circuit.contacts.items()}
        for fault in faults:
            if fault.bridge is not None:
                self.ends[fault.id] = tuple("X0:PE" if end == ("", "PE") else ":".join(end) for end in fault.bridge)
        self.ends["mains"] = ("source", "X0:L")
        self.names = {name: f"r{n}" for n, name in enumerate(self.ends)}
        points = dict.fromkeys(end for ends in self.ends.values() for end in ends)
        for part in (*circuit.coils, *circuit.heaters):
            points |= dict.fromkeys(self.load(part))
        self.nodes = {point: f"n{n}" for n, point in enumerate(points)}
        self.known: dict[Config, Answer] = {}

    def load(self, part: str) -> tuple[str, str]:
        pair = ("1", "2") if part in self.circuit.heaters else ("A1", "A2")
        return f"{part}:{pair[0]}", f"{part}:{pair[1]}"

    def _deck(self, configs: Sequence[Config]) -> str:
        node = self.nodes
        watts = self.circuit.coils | self.circuit.heaters
        lines = ["play", f"vs {node['source']} 0 {VOLTS}", f"rn {node['X0:N']} 0 0.115"]
        lines.append(f"rpe {node.get('X0:PE', 'pe')} 0 0.01")
        for name, (a, b) in self.ends.items():
            if node[a] != node[b]:
                lines.append(f"{self.names[name]} {node[a]} {node[b]} {OPEN}")
        for part, power in watts.items():
            a, b = self.load(part)
            lines.append(f"rl{part} {node[a]} {node[b]} {VOLTS**2 / power}")
        lines += [f"rg{n} {n} 0 1e12" for n in node.values()]
        lines += [".control", "set numdgt=6"]
        was: Config = frozenset()
        for config in configs:
            for name in sorted(config ^ was):
                ohm = (0.115 if name == "mains" else CLOSED) if name in config else OPEN
                lines.append(f"alter {self.names[name]} = {ohm}")
            was = config
            shown = " ".join(f"v({node[a]})-v({node[b]})" for a, b in map(self.load, watts))
            lines += ["op", f"print {shown} i(vs)"]
        return "\n".join([*lines, "quit 0", ".endc", ".end"]) + "\n"

    def solve(self, configs: Sequence[Config]) -> None:
        """Find the points that are not known yet, in one process, like ones beside each other: an `alter` takes longer
        than a point. Without a source nothing is fed, so that all positions without mains are one."""
        asked = {config if "mains" in config else frozenset() for config in configs}
        wanted = sorted((config for config in asked if config not in self.known), key=sorted)
        if not wanted:
            return
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "play.cir"
            path.write_text(self._deck(wanted))
            out = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=False).stdout
        values = [float(value) for value in re.findall(r"^(?:v\(|i\().*? = (\S+)$", out, re.M)]
        parts = [*self.circuit.coils, *self.circuit.heaters, "source"]
        assert len(values) == len(parts) * len(wanted), out[-2000:]
        for n, config in enumerate(wanted):
            row = values[n * len(parts) : (n + 1) * len(parts)]
            self.known[config] = dict(zip(parts, map(abs, row), strict=True))

    def run(self, plays: Sequence[Play]) -> list[set[str]]:
        """Play some sequences side by side: what each finds alive."""
        ended: list[set[str]] = [set() for _ in plays]
        waiting = {n: next(play) for n, play in enumerate(plays)}
        while waiting:
            self.solve(list(waiting.values()))
            for n, config in list(waiting.items()):
                try:
                    waiting[n] = plays[n].send(self.known[config if "mains" in config else frozenset()])
                except StopIteration as end:
                    ended[n] = end.value
                    del waiting[n]
        return ended


class Player:
    """One machine in motion, with its faults."""

    def __init__(self, circuit: Circuit, faults: Sequence[Any], first: str | None = None) -> None:
        self.circuit, self.faults, self.first = circuit, faults, first
        self.attracted = set(circuit.coils)
        self.worked: set[str] = set()
        self.here: tuple[Any, ...] = ()
        self.mains = self.whole = True

    def closed(self) -> Config:
        """The resistors that conduct."""
        held = {part for fault in self.here for part, _ in fault.on}
        dead = {part for fault in self.here for part, _ in fault.off}
        moved = (self.attracted | self.worked | held) - dead
        found = set(self.circuit.wires)
        found |= {name for name, (part, _, _, broken) in self.circuit.contacts.items() if (part in moved) != broken}
        found |= {path for fault in self.here for path in fault.closed}
        found |= {fault.id for fault in self.here if fault.bridge is not None}
        found -= {path for fault in self.here for path in fault.opened}
        return frozenset(found | ({"mains"} if self.mains and self.whole else set()))

    def rest(self) -> Generator[Config, Answer, set[str]]:
        """Let everything come to rest; the heaters that are fed then."""
        for _ in range(40):
            seen = yield self.closed()
            if seen["source"] > CUT_A:
                self.whole = False
                continue
            share = {name: PICK_UP if name not in self.attracted else DROP_OUT for name in self.circuit.coils}
            wanted = {name for name, least in share.items() if seen[name] >= least * VOLTS}
            moves = wanted ^ self.attracted
            if not moves:
                break
            self.attracted ^= {self.first} if self.first in moves else moves
        return {name for name in self.circuit.heaters if seen[name] > DEAD_V}

    def play(self, stop: str, changed: Sequence[str], starts: Sequence[str], late: bool) -> Play:
        """The whole sequence: "moment heater" for whatever is alive where it must be dead, "runs" where it runs on."""
        found: set[str] = set()
        running = yield from self.rest()
        self.here = () if late else tuple(self.faults)
        seen = yield from self.rest()
        runs = running <= seen
        self.worked = {stop}
        yield from self.rest()
        self.here = tuple(self.faults)
        found |= {f"stop {name}" for name in (yield from self.rest())}
        self.worked = {stop, *changed}
        found |= {f"tried {name}" for name in (yield from self.rest())}
        self.worked = {stop}
        yield from self.rest()
        self.worked = set()
        found |= {f"release {name}" for name in (yield from self.rest())}
        for start in starts:
            for self.worked in ({start}, set()):
                again = yield from self.rest()
        runs = runs and running <= again
        kept = set(self.attracted), self.whole
        self.worked = {stop}
        found |= {f"demand {name}" for name in (yield from self.rest())}
        (self.attracted, self.whole), self.worked = kept, set()
        self.mains = False
        yield from self.rest()
        self.mains = True
        found |= {f"mains {name}" for name in (yield from self.rest())}
        return found | ({"runs"} if runs else set())
