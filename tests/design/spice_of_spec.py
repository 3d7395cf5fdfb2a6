"""A spec's network as a netlist: phasors as two real circuits side by side, constant power as behavioural sources."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from wiring.solver.network import Network
from wiring.solver.solution import PowerState, Solution

OPTIONS = ".options reltol=1e-12 abstol=1e-15 vntol=1e-13 gmin=1e-18 itl1=500 noacct"
RUNNING = PowerState.RUNNING


def need_ngspice() -> None:
    """Skip where the program is missing, fail there under CI."""
    if shutil.which("ngspice"):
        return
    if os.environ.get("CI") == "true":
        pytest.fail("ngspice is not installed, and CI must not pass without it: apt-get install ngspice")
    pytest.skip("ngspice is not installed: apt-get install ngspice")


def loose_nodes(network: Network, solution: Solution) -> list[int]:
    """One node of every part of the network that no element ties to a reference, to hold it there."""
    parent = list(range(network.nodes))

    def root(node: int) -> int:
        while parent[node] != node:
            parent[node] = parent[parent[node]]
            node = parent[node]
        return node

    ends = [(b.a, b.b) for b in network.branches] + [(s.plus, s.minus) for s in network.sources]
    ends += [(c.a, c.b) for c in network.currents]
    ends += [(p.a, p.b) for p, state in zip(network.powers, solution.power_state, strict=True) if state is RUNNING]
    for a, b in ends:
        parent[root(a)] = root(b)
    held = {root(node) for node in network.references}
    return sorted({root(node) for node in range(network.nodes)} - held)


class Netlist:
    """Lines of a netlist; node n of side r or i is `n_r`, `n_i`."""

    def __init__(self, network: Network, solution: Solution, sides: str) -> None:
        self.network, self.solution, self.sides = network, solution, sides
        self.ground = set(network.references)
        self.lines = ["operating point of a plan", OPTIONS]

    def node(self, n: int, side: str) -> str:
        return "0" if n in self.ground else f"{n}_{side}"

    def across(self, a: int, b: int, side: str) -> str:
        first, second = self.node(a, side), self.node(b, side)
        parts = [f"V({first})" if first != "0" else "0", f"V({second})" if second != "0" else "0"]
        return f"({parts[0]}-{parts[1]})"

    def branches(self) -> None:
        for index, branch in enumerate(self.network.branches):
            ohm = complex(branch.ohm)
            for side in self.sides:
                a, b = self.node(branch.a, side), self.node(branch.b, side)
                if ohm.imag == 0.0:
                    self.lines.append(f"R{index}{side} {a} {b} {ohm.real!r}")
                    continue
                admittance = 1 / ohm
                own, cross = admittance.real, -admittance.imag if side == "r" else admittance.imag
                other = "i" if side == "r" else "r"
                here, there = self.across(branch.a, branch.b, side), self.across(branch.a, branch.b, other)
                self.lines.append(f"B{index}{side} {a} {b} I={own!r}*{here}+({cross!r})*{there}")

    def loads(self) -> None:
        for index, source in enumerate(self.network.sources):
            for side in self.sides:
                volts = complex(source.volts)
                value = volts.real if side == "r" else volts.imag
                inner = f"s{index}_{side}"
                self.lines.append(f"V{index}{side} {inner} {self.node(source.minus, side)} {value!r}")
                self.lines.append(
                    f"RS{index}{side} {inner} {self.node(source.plus, side)} {complex(source.ohm).real!r}"
                )
        for index, draw in enumerate(self.network.currents):
            assert self.sides == "r", "no plan draws a constant current at mains frequency"
            self.lines.append(f"I{index} {self.node(draw.a, 'r')} {self.node(draw.b, 'r')} {draw.amps!r}")
        for index, load in enumerate(self.network.powers):
            if self.solution.power_state[index] is not RUNNING:
                continue
            real = self.across(load.a, load.b, "r")
            ends = [f"BP{index}{side} {self.node(load.a, side)} {self.node(load.b, side)}" for side in self.sides]
            if self.sides == "r":
                self.lines.append(f"{ends[0]} I={load.watts!r}/{real}")
                continue
            vars_ = load.watts * (1 / load.power_factor**2 - 1) ** 0.5  # lagging
            imag = self.across(load.a, load.b, "i")
            size = f"({real}*{real}+{imag}*{imag})"
            self.lines.append(f"{ends[0]} I=({load.watts!r}*{real}+{vars_!r}*{imag})/{size}")
            self.lines.append(f"{ends[1]} I=({load.watts!r}*{imag}-{vars_!r}*{real})/{size}")

    def text(self) -> str:
        self.branches()
        self.loads()
        for node in loose_nodes(self.network, self.solution):
            self.lines += [f"RL{node}{side} {self.node(node, side)} 0 1.0" for side in self.sides]
        for node, volts in enumerate(self.solution.volts):
            if volts is not None and node not in self.ground:
                whole = complex(round(complex(volts).real), round(complex(volts).imag))
                self.lines.append(f".nodeset v({node}_r)={whole.real!r}")
                if "i" in self.sides:
                    self.lines.append(f".nodeset v({node}_i)={whole.imag!r}")
        self.lines += [".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end"]
        return "\n".join(self.lines) + "\n"


def spice_volts(network: Network, solution: Solution, kind: str, folder: Path) -> dict[int, complex]:
    """Voltage of every node by ngspice, the references 0."""
    sides = "r" if kind == "DC" else "ri"
    path = folder / f"{kind}.cir"
    path.write_text(Netlist(network, solution, sides).text(), encoding="ascii")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False)
    found: dict[int, complex] = dict.fromkeys(network.references, 0j)
    for name, side, value in re.findall(r"^v?\(?(\d+)_([ri])\)? = (\S+)$", run.stdout, flags=re.MULTILINE):
        found[int(name)] = found.get(int(name), 0j) + float(value) * (1 if side == "r" else 1j)
    assert len(found) == network.nodes, run.stdout[-1500:] + run.stderr[-1500:]
    return found
