"""The same plan gives the same bytes: for any hash seed, for both engines, run after run."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from functools import cache

import pytest

from tests.drawing.drawn import ROOT

_PROGRAM = """
import hashlib, sys
from wiring.design.load import load
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS
from wiring.drawing.svg import svg_of
sum = hashlib.sha256()
sys.path.insert(0, {root!r})
from tests.drawing.random_plans import random_design
for name in ("foam-gantry", "stone-engraver"):
    for sheet in draw(load({root!r} + f"/specs/{{name}}.yaml").design, None, PAPERS["A3"]):
        sum.update(svg_of(sheet).encode())
for seed in range(6):
    for sheet in draw(random_design(seed), None, PAPERS["A3"]):
        sum.update(svg_of(sheet).encode())
print(sum.hexdigest())
"""


@cache
def _digest(**environment: str) -> str:
    env = {**os.environ, "PYTHONPATH": str(ROOT), **environment}
    program = _PROGRAM.format(root=str(ROOT))
    done = subprocess.run([sys.executable, "-c", program], env=env, capture_output=True, text=True, check=True)
    assert len(done.stdout.strip()) == hashlib.sha256().digest_size * 2
    return done.stdout


def test_same_bytes_for_any_hash_seed() -> None:
    assert len({_digest(PYTHONHASHSEED=seed) for seed in ("0", "4711")}) == 1


def test_same_bytes_for_both_engines() -> None:
    if shutil.which("dot") is None:
        if os.environ.get("CI") == "true":
            pytest.fail("the program dot of Graphviz is missing; install it so that both engines are compared")
        pytest.skip("the program dot of Graphviz is not installed, so the engines cannot be compared")
    assert _digest(PYTHONHASHSEED="0", WIRING_DOT="system") == _digest(PYTHONHASHSEED="0")
