"""Imports every module of the package, so that a process forked from here starts with all of them."""

from __future__ import annotations

import importlib
import pkgutil

import wiring

for module in pkgutil.walk_packages(wiring.__path__, "wiring."):
    if not module.name.endswith("__main__"):
        importlib.import_module(module.name)
