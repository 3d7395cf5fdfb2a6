"""Faults that no meter shows, named: what is changed over at the two ends of one contact, and unused terminals."""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.powerup.builder import Builder
from wiring.powerup.step import Stage


def unseen(to: Builder) -> None:
    """Sentences for the part of the sheet that tells what none of its lines sees."""
    same = to.survey.same_circuit
    both = [f"{named(a)} and {named(b)}" for a, b in same.turned()]
    if both:
        to.unseen.append(
            "The two conductors of one contact, or of one loop of contacts, changed over at its ends leave the same "
            "circuit: metal conducts both ways alike, and nothing else hangs there. It does not show, and does no "
            f"harm; the numbers on the wires tell (line {Stage.EYES.number}.1): {', '.join(both)}."
        )
    spare = [named(node) for node in same.spare()]
    if spare:
        to.unseen.append(
            "A bridge that is missing or too many at a terminal without a conductor, and a contact that sticks there, "
            f"do not show, and matter once something is connected: {', '.join(spare)}."
        )
    to.unseen.append(
        "Joints that open only when warm or shaken, insulation that is damaged but still apart, and what a program "
        f"does wrong do not show: tug every end ({Stage.EYES.number}.1), measure insulation "
        f"(stage {Stage.INSULATION.number}), repeat after the soak."
    )
