"""A stop device opens nothing when it is worked: its contact in the stop circuit is a make contact.

The stop circuit is closed while the machine may run, and every device in it opens it. A make contact there keeps the
machine from starting, until somebody holds the button in to make it run; a broken wire then looks like a released
button. Told of contacts of stop devices between the ends of a channel of a stop relay, or ahead of a coil. Further make
contacts, which report to a controller, are right.

Fires on hot-wire at S1
    S1.contacts={11-12: NC direct, 21-22: "NO"}
Quiet
    S1.contacts={11-12: NC direct, 21-22: NC direct}
Not judged
    Stop devices that act through a program, and those without a contact in a stop relay's channel or ahead of a coil.
"""

from __future__ import annotations

from wiring.design.stop.contacts import make_contacts
from wiring.findings import Mend
from wiring.plan.edits import Edit, SetValue
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, listed, stops_called

RULE = Rule(
    slug="stop-contact-normally-open",
    title="Stop contact closes when it is worked",
    signal=Signal.WARNING,
    harm="Pressing the stop does not stop; a machine that is made to run in spite of it cannot be stopped there.",
    sources=(("iec", iec_60204("10.7.2")), ("na", nfpa_79("10.7"))),
)


def check(design: Design) -> Judgements:
    """Every device of a stop by its contacts in the stop circuit."""
    for name, contacts in make_contacts(design).items():
        stops = [stop for stop, entry in design.plan.stops.items() if name in entry.devices]
        words = f"Wire a break contact of {name} (`NC direct`) in its place."
        yield RULE.finding(
            (name, *stops),
            f"{listed(contacts)} of {name} in the circuit of {stops_called(stops)} "
            f"{agreeing(contacts, 'closes', 'close')} when {name} is worked",
            design.place(name, "contacts"),
            mend=(Mend(words, _broken(design, name, contacts)),),
        )


def _broken(design: Design, name: str, names: list[str]) -> tuple[Edit, ...]:
    contacts = getattr(design.parts[name].data, "contacts", {})
    found = [pair for pair in contacts if pair in names]
    return tuple(SetValue(("parts", name, "contacts", pair), "NC direct") for pair in found) if found else ()
