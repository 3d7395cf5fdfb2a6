"""Whole machines of 80, 880 and 9,000 parts: one operating point, all short circuits; then cold commands.

Run from the project's root: `python tests/benchmarks/bench_machine.py`. Processor time counts, of the best of several
runs, so that other work on the machine matters less.
"""

import math
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

import bench_start  # noqa: E402
from big_plans import write  # noqa: E402

from wiring.design.load import load  # noqa: E402
from wiring.rules import SLUGS, rule_module  # noqa: E402

SIZES = (80, 880, 9_000)
CHECKED = (80, 880)
PROPERTIES = ("lowered", "states", "averages", "peaks", "inside", "protections", "conductors", "short_circuits")


def timed(run):
    begin = time.process_time()
    result = run()
    return 1000.0 * (time.process_time() - begin), result


def once(path):
    """Milliseconds of every step on a fresh design."""
    loaded_ms, loaded = timed(lambda: load(path))
    assert loaded.design is not None, loaded.faults[:3]
    rows = {"read": loaded_ms}
    for name in PROPERTIES:
        rows[name], _ = timed(lambda name=name: getattr(loaded.design, name))
    return rows, loaded.design


def measure(parts, times):
    best, design = {}, None
    with tempfile.TemporaryDirectory() as folder:
        path = write(Path(folder), parts)
        for _ in range(times):
            rows, design = once(path)
            best = {name: min(value, best.get(name, math.inf)) for name, value in rows.items()}
    return best, design


def growth(first, last, ratio):
    return math.log(last / first) / math.log(ratio)


def rule_times(design):
    """The slowest rules on a design whose quantities are known, in ms."""
    found = {slug: timed(lambda slug=slug: list(rule_module(slug).check(design)))[0] for slug in SLUGS}
    slowest = sorted(found.items(), key=lambda row: -row[1])[:5]
    return sum(found.values()), ", ".join(f"{slug} {ms:.1f}" for slug, ms in slowest)


def main():
    rows, sizes = {}, {}
    for parts in SIZES:
        rows[parts], design = measure(parts, 3 if parts < 5_000 else 1)
        sizes[parts] = (len(design.parts), len(design.circuit.conductors))
        if parts in CHECKED:
            total, slowest = rule_times(design)
            print(f"rules at {parts} parts: {total:.0f} ms in all; slowest: {slowest}")
    ratio = sizes[SIZES[-1]][0] / sizes[SIZES[0]][0]
    print(f"\n{'step':16}" + "".join(f"{size[0]:>8} parts" for size in sizes.values()) + "   growth")
    print(f"{'conductors':16}" + "".join(f"{size[1]:>14}" for size in sizes.values()))
    for name in rows[SIZES[0]]:
        values = [rows[parts][name] for parts in SIZES]
        line = "".join(f"{value:11.1f} ms" for value in values)
        print(f"{name:16}{line}{growth(max(values[0], 0.05), values[-1], ratio):9.2f}")
    bench_start.main()


if __name__ == "__main__":
    main()
