"""Plans of a few parts for the tests, with everything that the reader and the resolver find."""

from __future__ import annotations

from wiring.parts.base import Part
from wiring.parts.resolve import resolve_parts
from wiring.plan.fault import Fault
from wiring.plan.read import read_text

HEAD = "format: 1\nmachine: test\nrulebook: iec\nparts:\n"
#: The line of the first part in such a plan.
FIRST = 5


def resolve(*parts: str) -> tuple[dict[str, Part], list[Fault]]:
    """The parts of a plan whose `parts` are the given lines, and all faults."""
    reading = read_text(HEAD + "".join(f"  {part}\n" for part in parts), "plan.yaml")
    faults = list(reading.faults)
    return resolve_parts(reading, faults), faults


def one(body: str) -> Part:
    """The part P with the given body; the test fails on any fault."""
    parts, faults = resolve(f"P: {body}")
    assert not faults, "\n".join(str(fault) for fault in faults)
    return parts["P"]
