"""Every mend that is printed as a change is one: applied to every faulty plan and judged again by all rules.

Gone is a finding of which no more than a notice is left: a fuse that now opens, but after an hour, is told as one.

Every tenth plan in the daily run, the share of every twelfth; WIRING_EVERY_MEND=1 applies all of them and prints the
share that carries one.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import combinations
from pathlib import Path

import pytest
from asked_not_stated import faults_of as hidden_by
from plain_plans import written

from wiring.changes.outcome import Outcome, outcome_of
from wiring.changes.tried_mends import with_tried_mends
from wiring.findings import Finding, Mend, Report, Signal
from wiring.plan.edits import SetValue
from wiring.rules.run import judge
from wiring.sizing.mends import remade

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests" / "faulty"))
from test_faulty_edits import CASES, edited  # noqa: E402

WHOLE = bool(os.environ.get("WIRING_EVERY_MEND"))
FILES = {path.stem: path for path in sorted((ROOT / "specs" / "faulty").glob("*.yaml"))}
NAMES = [*FILES, *CASES]
SAMPLE = NAMES if WHOLE else NAMES[::10]
#: IEC 60898-1, 5.3.2 (breakers), IEC 60269-1 and -2 (gG), IEC 60127 (miniature), NFPA 70, 240.6(A), and what the trade
#: sells of class CC fuses and supplementary protectors (common practice): no other rated current can be bought [A].
RATINGS = {
    *(0.5, 0.63, 0.8, 1, 1.25, 1.6, 2, 2.5, 3, 3.15, 4, 5, 6, 6.3, 7, 8, 10, 12, 13, 15, 16, 20, 25, 30, 32, 35, 40),
    *(45, 50, 60, 63, 70, 80, 90, 100),
}
#: Rated currents of supplies, converters, contactors (AC-3), switches and residual current devices (common practice),
#: and IEC 60228, the thin ones of DIN VDE 0295 and ASTM B258 for conductors; a part of the library is sold as a whole.
RATED = {
    *(1, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 8.5, 9, 10, 12, 12.5, 15, 16, 18, 20, 25, 30, 32, 40, 50, 60, 63, 65, 80, 95),
    *(100, 160, 250, 400, 500, 630, 1000),
}
SIZES = {
    *(
        f"{mm2} mm2"
        for mm2 in [
            "0.14",
            "0.22",
            "0.25",
            "0.34",
            "0.5",
            "0.75",
            "1",
            "1.0",
            "1.5",
            "2.5",
            "4",
            "6",
            "10",
            "16",
            "25",
            "35",
            "50",
            "70",
            "95",
            "120",
        ]
    ),
    *(
        f"{gauge} AWG"
        for gauge in [
            "26",
            "24",
            "22",
            "20",
            "18",
            "16",
            "14",
            "12",
            "10",
            "8",
            "6",
            "4",
            "3",
            "2",
            "1",
            "1/0",
            "2/0",
            "3/0",
            "4/0",
        ]
    ),
}


@cache
def plan_of(name: str) -> Outcome:
    if name in FILES:
        return outcome_of(FILES[name].read_text(encoding="utf-8"), name, FILES[name].parent)
    return outcome_of(written(edited(CASES[name])), name, ROOT / "specs")


@cache
def report_of(name: str) -> Report:
    """As `check` prints it, but with the mends of every root tried, not those of the worst alone."""
    design = plan_of(name).design
    report = judge(design)
    return with_tried_mends(design, report, report.roots)


def grave(report: Report) -> list[Finding]:
    return [one for one in report.roots if one.signal.rank <= Signal.CAUTION.rank]


def behind(outcome: Outcome) -> dict[tuple[str, str], set[str]]:
    """The protective devices in front of every point that a source reaches."""
    paths = outcome.design.short_circuits.paths
    return {node: {name for name in way.devices if name in outcome.design.parts} for node, way in paths.hot.items()}


def joined(outcome: Outcome) -> set[tuple[str, str]]:
    """The poles of different sources that are one piece of metal, their returns apart."""
    live = [pole for pole in outcome.design.nets.poles if pole.main and pole.sign not in ("-", "N")]
    of = outcome.design.nets.of
    return {
        (f"{one.source} {one.sign}", f"{other.source} {other.sign}")
        for one, other in combinations(live, 2)
        if of[one.node] == of[other.node]
    }


def faults_of(before: Outcome, report: Report, root: Finding, mend: Mend) -> list[str]:
    """What is wrong with a mend, in words."""
    after = before.changed(mend.edits)
    again = judge(after.design)
    gone = [root, *report.effects_of(root)]
    found = [f"crashed {again.crashed}"] if again.crashed else []
    for finding in again.standing:
        names = set(finding.subjects)
        of = [one for one in report.findings if one.rule == finding.rule and names <= set(one.subjects)]
        beside = of and not any(one in gone for one in of)  # it stood before, of another cause
        for one in gone if finding.signal is not Signal.NOTICE and not beside else ():
            if finding.rule == one.rule and set(finding.subjects) & set(one.subjects):
                found.append(f"still {finding.rule}: {finding.summary}")
        known = any(one.rule == finding.rule and set(finding.subjects) <= set(one.subjects) for one in report.findings)
        if finding.signal.rank <= Signal.WARNING.rank and not known:
            found.append(f"new {finding.rule}: {finding.summary}")
    ways = behind(after)
    for node, devices in behind(before).items():
        if node in ways and not devices <= ways[node] and node[0] not in root.subjects:
            found.append(f"{sorted(devices - ways[node])} no longer in front of {node}")
    found += [f"{one} and {other} are joined" for one, other in joined(after) - joined(before)]
    return [*found, *not_sold(before, after)]


def not_sold(before: Outcome, after: Outcome) -> Iterator[str]:
    """The sizes that a change names and nobody sells."""
    for name, part in after.design.parts.items():
        old = before.design.parts.get(name)
        for key, sold in (("rating", RATINGS), ("rated", RATED)):
            new = getattr(part.data, key, None)
            # the `rated` of a lamp or heater is a voltage with its power, of which any size is sold
            if isinstance(new, float) and not part.library and new != getattr(old and old.data, key, None):
                yield from () if new in sold else [f"no {part.kind} of {new:g} is sold"]
    sizes = {one.id: one.size for one in before.design.circuit.conductors}
    for one in after.design.circuit.conductors:
        if one.size is not None and one.size != sizes.get(one.id) and one.size.text not in SIZES:
            yield f"{one.id} of {one.size.text}"


@pytest.mark.parametrize("name", SAMPLE)
def test_what_is_printed_as_a_change_mends_and_harms_nothing(name: str) -> None:
    before, report = plan_of(name), report_of(name)
    for root in grave(report):
        for mend in root.mends:
            assert not mend.asks, f"{root.rule}: not worked out"
            if mend.edits:
                assert mend.tried
                assert faults_of(before, report, root, mend) == [], (root.rule, mend.words, mend.edits)


@pytest.mark.parametrize("name", SAMPLE)
def test_what_carries_no_change_says_what_a_person_must_decide(name: str) -> None:
    for root in grave(report_of(name)):
        assert root.mends, root.rule
        assert all(len(mend.words) > 12 for mend in root.mends)
        assert hidden_by(root) == []


def test_four_of_five_findings_carry_a_change(capsys: pytest.CaptureFixture[str]) -> None:
    """Of every sixth plan, each change tried; what carries none says what a person must decide.

    The share over all of them is printed by the whole run.
    """
    roots = [root for name in (NAMES if WHOLE else NAMES[::12]) for root in grave(report_of(name))]
    carrying = [root for root in roots if any(mend.edits for mend in root.mends)]
    if WHOLE:
        with capsys.disabled():
            print(f"{len(carrying)} of {len(roots)} findings carry a change; none of", end=" ")
            print(*sorted({root.rule for root in roots} - {root.rule for root in carrying}), sep=", ")
    assert len(carrying) / len(roots) >= 0.8


#: F2 of 10 A stands in front of 0.75 mm2, which bears 6.88 A.
DIPPER = "protection-above-conductor-dipper"


def test_a_change_that_fails_is_not_printed() -> None:
    """8 A are less than 10 and still too much, and the supply behind F2 has nothing to do with it."""
    design, [root] = plan_of(DIPPER).design, grave(report_of(DIPPER))
    held = [mend for mend in root.mends if mend.edits]
    wrong = [
        Mend("Make F2 8 A.", (SetValue(("parts", "F2", "rating"), "8 A"),)),
        Mend("Say that it is bought.", (SetValue(("parts", "F2", "bought"), "true"),)),
    ]

    def after(mends: Sequence[Mend]) -> tuple[Mend, ...]:
        report = remade(report_of(DIPPER), [root], lambda _: mends)
        return with_tried_mends(design, report).roots[0].mends

    assert after([*wrong, *held]) == tuple(held)
    [told] = after(wrong)
    assert not told.edits
    assert told.words.startswith("Tried without success: Make F2 8 A; protection-above-conductor stays")
