"""One fixed hypothesis profile, so that a run can be repeated anywhere; which tests one process of several keeps."""

import os

import pytest
from hypothesis import settings

settings.register_profile("fixed", deadline=None, derandomize=True, max_examples=60, print_blob=True)
settings.load_profile("fixed")

#: Every command that a test starts would compile all modules again.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A file stays in one process, where it shares what it has judged; all that look at the sheets of `specs/` stay in
    one too: in two processes each sheet would be drawn twice."""
    for item in items:
        shares = hasattr(getattr(item, "module", None), "drawn_spec")
        item.add_marker(pytest.mark.xdist_group("sheets of specs" if shares else item.nodeid.partition("::")[0]))
