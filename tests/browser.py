"""The browser that the tests of the page drive."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = Path("/usr/bin/chromium")
#: Without these, Chromium looks for the network on its own.
_QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@contextmanager
def chromium() -> Iterator[Any]:
    """Headless Chromium by Playwright; skips where either is missing, and fails instead where CI is true."""
    missing = "" if CHROMIUM.exists() else f"{CHROMIUM} (Debian package chromium)"
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing = "the Python package playwright"
    if missing:
        message = f"the page needs a browser to be tested: {missing} is missing"
        if os.environ.get("CI") == "true":
            pytest.fail(message)
        pytest.skip(message)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(CHROMIUM), args=list(_QUIET))
        yield browser
        browser.close()
