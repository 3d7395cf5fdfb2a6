"""What the check says of plans and mistakes that it never met, for reading by hand: what it prints is no figure.

Run: python -m tests.judging.judge second-mistakes.yaml

For every mistake it prints the findings above NOTICE that the unchanged plan does not have, those about one of the
parts that must be named first, beside what must be said.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import yaml

from wiring.design.load import load_text
from wiring.findings import Finding, Report, Signal
from wiring.rules.run import judge

HERE = Path(__file__).parent
#: The key by which the entries of a list are called.
NAMES = {"wires": "wire", "cables": "cable"}


def plan(name: str) -> Any:
    """A plan as plain data."""
    return yaml.load((HERE / name).read_text("utf-8"), Loader=yaml.BaseLoader)


def judged(data: Any) -> Report:
    """The report on plain data; its faults, printed, where it cannot be read."""
    loaded = load_text(yaml.safe_dump(data, allow_unicode=True, sort_keys=False), "plan.yaml", HERE)
    if loaded.design is None:
        raise SystemExit("\n".join(f"{fault.place}: {fault.summary}" for fault in loaded.faults))
    return judge(loaded.design)


def holder(data: Any, way: str) -> tuple[Any, str, str]:
    """What holds the value of a dotted way, its key there, and the name of the list or mapping."""
    *steps, last = way.split(".")
    above = ""
    for step in steps:
        data = entry(data, step, above) if isinstance(data, list) else data.setdefault(step, {})
        above = step
    return data, last, above


def entry(items: list[Any], name: str, above: str) -> Any:
    """The wire or cable of a number."""
    return next(one for one in items if one[NAMES[above]] == name)


def edited(data: Any, mistake: Any) -> Any:
    """The plan with the mistake: what is dropped first, then what is set, then what is added."""
    data = deepcopy(data)
    for way in mistake.get("drop", ()):
        here, last, above = holder(data, way)
        if isinstance(here, list):
            here.remove(entry(here, last, above))
        else:
            del here[last]
    for way, value in mistake.get("set", {}).items():
        here, last, _ = holder(data, way)
        here[last] = value
    for way, more in mistake.get("add", {}).items():
        here, last, _ = holder(data, way)
        here[last] = [*here[last], *more] if isinstance(more, list) else {**here[last], **more}
    return data


def grave(report: Report) -> dict[tuple[str, tuple[str, ...]], Finding]:
    """The findings above NOTICE by rule and subjects."""
    kept = (one for one in report.standing if one.signal.rank < Signal.NOTICE.rank)
    return {(one.rule, one.subjects): one for one in kept}


def said(mistake: Any, before: Report, after: Report) -> Iterator[str]:
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
    """Prints the plans as they are, then every mistake."""
    for mistakes in yaml.load((HERE / name).read_text("utf-8"), Loader=yaml.BaseLoader).values():
        base = plan(mistakes[0]["base"])
        before = judged(base)
        print(f"\n== {mistakes[0]['base']}: {before.verdict}")
        for one in grave(before).values():
            print(f"  {one.signal} {one.rule} {', '.join(one.subjects)}: {one.summary}")
        for mistake in mistakes:
            print("\n".join(said(mistake, before, judged(edited(base, mistake)))), flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
