"""Thousands of saves: what is kept from version to version stays bounded."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.rehearsal.served import SPECS

#: A tenth of them is the measure: with 5000, memory after all may be 1.2 times that after 500.
SAVES = int(os.environ.get("WIRING_SAVES", "32"))


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="memory is read from /proc")
def test_memory_after_all_saves_is_that_after_the_first_tenth(tmp_path: Path) -> None:
    plan = tmp_path / "sander.yaml"
    plan.write_text((SPECS / "drum-sander.yaml").read_text("utf-8"), "utf-8")
    root = Path(__file__).parents[2]
    words = [sys.executable, "-m", "tests.rehearsal.saver", str(plan), str(SAVES)]
    env = os.environ | {"PYTHONPATH": str(root)}
    done = subprocess.run(words, capture_output=True, text=True, check=False, cwd=root, env=env)
    assert done.returncode == 0, done.stderr
    early, late = map(int, done.stdout.split())
    assert late <= 1.2 * early, (early, late)
