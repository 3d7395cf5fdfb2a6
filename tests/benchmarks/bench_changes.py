"""How long a change takes, as a multiple of judging the plan once.

Run from the project's root: `python tests/benchmarks/bench_changes.py [PLAN]`. Processor time, imports not counted.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

from wiring.changes.addition import add_motor, change_plan
from wiring.changes.outcome import open_plan
from wiring.changes.room import room
from wiring.changes.suggest import suggest
from wiring.reports.change_report import render_change

GANTRY = Path(__file__).parents[2] / "specs" / "foam-gantry.yaml"


def seconds(work: Callable[[], object], times: int) -> float:
    """The shortest processor time of several runs."""
    found = []
    for _ in range(times):
        start = process_time()
        work()
        found.append(process_time() - start)
    return min(found)


def main() -> None:
    """Prints each in seconds and as a multiple of reading, solving and judging once."""
    plan = Path(sys.argv[1]) if len(sys.argv) > 1 else GANTRY
    motor = next(name for name, part in open_plan(plan).design.parts.items() if part.kind.endswith("motor"))
    once = seconds(lambda: open_plan(plan).judged, 5)
    rows = [("judged once", once)]
    for count in (1, 4):
        add = lambda count=count: render_change(add_motor(plan, motor, count=count), width=80, colour=False)  # noqa: E731
        rows.append((f"add-motor --like {motor}, {count}", seconds(add, 3)))
    rows.append(("change of one value", seconds(lambda: change_plan(plan, ["machine=Another"]), 3)))
    rows.append(("suggest", seconds(lambda: suggest(open_plan(plan), 0.2).clear, 3)))
    rows.append(("room", seconds(lambda: room(open_plan(plan)), 3)))
    for name, taken in rows:
        print(f"{name:<24} {taken:7.2f} s {taken / once:7.1f} times")


if __name__ == "__main__":
    main()
