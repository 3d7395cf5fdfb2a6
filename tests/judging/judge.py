"""What the check says of plans and mistakes that it never met, for reading by hand: what it prints is no figure.

Run: python -m tests.judging.judge second-mistakes.yaml, or ../adversary/cart-mistakes.yaml

For every mistake it prints the findings above NOTICE that the unchanged plan does not have, those about one of the
parts that must be named first, beside what must be said.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from copy import deepcopy
from itertools import chain
from pathlib import Path

from tests.plain_plans import Plan, parsed, with_edits, written
from wiring.design.load import load_text
from wiring.findings import Finding, Report, Signal
from wiring.rules.run import judge

HERE = Path(__file__).parent


def plan(name: str) -> Plan:
    """A plan as plain data, or a list of mistakes."""
    return parsed((HERE / name).read_text("utf-8"))


def judged(data: Plan) -> Report:
    """The report on plain data; its faults, printed, where it cannot be read."""
    loaded = load_text(written(data), "plan.yaml", HERE)
    if loaded.design is None:
        raise SystemExit("\n".join(f"{fault.place}: {fault.summary}" for fault in loaded.faults))
    return judge(loaded.design)


def edited(data: Plan, mistake: Plan) -> Plan:
    """The plan with the mistake."""
    return with_edits(deepcopy(data), mistake, ".")


def grave(report: Report) -> dict[tuple[str, tuple[str, ...]], Finding]:
    """The findings above NOTICE by rule and subjects."""
    kept = (one for one in report.standing if one.signal.rank < Signal.NOTICE.rank)
    return {(one.rule, one.subjects): one for one in kept}


def said(mistake: Plan, before: Report, after: Report) -> Iterator[str]:
    """The lines on one mistake."""
    known = grave(before)
    fresh = [one for key, one in grave(after).items() if key not in known]
    about = set(mistake["about"])
    yield f"\n{mistake['mistake']} (at least {mistake['at_least']})\n    must say: {mistake['says']}"
    for one in sorted(fresh, key=lambda one: (not about & set(one.subjects), one.signal.rank, one.rule)):
        mark = "*" if about & set(one.subjects) else " "
        yield f"  {mark} {one.signal} {one.rule} {', '.join(one.subjects)}: {one.summary}"
    if not fresh:
        yield f"    nothing new; verdict {after.verdict}"


def main(name: str) -> None:
    """Prints every plan before the first mistake in it, then every mistake; bases stand beside the list."""
    seen: dict[str, tuple[Plan, Report]] = {}
    for mistake in chain.from_iterable(plan(name).values()):
        place = str((HERE / name).parent / mistake["base"])
        if place not in seen:
            base = plan(place)
            seen[place] = base, judged(base)
            print(f"\n== {mistake['base']}: {seen[place][1].verdict}")
            for one in grave(seen[place][1]).values():
                print(f"  {one.signal} {one.rule} {', '.join(one.subjects)}: {one.summary}")
        base, before = seen[place]
        print("\n".join(said(mistake, before, judged(edited(base, mistake)))), flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
