"""The plans of `specs/` in harder places: hotter, with longer wires, on a weaker and on a stronger mains."""

from __future__ import annotations

import re
from pathlib import Path

SPECS = Path(__file__).parents[2] / "specs"
PLANS = sorted(path.stem for path in SPECS.glob("*.yaml"))
VARIANTS = ("as is", "45 °C", "50 °C", "60 °C", "x 6", "x 15", "120 A", "6 kA")
_LENGTH = re.compile(r"(\blength: )([\d.]+)( m\b)")


def varied(plan: str, variant: str) -> str:
    """The text of a plan in one of the places."""
    text = (SPECS / f"{plan}.yaml").read_text(encoding="utf-8")
    if variant.endswith("°C"):
        return _replaced(r"(\nsite: \{ambient: )[\d.]+ °C", rf"\g<1>{variant}", text)
    if variant.startswith("x"):
        factor = float(variant.removeprefix("x "))
        return _LENGTH.sub(lambda found: f"{found[1]}{float(found[2]) * factor:.4g}{found[3]}", text)
    return text if variant == "as is" else _replaced(r"(\n +fault_current: )[\d.]+ kA", rf"\g<1>{variant}", text)


def _replaced(pattern: str, by: str, text: str) -> str:
    made, count = re.subn(pattern, by, text)
    assert count == 1, pattern
    return made
