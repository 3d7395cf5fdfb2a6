"""An emergency stop, a guard or a hazard that no stop of the plan names, or no emergency stop at all.

What a stop removes is proved for the devices and the parts that `stops` name. An emergency stop device or a guard that
is wired and that no stop names may act on a controller alone, or on nothing: nobody has looked. And an emergency stop
ends every movement and process that can hurt (ISO 13850, 4.1.1): several may share the machine out among them, but each
hazard is to lie behind one of them. Guards and limits alone leave nothing to press: that is told for the machine. A
guard takes the power at least from what it says can be reached through it (`guards`).

Fires on hot-wire at S3
    parts.S3={kind: emergency-stop, at: machine, contacts: {11-12: NC direct}, rated: 3 A}
    wires+={wire: 30, from: F2:2, to: S3:11, type: control}
    wires+={wire: 31, from: S3:12, to: S2:14, type: control}
Quiet
    stops.emergency.devices=[S1, S3]
Not judged
    A machine without `stops` or without anything that can hurt.
Known limits
    A hand-held or small machine on which an emergency stop would lessen no risk is a reason to accept the finding. What
    a hand works in a stop counts: `stop-device-not-latching` tells whether it is one. A device that is joined to
    nothing is told by `part-unconnected`.
"""

from __future__ import annotations

from wiring.design.stop.hazards import hazards
from wiring.design.stop.stops import targets
from wiring.findings import Mend
from wiring.parts.operators import EmergencyStop, Guarding, HandOperated
from wiring.parts.protection import Disconnector
from wiring.plan.edits import SetValue
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="stop-names-too-little",
    title="Stop device or hazard that no stop names",
    signal=Signal.WARNING,
    harm="Whoever hits it trusts that the machine stops, and nobody has shown that it does.",
    sources=(
        ("both", Source("ISO 13850", "2015", "4.1.1", Standing.CONFIRMED)),
        ("iec", iec_60204("9.2.3.4.2", Standing.ONE_SOURCE)),
        ("na", nfpa_79("9.2.5.4.1")),
    ),
)


def check(design: Design) -> Judgements:
    """Every wired emergency stop and guard in no stop; the hazards that no emergency stop is to remove, together."""
    stops, dangerous = design.plan.stops, hazards(design.circuit)
    if not stops or not dangerous:
        return
    named = {device for stop in stops.values() for device in stop.devices}
    wired = {name for name, _ in design.nets.joined}
    for part in design.parts.values():
        if isinstance(part.data, EmergencyStop | Guarding) and part.name in wired - named:
            words = part.kind.replace("-", " ")
            yield RULE.finding(
                (part.name,),
                f"{part.name} ({part.title}) stops nothing that the plan tells of: no stop names this {words}",
                design.place(part.name),
                mend=(f"Lead it into the circuit of a stop, and name {part.name} under `devices` of that stop.",),
            )
    yield from _left_out(design, {part.name for part in dangerous})
    yield from _left_by_guards(design)


def _left_by_guards(design: Design) -> Judgements:
    """What a guard says is reached through it, and none of its stops is to take the power from."""
    for part in design.parts.values():
        stops = [stop for stop in design.plan.stops.values() if part.name in stop.devices]
        if not stops or not isinstance(part.data, Guarding):
            continue
        removed = {one.name for stop in stops for one in targets(design.circuit, stop)}
        left = sorted(set(part.data.guards or ()) - removed)
        if left:
            yield RULE.finding(
                (part.name, *left),
                f"{listed(left)} {agreeing(left, 'is', 'are')} reached through {part.name}, and no stop of {part.name} "
                f"is to take {agreeing(left, 'its', 'their')} power away",
                design.place(part.name, "guards"),
                mend=(
                    f"Let the stop of {part.name} remove {listed(left)} as well, `hazardous: true` where the plan "
                    f"takes {agreeing(left, 'it', 'them')} for harmless.",
                    f"Or take {listed(left)} out of `guards`, where nobody gets there through {part.name}.",
                ),
            )


def _left_out(design: Design, dangerous: set[str]) -> Judgements:
    kinds = {name: part.data for name, part in design.parts.items()}
    emergency = {
        name: stop
        for name, stop in design.plan.stops.items()
        if any(isinstance(kinds.get(device), EmergencyStop) for device in stop.devices)
    }
    lists = [stop.removes for stop in emergency.values()]
    worked = [kinds.get(device) for stop in design.plan.stops.values() for device in stop.devices]
    if not any(isinstance(one, HandOperated | Disconnector) for one in worked):
        yield RULE.finding(
            (*sorted(design.plan.stops), *sorted(dangerous)),
            f"Nothing that a hand presses stops the machine, on which {listed(sorted(dangerous))} can hurt",
            design.reading.place("stops", min(design.plan.stops)),
            mend=("Put an emergency stop device where the machine is worked, into both channels of its stop.",),
        )
    if not lists or "hazards" in lists:
        return
    left = sorted(dangerous - {name for one in lists for name in one})
    if left:
        place = ("stops", min(emergency), "removes")
        edit = Mend("Let it remove all that can hurt.", (SetValue(place, "hazards"),))
        yield RULE.finding(
            (*left, *sorted(emergency)),
            f"No emergency stop is to take the power of {listed(left)} away, which can hurt",
            design.reading.place(*place),
            mend=(edit, f"Or say of {listed(left)} why {agreeing(left, 'it hurts', 'they hurt')} nobody."),
        )
