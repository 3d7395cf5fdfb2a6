"""Short plans for tests: a head is put before a body, so that a test shows only what matters to it."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.control.script import Target
from wiring.design.design import Design
from wiring.design.load import Loaded, load_text
from wiring.design.stop.running_states import running_states
from wiring.solver.operating import OperatingPoint

HEAD = "format: 1\nmachine: Test bench\nrulebook: {book}\n"


def loaded(body: str, book: str = "iec") -> Loaded:
    """The plan of a head and a body, with its faults if it has any."""
    return load_text(HEAD.format(book=book) + body, "test.yaml")


def design(body: str, book: str = "iec") -> Design:
    """The design of a body; fails with its faults when it has any."""
    result = loaded(body, book)
    assert result.design is not None, "\n".join(str(fault) for fault in result.faults)
    return result.design


def most_alive(machine: Design, targets: Sequence[Target]) -> OperatingPoint:
    """The state from which the stop is proved first: most targets are alive in it."""
    return next(iter(running_states(machine.machine, machine.operation, targets).values()))
