"""The output of a process source is not separated from the mains.

A hot wire, an arc or a weld is bare: the voltage that counts is the one to earth. A source with `isolated: false` ties
its output to its own input, so that the whole of the mains stands on the process, whatever its output voltage is, and
a bond of the work to earth is a short circuit. Told when the input of such a source reaches the incoming supply.

Fires on hot-wire at G4
    G4.isolated=false
Quiet
    G4.isolated=true
Not judged
    A source of which the plan does not say whether it is isolated. How good the separation of a source is that the plan
    calls isolated: the test voltage stands in its data sheet.
Known limits
    A source that is fed through a transformer counts as separated by it. A process that nobody can touch while it is
    live may be at mains voltage: accept the finding with the guard as its reason.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.process_sources import feeds_something, mains_at_input
from wiring.design.edits import of_part
from wiring.design.nets import SourcePole
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.loads import ProcessSource
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="process-source-not-isolated",
    title="Process stands at mains voltage",
    signal=Signal.DANGER,
    harm="Whoever touches the bare wire, tool or work touches the mains: a deadly shock.",
    sources=(("iec", iec_60204("6.2.2, 6.4")), ("na", nfpa_79("6.2, 6.4"))),
)


def check(design: Design) -> Judgements:
    """Every process source that ties its output to its input."""
    unknown: list[str] = []
    for part in design.parts.values():
        if isinstance(part.data, ProcessSource) and not part.data.isolated and feeds_something(design, part):
            line = mains_at_input(design, part)
            if line is not None and part.data.isolated is None:
                unknown.append(part.name)
            elif line is not None:
                yield _finding(design, part, line)
    yield from RULE.ask(unknown, "whether their output is parted from the mains (`isolated: true`)")


def _finding(design: Design, part: Part, line: SourcePole) -> Judgement:
    data = part.data
    assert isinstance(data, ProcessSource)
    return RULE.finding(
        (part.name,),
        f"The output of {part.name} ({part.title}) is not isolated from {named(line.node)}: "
        f"its {data.output.volts:.3g} V stand on a mains of {line.volts:.3g} V",
        design.place(part.name, "isolated"),
        numbers=(Number("mains", line.volts, "V", named(line.node)),),
        mend=(
            Mend(
                f"Take a source for {part.name} whose output is isolated, or feed it from a transformer with separate "
                "windings.",
                of_part(part.name, "isolated", "true"),
            ),
        ),
    )
