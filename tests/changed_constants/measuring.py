"""A plugin for the one measured run: few examples a law, few cases of a long test, and the processor time of each.

The cases of one test run much the same lines. Those that come after four seconds of it are left out, and no change is
judged by them.
"""

from __future__ import annotations

import json
import os
from collections import defaultdict
from pathlib import Path
from time import process_time
from typing import Any

import pytest
from hypothesis import settings

_FEW = 6
_ENOUGH_S = 4.0
_TIMES: dict[str, float] = {}
_SPENT: defaultdict[str, float] = defaultdict(float)
_LEFT_OUT: set[str] = set()
_EXAMPLES = 0


def pytest_configure() -> None:
    """After the tests' own profile is loaded: the same with few examples."""
    global _EXAMPLES
    _EXAMPLES = settings().max_examples
    settings.register_profile("few", settings(), max_examples=_FEW)
    settings.load_profile("few")


def _function(item: pytest.Item) -> str:
    return item.nodeid.partition("[")[0]


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Leave out a case of a test that has run long enough."""
    if _SPENT[_function(item)] > _ENOUGH_S:
        _LEFT_OUT.add(item.nodeid)
        pytest.skip("enough cases of it are measured")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Any:
    """Note the time of a test, a law's with the share of examples that it left out."""
    start = process_time()
    done = yield
    spent = process_time() - start
    _SPENT[_function(item)] += spent
    law = hasattr(getattr(item, "obj", None), "hypothesis")
    if item.nodeid not in _LEFT_OUT:
        _TIMES[item.nodeid] = spent * (_EXAMPLES / _FEW if law else 1.0)
    return done


def pytest_sessionfinish() -> None:
    """Leave the times where the script reads them."""
    Path(os.environ["SECONDS_FILE"]).write_text(json.dumps(_TIMES), encoding="utf-8")
