"""Change constants and comparisons one at a time and list those that the rooms' tests do not notice.

`python -m tests.changed_constants SEED [COUNT] [FOLDER]` draws COUNT changes (100) by SEED. The copy of the tree and
what its tests run, measured once in some minutes, stand in FOLDER, a new one where none is given. A change costs at
most half a minute. The exit status is 1 where one survives.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import mkdtemp

from tests.changed_constants.changes import changes_of
from tests.changed_constants.tree import ROOMS, Tree

ROOT = Path(__file__).parents[2]


def main(seed: int, count: int = 100, folder: str = "") -> int:
    """Judge `count` changes, print each as it falls or survives, and return the number of survivors."""
    survivors, judged = [], 0
    with Tree(ROOT, Path(folder or mkdtemp(prefix="changed-constants-")).resolve()) as tree:
        for change in changes_of(tree.work, tuple(ROOMS), seed):
            if judged == count:
                break
            if change.equivalent:
                print(f"equivalent    {change}  ({change.equivalent})", flush=True)
                continue
            judged += 1
            outcome = tree.judged(change)
            if not outcome.killed_by:
                survivors.append(outcome)
            word = "killed" if outcome.killed_by else "SURVIVED"
            by = outcome.killed_by or f"{outcome.ran} of {outcome.known} tests"
            print(f"{judged:3} {word:9} {change}  {by}", flush=True)
    print(f"\nSeed {seed}: {judged} changes, {len(survivors)} survived.")
    for outcome in survivors:
        print(f"  {outcome.change}  ({outcome.ran} of {outcome.known} tests that run it)")
    return len(survivors)


if __name__ == "__main__":
    if not 2 <= len(sys.argv) <= 4:
        raise SystemExit(__doc__)
    sys.exit(bool(main(int(sys.argv[1]), *(int(n) for n in sys.argv[2:3]), *sys.argv[3:4])))
