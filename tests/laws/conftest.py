"""The modules of this folder, and the cases of `tests/faulty`, are found by their names."""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent / "faulty")]
