"""The stop proof in the words that every report and document of it shares."""

from __future__ import annotations

from wiring.design.stop.records import StopProof
from wiring.wording import counted


def faults_tried(proof: StopProof) -> str:
    """How many faults were tried: those that must be assumed, and those that may be left out."""
    told = f"{counted(len(proof.faults), 'single fault')} assumed"
    return f"{told}, {len(proof.left_out)} left out (ISO 13849-2)" if proof.left_out else told
