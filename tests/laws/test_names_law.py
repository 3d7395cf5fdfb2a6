"""Law: names and order mean nothing. Every part, wire and cable renamed and every section shuffled, the verdict and the
set of findings and open questions are the same under the new names, and what the stop proof finds of every fault; of
the plans of `specs/` and of those with one marked mistake."""

from __future__ import annotations

from collections import Counter
from hashlib import sha256
from pathlib import Path

import pytest
from law_cases import EVERYTHING, ROOT, wire_pieces
from law_names import renamed
from plain_plans import Plan, parsed, written

from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.findings import Report
from wiring.rules.run import judge

SIZE = 3
PLANS = [path for path in (ROOT / "specs").glob("**/*.yaml") if path.parent.name != "machines"]
PLANS.sort(key=lambda path: sha256(path.read_bytes()).digest())
CHOSEN = PLANS if EVERYTHING else PLANS[:SIZE]


def _design(plan: Plan) -> Design:
    loaded = load_text(written(plan), "plan.yaml", ROOT / "specs")
    assert loaded.design is not None, [str(fault) for fault in loaded.faults]
    return loaded.design


def _proved(design: Design) -> dict[tuple[str, str, str, str], int]:
    """How many faults of each kind the stop proof finds so, by stop and state."""
    return Counter(
        (result.use.called, one.fault.kind, one.verdict, str(one.moment))
        for result in design.stop_proof.results.values()
        for one in result.verdicts
    )


def _said(report: Report, names: dict[str, str]) -> set[tuple[str, str, frozenset[str], bool]]:
    def new(name: str) -> str:
        head, dot, rest = name.partition(".")
        return names.get(name) or (f"{names[head]}{dot}{rest}" if head in names else name)

    found = {(f.rule, str(f.signal), frozenset(map(new, f.subjects)), f.accepted is not None) for f in report.findings}
    asked = {(q.rule, "?", frozenset(map(new, q.subjects)), q.accepted is not None) for q in report.not_judged}
    return found | asked


@pytest.mark.parametrize("path", CHOSEN, ids=lambda path: path.stem)
def test_the_same_is_said_under_other_names_and_in_another_order(path: Path) -> None:
    plan = parsed(path.read_text("utf-8"))
    plan["wires"] = [piece for wire in plan["wires"] for piece in wire_pieces(wire)]
    other, names = renamed(plan, len(path.stem))
    here, there = _design(plan), _design(other)
    before, after = judge(here), judge(there)
    assert after.verdict == before.verdict
    assert _said(after, {}) == _said(before, names)
    assert _proved(there) == _proved(here)
