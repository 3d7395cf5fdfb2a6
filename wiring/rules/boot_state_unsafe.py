"""An output starts something while the controller boots, or is off.

Before its program runs, an output is what the hardware makes of it. One that is on, or floats, may pick up a relay,
open a valve, or tell an inverter or a process source to run. Floating outputs are held by a resistor to the return.
An output that is off starts what hangs on the break contact of the relay that it feeds.

Fires on sorting-gate at A1
    A1.boot=floating
Quiet
    A1.boot="off"
Not judged
    Cards whose outputs start something and whose plan gives no `boot`.
Known limits
    Step, direction and enable inputs of stepper and servo drives start nothing by their level and are passed over.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.boot_state import is_held, output_ends, started_at_rest, started_on
from wiring.design.edits import of_part
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.signals import IoCard
from wiring.parts.switching import Relay
from wiring.plan.edits import SetValue
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="boot-state-unsafe",
    title="Output may start something while the controller boots",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Spindle, process or valve starts when the controller is switched on, with hands in the machine.",
    sources=(("both", trade_practice("state of outputs without a program")),),
)


def check(design: Design) -> Judgements:
    """Every card by its outputs."""
    for part in design.parts.values():
        data = part.data
        if not isinstance(data, IoCard) or not data.outputs:
            continue
        if data.boot == "off":
            yield from _started_at_rest(design, part, data)
            continue
        started: dict[str, set[str]] = {}
        for name in data.outputs:
            nets = {design.nets.of[part.name, end] for end in output_ends(data, name)}
            free = [n for n in nets if not design.nets.is_at_source(n)]
            names = {p for n in free if not is_held(design, n) for p in started_on(design, n, part.name)}
            if names:
                started[name] = names
        if started and data.boot is None:
            yield RULE.not_judged(
                (part.name,), "the state of its outputs without a program (`boot: off`)", design.place(part.name)
            )
        elif started:
            yield _finding(design, part, data, started)


def _started_at_rest(design: Design, card: Part, data: IoCard) -> Judgements:
    """Every relay that an output feeds and whose break contact starts something while it is off."""
    nets = {design.nets.of[card.name, end] for name in data.outputs for end in output_ends(data, name)}
    coils = [node for net in nets for node in design.nets.members[net] if node[1] in ("A1", "A2")]
    for name in sorted({node[0] for node in coils}):
        relay = design.parts.get(name)
        if relay is None or not isinstance(relay.data, Relay):
            continue
        started = sorted(started_at_rest(design, card, relay))
        if started:
            yield RULE.finding(
                (name, *started),
                f"Without a program {name} is off, and its break contact can start {', '.join(started)}",
                design.place(name, "contacts"),
                mend=(_made(relay, started),),
            )


def _made(relay: Part, started: list[str]) -> Mend:
    """The edit stands where the relay has one break contact: others may have to stay as they are."""
    breaks = {pair: word for pair, word in getattr(relay.data, "contacts", {}).items() if word.startswith("NC")}
    edits = [
        SetValue(("parts", relay.name, "contacts", pair), word.replace("NC", "NO")) for pair, word in breaks.items()
    ]
    words = f"Wire a make contact of {relay.name} (NO) to {', '.join(started)}"
    return Mend(f"{words}.", tuple(edits)) if len(edits) == 1 else Mend(f"{words}, and leave its other contacts.")


def _finding(design: Design, part: Part, data: IoCard, started: dict[str, set[str]]) -> Judgement:
    names = sorted({name for found in started.values() for name in found})
    outputs = ", ".join(named((part.name, name)) for name in started)
    state = ("is on", "are on") if data.boot == "on" else ("floats", "float")
    return RULE.finding(
        (part.name, *names),
        f"Without a program {outputs} {state[len(started) > 1]}, and can start {', '.join(names)}",
        design.place(part.name, "boot"),
        signal=Signal.WARNING if data.boot == "on" else RULE.signal,
        mend=(
            "Put a relay that is off at rest between, fed behind the contacts of the stop"
            + ("." if data.boot == "on" else f", or hold {outputs} with a resistor of 4.7 kohm to the return."),
            Mend(f"Or take a card for {part.name} whose outputs are off at rest.", of_part(part.name, "boot", '"off"')),
        ),
    )
