"""Short circuits at every terminal pair of the specs, cold and hot, against ngspice.

ngspice gets the sources at work, every conductor as its length times its resistance at 20 °C and a temperature factor
((234.5 + t) / 254.5 by IEC 60228, 1 + 0.00323 (t - 75) by NFPA 70 chapter 9 table 8), and one short circuit after the
other; loads are left off. Limits of supplies are then applied by hand: a supply gives its limit and no more. A running
induction motor is its voltage before the fault behind U / (sqrt(3) I) with I its starting current (IEC 60909-0,
asynchronous motors); it counts for the highest current.
"""

from __future__ import annotations

import re
import subprocess
from functools import cache
from math import inf
from pathlib import Path

import pytest
from spice import need_ngspice

from wiring.circuit.model import Conductor
from wiring.design.conductor.place import insulation_c
from wiring.design.design import Design
from wiring.design.fault.records import Short
from wiring.design.load import load
from wiring.parts.elements import Output
from wiring.parts.motors import Motor
from wiring.solver.lowering import ConductingElement

#: Motors of the specs that stand on the mains without a drive, by hand from their plans.
FED = {"Stone-engraving gantry": ("M5",)}
#: Plans that this netlist cannot say: a transformer that follows its input, a battery beside its charger, a motor on
#: lines with a neutral (its star is no point of the plan).
UNSAID = ("parts-washer", "tray-mover", "drum-sander")
SPECS = [path for path in sorted((Path(__file__).parents[2] / "specs").glob("*.yaml")) if path.stem not in UNSAID]
OPTIONS = ".options reltol=1e-12 abstol=1e-15 vntol=1e-13 gmin=1e-18 noacct"


@cache
def read(path: Path) -> Design:
    found = load(path).design
    assert found is not None
    return found


def ohm_of(design: Design, edge: ConductingElement, hot: bool) -> float:
    wire = edge.source
    if not isinstance(wire, Conductor) or wire.size is None:
        return edge.ohm
    at_20 = design.book.resistance_ohm_per_m(wire.size, wire.conductor_class or "5", 20.0).value
    assert wire.length_m is not None
    warm_c = insulation_c(design.machine, wire) if hot else 20.0
    factor = (234.5 + warm_c) / 254.5
    if design.plan.rulebook == "na":
        factor = (1.0 + 0.00323 * (warm_c - 75.0)) / (1.0 - 0.00323 * 55.0)
    return at_20 * factor * wire.length_m


