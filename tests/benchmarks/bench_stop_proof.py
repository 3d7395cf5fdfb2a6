"""The stop proof against ngspice: every single fault screened, and settled, in milliseconds and as a ratio.

Run from the project's root: `python tests/benchmarks/bench_stop_proof.py`. ngspice gets its best case: one process, the
resistive network of the running machine read once, one `alter` and one operating point a fault, no control sequence,
no contact that follows. Ours plays the whole sequence for every stop device. The best of several runs counts.
"""

import resource
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "solver")]

from test_solver_ngspice import netlist  # noqa: E402

from wiring.control.faults import single_faults  # noqa: E402
from wiring.control.inject import ORDERS  # noqa: E402
from wiring.control.settle import settle_all  # noqa: E402
from wiring.control.screening import screen_faults  # noqa: E402
from wiring.design.load import load  # noqa: E402
from wiring.design.stop_proof import running_point, screened_proof, together, uses  # noqa: E402

PLANS = ("coil-winder", "foam-gantry", "stone-engraver")


def best(run, times=3):
    found = []
    for _ in range(times):
        begin = time.perf_counter()
        run()
        found.append(time.perf_counter() - begin)
    return 1000.0 * min(found)


def by_ngspice(point, count):
    """Milliseconds of one process that opens one resistor after the other and solves each time."""
    if not shutil.which("ngspice"):
        return None
    text = netlist(point.dc.assembled.network)
    head, _, _ = text.partition(".control")
    names = [line.split()[0] for line in head.splitlines() if line[:1] in "Rr"]
    steps = "".join(f"alter {name} = 1e9\nop\nalter {name} = 1e-2\n" for name in (names * count)[:count])
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "faults.cir"
        path.write_text(head.replace(".end", "") + f".control\nop\n{steps}quit 0\n.endc\n.end\n")
        begin = time.perf_counter()
        subprocess.run(["ngspice", "-b", str(path)], capture_output=True, check=False, timeout=300)
        return 1000.0 * (time.perf_counter() - begin)


def main():
    print(f"{'plan':16}{'faults':>8}{'screened':>12}{'settled':>12}{'ngspice':>12}{'ratio':>9}{'ratio':>9}")
    for name in PLANS:
        machine = load(ROOT / "specs" / f"{name}.yaml").design
        machine.states  # noqa: B018
        faults = single_faults(machine.circuit)
        screened = best(lambda machine=machine: screened_proof(machine))
        whole = together(uses(machine))
        running = running_point(machine, whole.targets)
        proof = screened_proof(machine)

        def settle(proof=proof, running=running):
            for result in proof.results.values():
                settle_all(result.verdicts, result.use, result.sound, running, False)

        settled = screened + best(settle, 1)
        spice = by_ngspice(running, len(faults) * len(whole.devices))
        ratios = ("none", "none") if spice is None else (f"{spice / screened:.1f}", f"{spice / settled:.1f}")
        told = "none" if spice is None else f"{spice:.0f} ms"
        print(f"{name:16}{len(faults):>8}{screened:>9.1f} ms{settled:>9.1f} ms{told:>12}{ratios[0]:>9}{ratios[1]:>9}")
        three = best(
            lambda machine=machine, whole=whole, faults=faults: screen_faults(machine.lowered, whole, faults, ORDERS), 1
        )
        print(f"{'':16}{'':8}three orders of contacts {three:.1f} ms")
    print(f"memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB at most")


if __name__ == "__main__":
    main()
