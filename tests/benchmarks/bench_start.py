"""Commands started cold, in bare starts of Python, in a plain install and in an editable one as the README makes it.

Run from anywhere: `python tests/benchmarks/bench_start.py [RUNS]`. Processor time counts. Each command runs away from
the clone between two bare starts of the same Python and is divided by their mean; the median of nine such runs counts.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

from big_plans import write

ROOT = Path(__file__).parents[2]
SPECS = ("coil-winder", "foam-gantry", "stone-engraver")
PARTS = (80, 880)


def installed(folder: Path, *how: str) -> Path:
    """The Python of a new environment with the project in it."""
    subprocess.run([sys.executable, "-m", "venv", folder], check=True)
    subprocess.run([folder / "bin" / "pip", "install", "--quiet", *how, str(ROOT)], check=True)
    return folder / "bin" / "python"


def processor_ms(python: Path, arguments: list[str], folder: Path) -> float:
    """Processor time of one run away from the clone, with compiled modules kept as Python does by itself [ms]."""
    around = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([python, *arguments], stdout=subprocess.DEVNULL, cwd=folder, env=around, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return 1000.0 * (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)


def in_starts(python: Path, arguments: list[str], folder: Path, runs: int) -> tuple[float, float]:
    """What a command takes in bare starts, and in ms: the medians of some runs after one that compiles."""
    command, bare = ["-m", "wiring", *arguments], ["-c", "pass"]
    processor_ms(python, command, folder)
    taken = []
    for _ in range(runs):
        before, ms, after = (processor_ms(python, words, folder) for words in (bare, command, bare))
        taken.append((2.0 * ms / (before + after), ms))
    return median(ratio for ratio, _ in taken), median(ms for _, ms in taken)


def main(runs: int = 9) -> None:
    """Print a line a command."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plain, editable = installed(folder / "plain"), installed(folder / "editable", "--editable")
        commands = {word: [word] for word in ("--help", "--version")}
        commands |= {spec: ["check", str(ROOT / "specs" / f"{spec}.yaml")] for spec in SPECS}
        for parts in PARTS:
            (folder / str(parts)).mkdir()
            commands[f"{parts} parts"] = ["check", str(write(folder / str(parts), parts))]
        print(f"\n{'in bare starts':18}{'plain install':>20}{'editable':>12}")
        for told, arguments in commands.items():
            count, ms = in_starts(plain, arguments, folder, runs)
            other, _ = in_starts(editable, arguments, folder, runs)
            print(f"{told:18}{count:9.1f} ({ms:5.0f} ms){other:12.1f}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
