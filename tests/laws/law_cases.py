"""What every law of this folder needs: the plans, every wire an entry of its own, and which cases a run tries.

A run tries a sample drawn by the hash of the plan's text, so that a plan that changes is tried at other places;
`WIRING_LAWS=all` tries every case there is.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from copy import deepcopy
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from itertools import pairwise
from pathlib import Path

import yaml
from plain_plans import Plan, parsed, written

from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.findings import Finding, Report, Signal
from wiring.rules.run import judge

ROOT = Path(__file__).parents[2]
SPECS = tuple(path.stem for path in sorted((ROOT / "specs").glob("*.yaml")))
#: Whether a run tries every case.
EVERYTHING = os.environ.get("WIRING_LAWS") == "all"


@dataclass(frozen=True)
class Case:
    """One plan changed at one place. `name` is the plan and the place: `coil-winder wire 203`."""

    name: str
    edit: Callable[[Plan], None]

    @property
    def base(self) -> str:
        return self.name.split(" ", 1)[0]

    @property
    def place(self) -> str:
        return self.name.split(" ", 1)[1]

    def text(self) -> str:
        plan = deepcopy(pieces(self.base))
        self.edit(plan)
        return written(plan)


def path_of(name: str) -> Path:
    """Where a plan stands: in `specs/`, among those of judgements, or here."""
    folders = (ROOT / "specs", ROOT / "tests" / "judging", Path(__file__).parent)
    return next(path for folder in folders if (path := folder / f"{name}.yaml").exists())


@cache
def pieces(name: str) -> Plan:
    """A plan with every piece of a chain or fan-out as a wire of its own."""
    plan = parsed(path_of(name).read_text("utf-8"))
    plan["wires"] = [piece for wire in plan["wires"] for piece in wire_pieces(wire)]
    return plan


def wire_pieces(wire: Plan) -> list[Plan]:
    chain = wire.get("through")
    if chain is None:
        assert "from" in wire, wire
        return [wire]
    rest = {key: value for key, value in wire.items() if key not in ("through", "wire")}
    pairs = list(pairwise(chain))
    names = [wire["wire"]] if len(pairs) == 1 else [f"{wire['wire']}.{n}" for n in range(1, len(pairs) + 1)]
    return [{"wire": name, "from": a, "to": b, **rest} for name, (a, b) in zip(names, pairs, strict=True)]


@cache
def sound(name: str) -> Design:
    """The design of a plan as it stands."""
    loaded = load_text(written(pieces(name)), f"{name}.yaml", ROOT / "specs")
    assert loaded.design is not None, loaded.faults
    return loaded.design


Told = tuple[str, Signal, tuple[str, ...]]


def told(findings: Iterable[Finding]) -> set[Told]:
    """What stands at or above CAUTION, folded or not, by rule, weight and subjects."""
    return {
        (one.rule, one.signal, one.subjects)
        for one in findings
        if one.signal is not Signal.NOTICE and one.accepted is None
    }


@cache
def before(name: str) -> set[Told]:
    """What is told of a plan as it stands."""
    return told(judge(sound(name)).findings)


def judged(case: Case) -> Report | None:
    """What the rules say of a case; None where the plan is refused with its faults."""
    loaded = load_text(case.text(), f"{case.base}.yaml", ROOT / "specs")
    return None if loaded.design is None else judge(loaded.design)


def news(case: Case) -> list[Finding] | None:
    """What a case adds at or above CAUTION; None where the plan is refused."""
    report = judged(case)
    if report is None:
        return None
    assert report.crashed == (), case.name
    old = before(case.base)
    return [one for one in report.findings if told([one]) - old]


def sample(cases: Sequence[Case], size: int) -> list[Case]:
    """`size` of the cases, as the hash of the plan's text and of the place draws them; all of them in a whole run."""
    if EVERYTHING:
        return list(cases)
    texts = {name: path_of(name).read_bytes() for name in {case.base for case in cases}}
    return sorted(cases, key=lambda case: sha256(texts[case.base] + case.place.encode()).digest())[:size]


def exceptions(law: str) -> dict[str, str]:
    """Cases of a law that may stay silent, each with its physics; written in `exceptions.yaml`."""
    table = yaml.safe_load((Path(__file__).parent / "exceptions.yaml").read_text("utf-8"))
    return {f"{plan} {place}": why for plan, places in (table[law] or {}).items() for place, why in places.items()}