class Netlist:
    """All sources at work as phasors; one short circuit at a time is closed by a resistor that its run alone lowers."""

    def __init__(self, design: Design, hot: bool, motors: bool) -> None:
        self.design, self.hot = design, hot
        self.lines = ["short circuits of a plan", OPTIONS, f"RE {design.lowered.earth} 0 1"]
        self.conductors()
        self.sources()
        if motors:
            self.motors()

    def conductors(self) -> None:
        lowered = self.design.lowered
        closed = self.design.short_circuits.paths.closed
        for n, edge in enumerate(lowered.edges):
            if edge.id in closed and edge.a != edge.b:
                self.lines.append(
                    f"R{n} {self.node(edge.a)} {self.node(edge.b)} {ohm_of(self.design, edge, self.hot)!r}"
                )
        for n, branch in enumerate(lowered.mains_branches):
            self.lines.append(f"RM{n} {self.node(branch.a)} {self.node(branch.b)} {branch.ohm!r}")

    def node(self, n: int) -> str:
        return f"n{n}"

    def source(self, name: str, plus: int, minus: int, volts: complex, ohm: float) -> None:
        inner = f"s{name}"
        self.lines.append(f"VR{name} {inner} {inner}q AC {volts.real!r} 0")
        self.lines.append(f"VI{name} {inner}q {self.node(minus)} AC {volts.imag!r} 90")
        self.lines.append(f"RS{name} {inner} {self.node(plus)} {ohm!r}")

    def sources(self) -> None:
        lowered = self.design.lowered
        lowest = 0.95 if self.hot else 1.0
        for n, source in enumerate(lowered.mains_sources):
            self.source(f"M{n}", source.plus, source.minus, complex(source.volts) * lowest, complex(source.ohm).real)
        for part in self.design.parts.values():
            for n, output in enumerate(part.of(Output)):
                assert isinstance(output, Output)
                assert output.ratio is None, "a source that follows its input needs a transformer here"
                ends = lowered.index[part.name, output.plus], lowered.index[part.name, output.minus]
                # Signal outputs keep their resistance and stay at 0 V: what they add is no part of the supply's fault.
                volts = output.volts if output.rated_a is not None and output.name == "output" else 0.0
                self.source(f"{part.name}x{n}", *ends, complex(volts), output.ohm)

    def motors(self) -> None:
        design = self.design
        lines = {source.plus: complex(source.volts) for source in design.lowered.mains_sources}
        origins = design.short_circuits.paths.origins
        for name in FED.get(design.plan.machine, ()):
            part = design.parts[name]
            data = part.data
            assert isinstance(data, Motor)
            assert data.rated_current is not None
            ohm = data.voltage.volts / (3.0**0.5 * data.start_factor * data.rated_current)
            for end in ("U", "V", "W"):
                origin = origins[design.short_circuits.paths.hot[name, end].origin]
                volts = lines[design.lowered.index[origin.plus]]
                self.source(f"{name}{end}", design.lowered.index[name, end], design.lowered.count, volts, ohm)

    def text(self, pairs: list[tuple[int, int]]) -> str:
        lines = self.lines.copy()
        for k, (a, b) in enumerate(pairs):
            lines += [f"RF{k} f{k} {self.node(b)} 1e15", f"VF{k} {self.node(a)} f{k} 0"]
        lines += [f"RG{n} {self.node(n)} 0 1e12" for n in range(self.design.lowered.count + 1)]
        lines += [".control", "set numdgt=15"]
        for k in range(len(pairs)):
            lines += [f"alter RF{k} = 1e-9", "delete all", f"save i(VF{k})", "ac lin 1 50 50", f"print mag(i(VF{k}))"]
            lines += [f"alter RF{k} = 1e15", "destroy all"]
        return "\n".join([*lines, "quit", ".endc", ".end"]) + "\n"


def spice_currents(design: Design, hot: bool, motors: bool, shorts: list[Short], folder: Path) -> list[float]:
    index = design.lowered.index
    pairs = [(index[short.node], index[short.against]) for short in shorts]
    path = folder / "shorts.cir"
    path.write_text(Netlist(design, hot, motors).text(pairs), encoding="ascii")
    run = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, timeout=200, check=False)
    found = re.findall(r"^mag\(i\(vf(\d+)\)\) = (\S+)$", run.stdout, flags=re.MULTILINE | re.IGNORECASE)
    assert [int(k) for k, _ in found] == list(range(len(pairs))), run.stdout[-1500:] + run.stderr[-1500:]
    return [float(amps) for _, amps in found]


@pytest.mark.ngspice
@pytest.mark.parametrize("path", SPECS, ids=lambda path: path.stem)
def test_every_short_circuit_of_a_spec(path: Path, tmp_path: Path) -> None:
    need_ngspice()
    design = read(path)
    found = design.short_circuits
    shorts = sorted((*found.to_return.values(), *found.to_earth.values()), key=lambda one: (one.node, one.against))
    assert len(shorts) > 90
    hot = spice_currents(design, True, False, shorts, tmp_path)
    cold = spice_currents(design, False, False, shorts, tmp_path)
    fed = spice_currents(design, False, True, shorts, tmp_path) if design.plan.machine in FED else cold
    for short, hot_a, cold_a, fed_a in zip(shorts, hot, cold, fed, strict=True):
        place = short.node, short.against
        limit = max(short.origin.limit_a, short.origin.peak_a)
        assert short.lowest.initial_a == pytest.approx(min(hot_a, limit), rel=1e-5), place
        assert short.highest.initial_a == pytest.approx(min(fed_a, limit), rel=1e-5), place
        assert short.cold_ohm == pytest.approx(short.volts / cold_a, rel=1e-5), place
        lowered = 0.95 if short.origin.limit_a == inf else 1.0
        assert short.hot_ohm == pytest.approx(lowered * short.volts / hot_a, rel=1e-5), place


def test_some_motor_of_the_specs_feeds_a_fault() -> None:
    found = [short.motors_a for path in SPECS for short in read(path).short_circuits.to_return.values()]
    assert max(found) > 1.0
