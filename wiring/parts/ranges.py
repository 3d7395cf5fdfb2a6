"""Guards for the range of a formula's arguments, with an error that says what was expected."""

from __future__ import annotations

from math import isfinite


def above_zero(**values: float) -> None:
    """Raise ValueError for the first value that is not a finite number above zero."""
    for name, value in values.items():
        if not (isfinite(value) and value > 0.0):
            raise ValueError(f"{name} is {value:g}; a finite number above zero was expected")


def not_negative(**values: float) -> None:
    """Raise ValueError for the first value that is below zero or not a number; infinity is allowed."""
    for name, value in values.items():
        if not value >= 0.0:
            raise ValueError(f"{name} is {value:g}; a number not below zero was expected")


def share(**values: float) -> None:
    """Raise ValueError for the first value outside 0 (excluded) to 1 (included)."""
    for name, value in values.items():
        if not 0.0 < value <= 1.0:
            raise ValueError(f"{name} is {value:g}; a share above 0 and not above 1 was expected, 0.9 for 90 %")
