"""`check` of plans shaped to hurt: processor time, memory and verdict of a child process that is ended at a limit.

Run it with [SIZE [SECONDS [SHAPE …]]]: plans just below a third of
SIZE bytes and SIZE itself (300,000), each ended after so many seconds of processor time (120) or at 3 GB.
"""

from __future__ import annotations

import json
import math
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.robustness.heavy_plans import SHAPES, largest  # noqa: E402
from tests.robustness.more_heavy_plans import MORE_SHAPES  # noqa: E402

MOST_BYTES = 3 << 30


class Taken(NamedTuple):
    """What one child took: processor time [s], most memory [MB], and what it said."""

    seconds: float
    megabytes: float
    said: str


def checked(plan: Path, seconds: int) -> Taken:
    """A plan checked by a child of its own."""

    def held() -> None:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))

    with tempfile.TemporaryFile() as told:
        child = subprocess.Popen(
            [sys.executable, "-m", "wiring", "check", str(plan), "--format", "json"],
            stdout=told,
            stderr=subprocess.DEVNULL,
            preexec_fn=held,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        _, _, used = os.wait4(child.pid, 0)
        told.seek(0)
        text = told.read()
    try:
        report = json.loads(text)
        said = f"{report['verdict']}, {len(report['findings'])} findings, {len(report['not_judged'])} open"
    except (ValueError, KeyError):
        said = "ended at the limit"
    return Taken(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, said)


def main(size: int = 300_000, seconds: int = 120, *names: str) -> None:
    """Print a line a shape and size, and how the time of a shape grows with its count."""
    print(f"{'shape':26}{'count':>8}{'s':>8}{'MB':>7}  verdict")
    for shape in (*SHAPES, *MORE_SHAPES):
        if names and shape.__name__ not in names:
            continue
        taken = []
        for wanted in (size // 3, size):
            count, text = largest(shape, wanted)
            with tempfile.TemporaryDirectory() as folder:
                plan = Path(folder) / "plan.yaml"
                plan.write_text(text, encoding="utf-8")
                one = checked(plan, seconds)
            print(f"{shape.__name__:26}{count:>8}{one.seconds:>8.1f}{one.megabytes:>7.0f}  {one.said}", flush=True)
            taken.append((count, one.seconds))
        (few, fast), (many, slow) = taken
        print(f"{'':26}growth {math.log(slow / fast, many / few):.2f}", flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]), *sys.argv[3:])
