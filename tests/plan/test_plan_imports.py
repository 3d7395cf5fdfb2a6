"""Reading a plan loads no library that is slow to start."""

from __future__ import annotations

import subprocess
import sys

SLOW = ("numpy", "scipy", "networkx", "rich", "pint", "openpyxl", "jsonschema", "graphviz", "typer", "difflib")


def test_nothing_slow_is_loaded() -> None:
    program = "import sys, wiring.plan.read, wiring.plan.types; print(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert "wiring.plan.read" in done.stdout.split()
    assert not set(SLOW) & set(done.stdout.split())
