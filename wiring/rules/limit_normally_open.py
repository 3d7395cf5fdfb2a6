"""A limit is read by a contact that is open until the limit is reached.

A broken wire, a loose plug or a lost supply looks then like a limit that is not reached. A break contact turns each of
them into a stop. Home switches may be of either kind.

Fires on sorting-gate at B2
    B2.contacts={11-12: "NO"}
Quiet
    B2.contacts={11-12: NC}
Not judged
    Sensors that make and whose purpose the plan does not give (`purpose: limit`).
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.operators import LimitSwitch
from wiring.parts.signals import Sensor
from wiring.plan.edits import SetValue
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="limit-normally-open",
    title="Limit is a make contact",
    signal=Signal.CAUTION,
    harm="With a broken wire the axis runs past its limit into the end, with whatever stands there.",
    sources=(("iec", iec_60204("9.4.3.3, loss of continuity")), ("na", nfpa_79("9.3.2"))),
)


def _may_be_limit(part: Part) -> bool:
    return isinstance(part.data, LimitSwitch | Sensor) and part.data.purpose in ("limit", "over-travel", None)


def check(design: Design) -> Judgements:
    """Every limit and over-travel switch or sensor that is wired."""
    unknown: list[str] = []
    for part in design.parts.values():
        if not _may_be_limit(part):
            continue
        wired = [
            switch for switch in part.of(Switch) if {(part.name, switch.a), (part.name, switch.b)} <= design.nets.joined
        ]
        if not wired or any(switch.closed_at_rest for switch in wired):
            continue
        if isinstance(part.data, Sensor) and part.data.purpose is None:
            unknown.append(part.name)
        else:
            key = "output" if isinstance(part.data, Sensor) else "contacts"
            yield RULE.finding(
                (part.name,),
                f"{part.name} ({part.title}) is a limit and is read by the make contact {wired[0].name}",
                design.place(part.name, key),
                mend=(_broken(part, wired),),
            )
    yield from RULE.ask(unknown, "what they are for (`purpose: limit`, or `home`)")


def _broken(part: Part, wired: list[Switch]) -> Mend:
    words = f"Wire a break contact of {part.name} (NC), and turn the sense of the input round."
    if isinstance(part.data, Sensor):
        return Mend(words, of_part(part.name, "output", part.data.output.replace("NO", "NC")))
    contacts = getattr(part.data, "contacts", {})
    names = {switch.name for switch in wired}
    edits = [
        SetValue(("parts", part.name, "contacts", pair), word.replace("NO", "NC"))
        for pair, word in contacts.items()
        if pair in names
    ]
    return Mend(words, tuple(edits) if len(edits) == len(names) else ())
