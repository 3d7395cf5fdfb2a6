"""One fixed hypothesis profile, so that a run can be repeated anywhere; coverage of the core alone."""

import os
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("fixed", deadline=None, derandomize=True, max_examples=60, print_blob=True)
settings.load_profile("fixed")

#: Rooms whose tests are traced when coverage is asked for; tracing the long trials would double the whole run.
TRACED = {"circuit", "design", "parts", "plan", "quantities", "rulebooks", "rules", "solver", "specs"}

#: Every command that a test starts would compile all modules again.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Pauses coverage, where it is asked for, in all tests outside the core."""
    if config.getoption("cov_source", None):
        for item in items:
            if Path(item.path).relative_to(Path(__file__).parent).parts[0] not in TRACED:
                item.add_marker("no_cover")
