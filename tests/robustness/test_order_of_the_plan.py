"""No result depends on the order in which a plan is written: every section shuffled, every output the same.

Listings of findings follow the file, so that a person can work down it; they are compared as sets. States keep their
written order in tables. CI tries three plans, drawn by the hash of their text; `WIRING_ORDER=all` tries every one.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from functools import cache
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest
from plain_plans import Plan, parsed, written

from wiring.design.load import load_text
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.documents.files import as_csv
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS
from wiring.drawing.svg import svg_of
from wiring.powerup.readings_file import sheet_csv
from wiring.powerup.sheet import build
from wiring.reports import render
from wiring.reports.budget import render_budget
from wiring.reports.json_report import report_data, to_json
from wiring.reports.stop_report import render_stop
from wiring.rules.run import judge

SPECS = Path(__file__).parents[2] / "specs"
PLANS = sorted(SPECS.glob("*.yaml"), key=lambda path: sha256(path.read_bytes()).digest())
NAMES = [path.stem for path in PLANS[: None if os.environ.get("WIRING_ORDER") == "all" else 2]]
MAPPINGS, LISTS = ("parts", "stops", "routes", "wire_types"), ("wires", "cables", "accepted")


def shuffled(plan: Plan, seed: int) -> Plan:
    """The plan with its sections, and what stands in them, in another order."""
    random = Random(seed)
    changed: Plan = {}
    for key in random.sample(list(plan), len(plan)):
        value = plan[key]
        if key in MAPPINGS and isinstance(value, dict):
            value = {name: value[name] for name in random.sample(list(value), len(value))}
        elif key in LISTS and isinstance(value, list):
            value = random.sample(value, len(value))
        changed[key] = value
    return changed


def outputs(plan: Plan) -> dict[str, object]:
    """Every output of a plan by its name, without line and column."""
    loaded = load_text(written(plan), "plan.yaml", SPECS)
    design = loaded.design
    assert design is not None
    report = judge(design)
    found: dict[str, object] = {}
    brief = re.sub(r"plan\.yaml:\d+:\d+", "", render(report, loaded.sources, "brief"))
    found["brief"] = Counter(brief.splitlines())
    found["figures"] = to_json(report_data(report)["figures"])
    found["budget"] = render_budget(report, width=100, colour=False, all_rows=True)
    for name in ListName:
        found[f"list {name}"] = as_csv(list_table(design, name))
    for sheet in draw(design, report, PAPERS["A3"]):
        found[f"sheet {sheet.number}"] = svg_of(sheet)
    builder = build(design)
    found["power-up"] = sheet_csv(builder.sheet(), builder.survey)
    told = account(design.stopping, full_proof(design.stopping, None, None, None), everything=False)
    found["stop"] = render_stop(told, "plan", width=100, colour=False, encoding="utf-8")
    return found


@cache
def sound(name: str) -> tuple[Plan, dict[str, object]]:
    plan = parsed((SPECS / f"{name}.yaml").read_text("utf-8"))
    return plan, outputs(plan)


@pytest.mark.parametrize("name", NAMES)
def test_a_plan_in_another_order_gives_the_same(name: str) -> None:
    plan, before = sound(name)
    after = outputs(shuffled(plan, len(name)))
    assert [key for key in before | after if before.get(key) != after.get(key)] == []
