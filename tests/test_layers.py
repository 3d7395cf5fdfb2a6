"""Each package knows only those above it in the list of DEVELOPERS.md."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1] / "wiring"
#: From the top: a package may know itself and what stands before it.
LAYERS = (
    ("wording", "disjoint_sets", "effort", "walks", "units", "quantities", "outputs", "book_words"),
    ("plan",),
    ("parts",),
    ("circuit",),
    ("cabinet",),
    ("rulebooks", "requirement", "findings", "solver", "control", "design"),
    ("rules",),
    ("sizing",),
    ("changes",),
    ("describe",),
    ("powerup",),
    ("drawing",),
    ("documents", "reports"),
    ("rehearsal",),
)
RANK = {name: n for n, layer in enumerate(LAYERS) for name in layer}


def known(path: Path) -> set[str]:
    """The packages of ours that a module imports, at its top or in a function."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        found |= {name.split(".")[1] for name in names if name.startswith("wiring.")}
    return found


@pytest.mark.parametrize("package", RANK)
def test_a_package_knows_only_those_above_it(package: str) -> None:
    modules = list((ROOT / package).rglob("*.py")) or [ROOT / f"{package}.py"]
    below = {
        (module.name, other) for module in modules for other in known(module) if RANK.get(other, 99) > RANK[package]
    }
    assert below == set()
