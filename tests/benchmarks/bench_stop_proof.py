"""The stop proof against ngspice: every single fault screened, and settled, in milliseconds and as a ratio.

Run from the project's root: `python tests/benchmarks/bench_stop_proof.py`. ngspice gets its best case: one process, the
resistive network of the running machine read once, one `alter` and one operating point a fault, no control sequence,
no contact that follows. Ours plays the whole sequence for every stop device. Processor time, best of several runs.
Screened and settled are the faults that must be assumed, which is what ngspice is given; a fault more or less counts
for both.
"""

import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / folder) for folder in ("", "tests", "tests/solver", "tests/benchmarks")]

from big_plans import write  # noqa: E402
from helpers import most_alive  # noqa: E402
from spice import loose_nodes  # noqa: E402

from wiring.control.faults import single_faults  # noqa: E402
from wiring.control.screening import screen_faults  # noqa: E402
from wiring.control.settle import settle_all  # noqa: E402
from wiring.design.load import load  # noqa: E402
from wiring.design.stop.proof import full_proof  # noqa: E402
from wiring.design.stop.uses import FromRunning, results_of, together  # noqa: E402
from wiring.solver.settling import program_outputs  # noqa: E402

PLANS = ("coil-winder", "foam-gantry", "stone-engraver")
BIG = 880
MOST = 400


def best(run, times=3):
    found = []
    for _ in range(times):
        begin = time.process_time()
        run()
        found.append(time.process_time() - begin)
    return 1000.0 * min(found)


def linear_netlist(network, solution):
    """Resistors and voltage sources alone, each load a resistor of its power: one linear solution a fault."""

    def node(n):
        return "0" if n in network.references else f"n{n}"

    lines = [f"R{n} {node(b.a)} {node(b.b)} {abs(b.ohm)}" for n, b in enumerate(network.branches)]
    for n, s in enumerate(network.sources):
        lines += [f"V{n} v{n} {node(s.minus)} {abs(s.volts)}", f"RS{n} v{n} {node(s.plus)} {abs(s.ohm)}"]
    lines += [f"RD{n} {node(d.a)} {node(d.b)} {d.ohm}" for n, d in enumerate(network.diodes)]
    for n, power in enumerate(network.powers):
        volts = abs(solution.potentials[power.a] - solution.potentials[power.b])
        lines.append(f"RP{n} {node(power.a)} {node(power.b)} {max(volts, 1.0) ** 2 / power.watts}")
    return lines + [f"RL{n} {node(n)} 0 1.0" for n in loose_nodes(network, solution)]


def by_ngspice(point, count):
    """Milliseconds of one process that opens one resistor after the other and solves each time.

    Above MOST faults, that many are solved and the time is scaled up.
    """
    if not shutil.which("ngspice"):
        return None
    lines = linear_netlist(point.dc.assembled.network, point.dc.solution)
    tried = min(count, MOST)
    names = [line.split()[0] for line in lines if line[:1] == "R"]
    steps = "".join(f"alter {name} = 1e9\nop\nalter {name} = 1e-2\n" for name in (names * tried)[:tried])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "faults.cir"
        path.write_text("\n".join(["faults", *lines]) + f"\n.control\nop\n{steps}quit 0\n.endc\n.end\n")
        begin = _children_s()
        subprocess.run(["ngspice", "-b", str(path)], capture_output=True, check=False, timeout=1200)
        return 1000.0 * (_children_s() - begin) * count / tried


def _children_s():
    """Processor time of the programs that were run and have ended [s]."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


_STOP = """  S1: {kind: emergency-stop, contacts: {11-12: NC, 21-22: NC}}
  S2: {kind: push-button, contacts: {13-14: NO}}
  G0: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]}
  KA: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
  KB: {kind: contactor, poles: 1, coil: 24 V DC 3 W, suppressor: diode, contacts: {21-22: NC mirror}}
