"""Motor windings measured cold, at the drive's end of their cables."""

from __future__ import annotations

from itertools import combinations

from wiring.circuit.model import Node
from wiring.parts.base import Part
from wiring.parts.motors import BrakingResistor, Motor, ServoMotor, Shaft, StepperMotor
from wiring.powerup.builder import UNPLUGGED, Builder, practice
from wiring.powerup.step import Expected, Meter, Sort, Stage


def windings(to: Builder) -> None:
    """Every motor pairwise at the drive's end of its cable, then winding to winding and to the frame; and the resistors
    of drives, which no live row sees."""
    for part in to.design.parts.values():
        if isinstance(part.data, Shaft):
            _motor(to, part)
        elif isinstance(part.data, BrakingResistor):
            _braking_resistor(to, part)


def _braking_resistor(to: Builder, part: Part) -> None:
    told, (first, second) = f"{part.title} ({part.name})", (to.survey.far_end((part.name, end)) for end in ("R1", "R2"))
    earth = _earth_beside(to, second, part)
    probes = [(first, second), *([(second, earth)] if earth else [])]
    to.ohms(
        Stage.POLARITY,
        UNPLUGGED,
        probes,
        [f"{told}: R1 to R2, with its two conductors", f"{told}: R2 to frame"][: len(probes)],
        "open, a wrong value or a strand across: the drive loses its brake, or a short destroys it",
        practice("winding_resistance"),
        rows=[(told, "R1 to R2"), (told, "R2 to frame")][: len(probes)],
    )


def _motor(to: Builder, motor: Part) -> None:
    ends = {
        name: to.survey.far_end((motor.name, name))
        for name in motor.terminals
        if name != "PE" and not name.startswith(".")
    }
    told = f"{motor.title} ({motor.name})"
    if isinstance(motor.data, Motor) or (isinstance(motor.data, ServoMotor) and motor.data.phase_resistance is None):
        phases = [name for name in list(ends)[:3] if name in ("U", "V", "W", "U1", "U2", "A1", "A2")]
        pairs = list(combinations(phases, 2))
        sense = "every pair alike within 5 %" if len(pairs) > 1 else "a few ohms, neither open nor a short"
        for a, b in pairs:
            missing = f"not judged: phase_resistance of the motor is not given; {sense}"
            to.add(
                Stage.POLARITY,
                f"{told}: {a} to {b}",
                Meter.OHM,
                Expected(Sort.UNJUDGED, words=missing),
                "pairs that differ, or open: an open or changed-over phase",
                setting=UNPLUGGED,
                probes=(ends[a], ends[b]),
                row=(told, f"{a} to {b}"),
            )
        return
    pairs = _winding_pairs(motor)
    probes = [(ends[a], ends[b]) for a, b in pairs if a in ends and b in ends]
    told_pairs = [(a, b) for a, b in pairs if a in ends and b in ends]
    words = [f"{told}: {a} to {b}, winding and two leads" for a, b in told_pairs]
    rows = [(told, f"{a} to {b}") for a, b in told_pairs]
    share = practice("winding_resistance")
    wrong = "open lead, wrong pair, or a winding with a short"
    # The third pair of three phases holds no lead and no winding that the first two do not.
    for at, is_third in ((slice(0, 2), False), (slice(2, None), True)):
        with to.annex(is_third):
            to.ohms(Stage.POLARITY, UNPLUGGED, probes[at], words[at], wrong, share, 0.3, rows=rows[at])
    if isinstance(motor.data, StepperMotor) and {"A+", "B+"} <= set(ends):
        words, apart = [f"{told}: winding A to winding B"], [(ends["A+"], ends["B+"])]
        mixed = "wires of A and B mixed, or a strand across: the drive would feed a short"
        to.ohms(Stage.POLARITY, UNPLUGGED, apart, words, mixed, share, rows=[(told, "A to B")])
    earth = _earth_beside(to, probes[0][0], motor) if probes else None
    if earth:
        # The windings of a stepper motor hang on nothing in common: each may touch the frame.
        each = told_pairs if isinstance(motor.data, StepperMotor) else told_pairs[:1]
        to.ohms(
            Stage.POLARITY,
            UNPLUGGED,
            [(ends[b], earth) for _, b in each],
            [f"{told}: winding at {b} to frame" for _, b in each],
            "insulation damaged: never connect it to a drive",
            share,
            test="insulation",
            rows=[(told, f"{b} to frame") for _, b in each],
        )


def _earth_beside(to: Builder, end: Node, motor: Part) -> Node | None:
    """A protective terminal at the part where a winding is measured, so that no probe moves; else the motor's."""
    part = to.design.parts[end[0]]
    terminal = part.data.earth_terminal()
    marking = part.data.terminals.get(terminal, terminal) if terminal else None
    if marking and marking in part.terminals:
        return part.name, marking
    return to.survey.far_end((motor.name, "PE")) if "PE" in motor.terminals else to.survey.earth


def _winding_pairs(motor: Part) -> list[tuple[str, str]]:
    if isinstance(motor.data, StepperMotor):
        return [("A+", "A-"), ("B+", "B-")]
    return [("U", "V"), ("V", "W"), ("W", "U")]
