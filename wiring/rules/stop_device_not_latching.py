"""An emergency stop device springs back by itself.

A device for emergency stop stays in its stop position until someone releases it by hand (ISO 13850, 4.1.4). A
push-button or foot-switch does not. It may stop the machine in normal operation beside an emergency stop. One that a
state holds (`S7: worked`) stops by being let go, and springs into its stop position.

Fires on hot-wire at S1
    S1.kind=push-button
Quiet
    S1.kind=emergency-stop
Not judged
    Guard, limit and other switches that the machine moves.
"""

from __future__ import annotations

from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.operators import EmergencyStop
from wiring.plan.edits import Edit, SetValue
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="stop-device-not-latching",
    title="Stop device does not latch",
    signal=Signal.WARNING,
    harm="The device lets go with the hand, and the machine can be started while the danger lasts.",
    sources=(("both", Source("ISO 13850", "2015", "4.1.4", Standing.CONFIRMED)),),
)


def _is_emergency_stop(part: Part | None) -> bool:
    return part is not None and isinstance(part.data, EmergencyStop)


def check(design: Design) -> Judgements:
    """One finding for each device that springs back where an emergency stop is asked for."""
    devices = {
        device: design.parts[device]
        for stop in design.plan.stops.values()
        for device in stop.devices
        if device in design.parts
    }
    for name, stop in design.plan.stops.items():
        beside = any(_is_emergency_stop(devices.get(device)) for device in stop.devices)
        if not beside and any(_is_emergency_stop(part) for part in devices.values()):
            continue
        for device in stop.devices:
            held_to_run = device in design.circuit.hold_to_run
            if device in devices and devices[device].data.springs_back() and not held_to_run:
                yield RULE.finding(
                    (device, name),
                    f"{device} of stop {name} ({devices[device].kind}) springs back when it is let go",
                    design.place(device, "kind"),
                    mend=(_latching(devices[device]),),
                )


def _latching(part: Part) -> Mend:
    """An emergency stop device with the contacts that are there, where they break."""
    words = "Use an emergency stop device: it latches, and opens its contacts by force."
    contacts = getattr(part.data, "contacts", {})
    if part.library or not contacts or any(not word.startswith("NC") for word in contacts.values()):
        return Mend(words)
    edits: list[Edit] = [SetValue(("parts", part.name, "kind"), "emergency-stop")]
    if "colour" in part.data.model_fields_set:
        edits.append(SetValue(("parts", part.name, "colour"), "RD"))
    return Mend(words, tuple(edits))
