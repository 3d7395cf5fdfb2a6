"""A solver's network as a netlist: phasors as two real circuits side by side, what bends as behavioural sources.

Limits, diodes, constant power and constant current are written from the characteristics that `wiring.solver.network`
states, never from the modes that the solver found.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from wiring.solver.network import CurrentLoad, Network, Overload, PowerLoad, VoltageSource
from wiring.solver.solution import PowerState, Solution, SourceMode
from wiring.solver.state import KNEE_V, LIMIT_SLOPE

#: As fine as rounding lets ngspice come to rest at 400 nodes: ten thousand times finer than a microvolt.
OPTIONS = ".options reltol=1e-11 abstol=1e-11 vntol=1e-10 gmin=1e-18 itl1=500 noacct"
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
    ends += [(c.a, c.b) for c in network.currents] + [(d.a, d.b) for d in network.diodes]
    ends += [(p.a, p.b) for p, state in zip(network.powers, solution.power_state, strict=True) if state is RUNNING]
    for a, b in ends:
        parent[root(a)] = root(b)
    held = {root(node) for node in network.references}
    return sorted({root(node) for node in range(network.nodes)} - held)


class Netlist:
    """Lines of a netlist; node n of side r or i is `n_r`, `n_i`."""

    def __init__(
        self, network: Network, solution: Solution, sides: str, limits: bool = False, reached: bool = False
    ) -> None:
        self.network, self.solution, self.sides = network, solution, sides
        self.limits, self.reached = limits, reached
        self.ground = set(network.references)
        self.lines: list[str] = []

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
                middle, other, sign = f"m{index}_{side}", "i" if side == "r" else "r", "-" if side == "r" else ""
                self.lines += [
                    f"R{index}{side} {a} {middle} {ohm.real!r}",
                    f"VM{index}{side} {middle} n{index}_{side} 0",
                    f"H{index}{side} n{index}_{side} {b} VM{index}{other} {sign}{ohm.imag!r}",
                ]

    def sources(self) -> None:
        for index, source in enumerate(self.network.sources):
            volts, ohm = complex(source.volts), complex(source.ohm)
            if self.reached and self.solution.source_mode[index] is SourceMode.CONSTANT_CURRENT:
                self.at_its_limit(index, source)
                continue
            assert ohm.imag == 0.0, "no source here has a reactance"
            for side in self.sides:
                value = volts.real if side == "r" else volts.imag
                inner = f"s{index}_{side}"
                self.lines.append(f"V{index}{side} {inner} {self.node(source.minus, side)} {value!r}")
                self.lines.append(f"RS{index}{side} {inner} {self.node(source.plus, side)} {ohm.real!r}")
            if self.limits and source.overload is not Overload.STIFF:
                self.limited(index, source)

    def at_its_limit(self, index: int, source: VoltageSource) -> None:
        """A source in its current limit: the limit, and the slope of its characteristic beyond the knee."""
        assert source.limit_a is not None
        setting, ohm = complex(source.volts).real, complex(source.ohm).real
        knee, slope = setting - ohm * source.limit_a, LIMIT_SLOPE * source.limit_a / setting
        plus, minus = self.node(source.plus, "r"), self.node(source.minus, "r")
        self.lines.append(f"IL{index} {minus} {plus} {source.limit_a + slope * knee!r}")
        self.lines.append(f"RL{index}s {plus} {minus} {1.0 / slope!r}")

    def limited(self, index: int, source: VoltageSource) -> None:
        """What a one-quadrant source gives other than Ohm's law: nothing below zero, and above its limit less.

        As a correction beside the resistance it is exactly 0 in between, where ngspice would else find no rest.
        """
        across = self.across(source.plus, source.minus, "r")
        setting, ohm = complex(source.volts).real, complex(source.ohm).real
        ohmic = f"({setting!r}-{across})/{ohm!r}"
        lines = [f"max(0,-{ohmic})"]
        if source.overload is Overload.CONSTANT_CURRENT and source.limit_a is not None:
            knee, slope = setting - ohm * source.limit_a, LIMIT_SLOPE * source.limit_a / setting
            lines.append(f"min(0,{source.limit_a!r}+{slope!r}*({knee!r}-{across})-{ohmic})")
        ends = f"{self.node(source.minus, 'r')} {self.node(source.plus, 'r')}"
        self.lines.append(f"BS{index} {ends} I={'+'.join(lines)}")

    def diodes(self) -> None:
        for index, diode in enumerate(self.network.diodes):
            a, b = self.node(diode.a, "r"), self.node(diode.b, "r")
            across = self.across(diode.a, diode.b, "r")
            self.lines.append(f"BD{index} {a} {b} I=max(0,({across}-{diode.drop_v!r})/{diode.ohm!r})")

    def draws(self) -> None:
        for index, draw in enumerate(self.network.currents):
            real = self.across(draw.a, draw.b, "r")
            if self.sides == "r":
                share = f"min(1,max(0,{real}/{KNEE_V!r}))"
                self.lines.append(
                    f"BI{index} {self.node(draw.a, 'r')} {self.node(draw.b, 'r')} I={draw.amps!r}*{share}"
                )
                continue
            imag = self.across(draw.a, draw.b, "i")
            active, reactive = draw.amps * draw.power_factor, draw.amps * (1 - draw.power_factor**2) ** 0.5
            self.lagging(f"BI{index}", draw, (active, reactive), f"sqrt({real}*{real}+{imag}*{imag})")

    def powers(self) -> None:
        for index, load in enumerate(self.network.powers):
            if self.solution.power_state[index] is not RUNNING:
                continue
            real = self.across(load.a, load.b, "r")
            if self.sides == "r":
                self.lines.append(
                    f"BP{index} {self.node(load.a, 'r')} {self.node(load.b, 'r')} I={load.watts!r}/{real}"
                )
                continue
            reactive = load.watts * (1 / load.power_factor**2 - 1) ** 0.5
            imag = self.across(load.a, load.b, "i")
            self.lagging(f"BP{index}", load, (load.watts, reactive), f"({real}*{real}+{imag}*{imag})")

    def lagging(self, name: str, load: PowerLoad | CurrentLoad, parts: tuple[float, float], over: str) -> None:
        """A current (active - j reactive) v / over, as one source on each side."""
        active, reactive = parts
        real, imag = (self.across(load.a, load.b, side) for side in "ri")
        for side, one, other, sign in (("r", real, imag, "+"), ("i", imag, real, "-")):
            ends = f"{self.node(load.a, side)} {self.node(load.b, side)}"
            self.lines.append(f"{name}{side} {ends} I=({active!r}*{one}{sign}{reactive!r}*{other})/{over}")

    def text(self) -> str:
        """The whole netlist with its command to solve and print."""
        self.branches()
        self.sources()
        self.diodes()
        self.draws()
        self.powers()
        for node in loose_nodes(self.network, self.solution):
            self.lines += [f"RL{node}{side} {self.node(node, side)} 0 1.0" for side in self.sides]
        for node, volts in enumerate(self.solution.volts):
            if volts is not None and node not in self.ground:
                self.lines.append(f".nodeset v({node}_r)={complex(volts).real:.9f}")
                if "i" in self.sides:
                    self.lines.append(f".nodeset v({node}_i)={complex(volts).imag:.9f}")
        self.lines += [".control", "set numdgt=15", "op", "print all", "quit", ".endc", ".end"]
        return "\n".join(["operating point", OPTIONS, *self.lines]) + "\n"


def spice_volts(
    network: Network, solution: Solution, kind: str, folder: Path, limits: bool = False, reached: bool = False
) -> dict[int, complex]:
    """Voltage of every node by ngspice, the references 0; without `limits` every source is stiff.

    With `reached` those limit whose limit the solver says is reached.
    """
    sides = "r" if kind == "DC" else "ri"
    path = folder / f"{kind}.cir"
    path.write_text(Netlist(network, solution, sides, limits, reached).text(), encoding="ascii")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=120, check=False)
    found: dict[int, complex] = dict.fromkeys(network.references, 0j)
    for name, side, value in re.findall(r"^v?\(?(\d+)_([ri])\)? = (\S+)$", run.stdout, flags=re.MULTILINE):
        found[int(name)] = found.get(int(name), 0j) + float(value) * (1 if side == "r" else 1j)
    assert len(found) == network.nodes, run.stdout[-1500:] + run.stderr[-1500:]
    return found
