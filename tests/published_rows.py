"""Rows of worked examples: identity, inputs and expected values, read from tests/data/examples."""

import csv
import json
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).parent / "data" / "examples"


@dataclass(frozen=True)
class Example:
    """One row; every value of `expected` holds within `tolerance` of itself, or within it as it is for "abs"."""

    id: str
    inputs: dict[str, Any]
    expected: dict[str, Any]
    tolerance: float
    kind: str = "rel"

    def limit(self, expected: float) -> float:
        """The difference allowed from one expected number."""
        return self.tolerance if self.kind == "abs" else self.tolerance * abs(expected)


def worked(name: str) -> dict[str, Example]:
    """The rows of one file of worked examples by their id."""
    with (EXAMPLES / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {
        row["id"]: Example(row["id"], json.loads(row["inputs"]), json.loads(row["expected"]), float(row["rel_tol"]))
        for row in rows
    }


def motion(sections: set[str]) -> dict[str, Example]:
    """The rows of the motion examples that belong to these sections."""
    with (EXAMPLES / "motion.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["section"] in sections]
    return {row["id"]: _motion(row) for row in rows}


def _motion(row: dict[str, str]) -> Example:
    exact = row["tol_kind"] == "exact"
    value: Any = row["expected"] == "True" if exact else float(row["expected"])
    tolerance = 0.0 if exact else float(row["tol"])
    return Example(row["id"], json.loads(row["inputs_json"]), {row["output"]: value}, tolerance, row["tol_kind"])


def table(name: str) -> list[dict[str, str]]:
    """The rows of any other file beside the examples, as text."""
    with (EXAMPLES / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def compare(example: Example, found: dict[str, Any], left_out: Iterable[str] = ()) -> None:
    """Every expected value of a row is found within its tolerance or is left out by name."""
    assert set(found) | set(left_out) == set(example.expected)
    for name, value in found.items():
        wanted = example.expected[name]
        if isinstance(wanted, bool | str):
            assert value == wanted, name
        else:
            assert abs(value - wanted) <= example.limit(wanted), (name, value, wanted)
