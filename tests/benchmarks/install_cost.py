"""What the README's editable install costs over a plain one: processor time of `check`, in turns, as a ratio.

Run: python -m tests.benchmarks.install_cost
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
PLAN = ROOT / "specs" / "coil-winder.yaml"
RUNS = 20


def installed(folder: Path, *arguments: str) -> Path:
    """The Python of a new environment with the project in it."""
    subprocess.run([sys.executable, "-m", "venv", folder], check=True)
    subprocess.run([folder / "bin" / "pip", "install", "--quiet", *arguments], check=True, cwd=ROOT)
    return folder / "bin" / "python"


def processor_s(python: Path, arguments: list[str], folder: Path) -> float:
    """Processor time of one run away from the clone, with compiled modules kept as Python does by itself [s]."""
    around = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([python, *arguments], stdout=subprocess.DEVNULL, cwd=folder, env=around)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Print the medians and their ratio, for bare Python and for `check`."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        editable, plain = installed(folder / "editable", "--editable", "."), installed(folder / "plain", ".")
        for words in (["-c", "pass"], ["-m", "wiring", "check", str(PLAN)]):
            pairs = [(processor_s(editable, words, folder), processor_s(plain, words, folder)) for _ in range(RUNS)]
            ours, theirs = median(pair[0] for pair in pairs), median(pair[1] for pair in pairs)
            print(
                f"{' '.join(words[:3])}: editable {ours * 1e3:.0f} ms, plain {theirs * 1e3:.0f} ms, {ours / theirs:.3f}"
            )


if __name__ == "__main__":
    main()
