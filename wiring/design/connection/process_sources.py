"""What the outputs of process sources feed, and the mains at their inputs."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.nets import SourcePole
from wiring.parts.base import Part
from wiring.parts.elements import Input, Output


def feeds_something(design: Design, part: Part) -> bool:
    """Whether anything is joined to the output of a process source."""
    ends = {(part.name, end) for output in part.of(Output) for end in (output.plus, output.minus)}
    return bool(ends & design.nets.joined)


def mains_at_input(design: Design, part: Part) -> SourcePole | None:
    """The line of the incoming supply that the input reaches, through contacts and fuses too."""
    ends = [(part.name, end) for entry in part.of(Input) for end in (entry.a, entry.b)]
    lines = (r.pole for end in ends for r in design.nets.reach(end).sources if r.pole.sign.startswith("L"))
    return next(lines, None)
