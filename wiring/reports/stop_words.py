"""The stop proof in the words that every report and document of it shares."""

from __future__ import annotations

from collections.abc import Set

from wiring.design.stop.records import StopProof
from wiring.wording import counted


def faults_tried(proof: StopProof) -> str:
    """How many faults were tried: those that must be assumed, and those that may be left out."""
    told = f"{counted(len(proof.faults), 'single fault')} assumed"
    return f"{told}, {len(proof.left_out)} left out (ISO 13849-2)" if proof.left_out else told


def stands(device: str, let_go: Set[str]) -> str:
    """How a device stands while it calls for the stop: those of `let_go` are held to run."""
    return "is let go" if device in let_go else "is in"


def released(device: str, let_go: Set[str]) -> str:
    """What is done to a device after the stop, before the reset."""
    return "stays let go" if device in let_go else "is released"
