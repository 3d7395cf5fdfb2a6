"""Which rules ask for which key of a kind of part: each key of the specs left out, one at a time.

`python -m tests.parts.keys_asked` writes `wiring/rules/keys_asked.csv` again, in two minutes of processor time; with
names of kinds or rules behind it, only their rows, in seconds. A test draws rows from it and works them out anew.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator, Sequence
from copy import deepcopy
from pathlib import Path

from msgspec.structs import replace

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "laws")]

from law_plans import SPECS, loaded, plan_of  # noqa: E402 - the tests are no package of their own
from plain_plans import Plan  # noqa: E402

from wiring.parts.kinds import KIND_NAMES, kind_model  # noqa: E402
from wiring.rehearsal.kept_proof import Kept, KeptStopping  # noqa: E402
from wiring.rules import OF_STOPS, SLUGS  # noqa: E402
from wiring.rules.run import tell  # noqa: E402

TABLE = ROOT / "wiring" / "rules" / "keys_asked.csv"
PLANS = [*SPECS, *sorted((ROOT / "wiring" / "rules" / "examples").glob("*.yaml"))]
#: What identifies or describes a part, so that no check can need it.
_SAYS_NOTHING = {"kind", "title", "note", "at", "terminals", "sheet", "order", "price", "supplier", "bought"}
#: So often a key of a kind is tried, in parts that may be asked different questions.
_TIMES = 3
#: Kinds that stand in the circuits of stops: the rules on these take a second, and are asked once for each key.
_IN_STOPS = {"safety-relay", "contactor", "relay", "emergency-stop", "guard-switch", "push-button", "servo-drive"}
_OF_LOADS = tuple(slug for slug in SLUGS if slug not in OF_STOPS)
Row = tuple[str, str, str]


def asked_in(plan: Plan, slugs: Sequence[str] = SLUGS, kept: Kept | None = None) -> set[tuple[str, str]]:
    """Rule and part of every open question of these rules; none where the plan cannot be read.

    The proof of the stops, which most keys leave standing, may be one of those kept.
    """
    design = loaded(plan).design
    if design is None:
        return set()
    if kept is not None:
        design = replace(design, stopping=KeptStopping(design.machine, design.operation, kept))
    return {(one.rule, name) for one in tell(design, slugs).not_judged for name in one.subjects}


def without(plan: Plan, part: str, key: str) -> Plan:
    """The plan with a key of a part left out."""
    less = deepcopy(plan)
    del less["parts"][part][key]
    return less


def keys_of(kind: str, entry: Plan) -> list[str]:
    """The keys of a part of that kind that can be left out."""
    required = {field.alias or name for name, field in kind_model(kind).model_fields.items() if field.is_required()}
    return [key for key in entry if key not in required | _SAYS_NOTHING]


def asked_of(kind: str, times: int, names: Sequence[str]) -> tuple[str, ...]:
    """The rules asked when a key of a kind is tried for the n-th time: those that `names` names, or all."""
    slugs = SLUGS if times == 1 and kind in _IN_STOPS else _OF_LOADS
    return tuple(slug for slug in slugs if not names or kind in names or slug in names)


def rows_of(path: Path, seen: dict[tuple[str, str], int], names: Sequence[str]) -> Iterator[Row]:
    """Kind, key and rule of every question that leaving one key out brings."""
    plan, kept = plan_of(path.read_text(encoding="utf-8")), Kept()
    base = asked_in(plan, tuple(SLUGS), kept)
    for part, entry in plan["parts"].items():
        kind = entry["kind"]
        for key in keys_of(kind, entry):
            times = seen[kind, key] = seen.get((kind, key), 0) + 1
            slugs = asked_of(kind, times, names)
            if times <= _TIMES and slugs:
                yield from ((kind, key, rule) for rule, _ in asked_in(without(plan, part, key), slugs, kept) - base)


def rows_kept(names: Sequence[str]) -> Iterator[Row]:
    """The rows of the table as it is that are of none of these kinds and rules."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        for kind, key, rule in [*csv.reader(file)][1:]:
            if names and not {kind, rule} & set(names):
                yield kind, key, rule


def main(names: Sequence[str]) -> None:
    """Writes the table, or the rows of some kinds and rules in it."""
    if strange := set(names) - set(KIND_NAMES) - set(SLUGS):
        sys.exit(f"No kind of part and no rule: {', '.join(sorted(strange))}.")
    seen: dict[tuple[str, str], int] = {}
    rows = set(rows_kept(names))
    for path in PLANS:
        rows |= set(rows_of(path, seen, names))
        print(path.name, len(rows), flush=True)
    with TABLE.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("kind", "key", "rule"))
        writer.writerows(sorted(rows))


if __name__ == "__main__":
    main(sys.argv[1:])