"""
_STOP_WIRES = (
    "Q1:2>KA:1 KA:2>KB:1 KB:2>XL:1 Q1:2>G0:L Q1:4>G0:N X0:PE>G0:PE X0:PE>G0:V- G0:V+>K0:A1 K0:A1>K0:13 K0:13>K0:23 "
    "G0:V->K0:A2 K0:A2>KA:A2 KA:A2>KB:A2 K0:S11>S1:11 S1:12>K0:S12 K0:S21>S1:21 S1:22>K0:S22 K0:S33>S2:13 S2:14>KA:21 "
    "KA:22>KB:21 KB:22>K0:S34 K0:14>KA:A1 K0:24>KB:A1"
)


def stopped_machine(parts, folder):
    """The machine of the benchmarks with a stop of two channels and two contactors before all its stations."""
    path = write(folder, parts)
    text = path.read_text(encoding="utf-8").replace("parts:\n", f"parts:\n{_STOP}", 1)
    text = text.replace("states:\n", "stops: {emergency: {devices: [S1], category: 0, reset: S2}}\nstates:\n", 1)
    path.write_text(text, encoding="utf-8")
    wires = folder / "wires.csv"
    kept = [line for line in wires.read_text(encoding="utf-8").splitlines() if not line.startswith("T3,")]
    more = [f"S{n},{wire.replace('>', ',')},line" for n, wire in enumerate(_STOP_WIRES.split())]
    wires.write_text("\n".join([*kept, *more]) + "\n", encoding="utf-8")
    return load(path).design


def machines(folder):
    """Name and design of every machine that is measured."""
    for name in PLANS:
        yield name, load(ROOT / "specs" / f"{name}.yaml").design
    yield f"{BIG} parts", stopped_machine(BIG, folder)


def measured(name, machine):
    """One row: faults that must be assumed, screened; every fault, settled; every pair of hidden faults."""
    machine.states, machine.unfaulted  # noqa: B018
    whole = together(machine.stopping.uses)
    faults = single_faults(machine.circuit)
    assumed = [fault for fault in faults if not fault.excluded]
    orders = machine.unfaulted.orders[:1]

    def screen():
        screenings = screen_faults(machine.lowered, whole, assumed, orders)
        running = most_alive(machine, whole.targets)
        return results_of(
            [FromRunning(machine.stopping.uses, screenings, running, orders)], machine.lowered, machine.operation
        )[0]

    screened = best(screen)
    everything = best(lambda: screen_faults(machine.lowered, whole, faults), 1)
    proof, results = machine.stop_proof, screen()

    def settle():
        for result in results.values():
            settle_all(result.verdicts, result.use, result.sound, proof.running, bool(program_outputs(machine.circuit)))

    settled = screened + best(settle, 1)
    full = best(lambda: full_proof(machine.stopping), 1) if name != f"{BIG} parts" else None
    spice = by_ngspice(proof.running, len(proof.faults) * len(whole.devices))
    ratios = ("none", "none") if spice is None else (f"{spice / screened:.1f}", f"{spice / settled:.1f}")
    times = [screened, everything, settled, full, spice]
    shown = "".join(f"{value:>12.0f}" if value is not None else f"{'none':>12}" for value in times)
    print(f"{name:16}{len(proof.faults):>8}{len(faults):>8}{shown}{ratios[0]:>9}{ratios[1]:>9}", flush=True)


def main():
    heads = ("screened", "every fault", "settled", "whole proof", "ngspice")
    print(
        f"{'ms':16}{'assumed':>8}{'faults':>8}" + "".join(f"{head:>12}" for head in heads) + f"{'ratio':>9}{'ratio':>9}"
    )
    with tempfile.TemporaryDirectory() as folder:
        for name, machine in machines(Path(folder)):
            measured(name, machine)
            print(
                f"{'':16}memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB at most", flush=True
            )


if __name__ == "__main__":
    main()
