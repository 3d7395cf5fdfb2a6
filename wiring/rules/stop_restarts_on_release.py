"""The machine starts again when the stop device is released.

Unlatching a stop device must only permit a restart; starting is an act of its own (ISO 13850, 4.1.4).

Fires on hot-wire at S1
    K0.reset_mode=automatic
    8.to=K1:21
    9=
    parts.S2=
    stops.emergency.reset=
Quiet
    K0.reset_mode=
    parts.S2={kind: push-button, title: reset, at: door, colour: BU, contacts: {13-14: NO}}
    stops.emergency.reset=S2
    8.to=S2:13
    wires+={wire: 9, from: S2:14, to: K1:21, type: control}
Not judged
    A stop whose devices leave a hazard alive: there is nothing that could start again.
    What the reset of a unit starts by itself: whether it may is asked.
"""

from __future__ import annotations

from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-restarts-on-release",
    title="Releasing the stop starts the machine",
    signal=Signal.WARNING,
    harm="Someone releases the stop while a hand is still in the machine.",
    sources=(("iec", iec_60204("9.2.3.4.2")), ("na", nfpa_79("9.2.3.4.2"))),
)


def check(design: Design) -> Judgements:
    """One finding for each stop."""
    for name, result in design.stop_proof.results.items():
        found = [sound for sound in result.sound if sound.on_release]
        if not found:
            continue
        devices = tuple(sound.device for sound in found)
        alive = tuple(dict.fromkeys(part for sound in found for part in sound.on_release))
        yield RULE.finding(
            (*devices, name),
            f"{', '.join(alive)} {'starts' if len(alive) == 1 else 'start'} again as soon as {' or '.join(devices)} "
            "is released, without a reset",
            design.reading.place("stops", name),
            because=tuple(Cause(design.place(part), "starts again") for part in alive),
            mend=("Seal the contactor in behind a reset button, or use a safety relay with a monitored reset.",),
        )
    yield from _by_reset(design)


def _by_reset(design: Design) -> Judgements:
    """What the reset of a unit starts with nothing else pressed: only who stands there can say whether it may."""
    for name, result in design.stop_proof.results.items():
        started = tuple(dict.fromkeys(part for sound in result.sound for part in sound.on_reset))
        if started:
            yield RULE.not_judged(
                (*started, name),
                f"whether the reset may start {', '.join(started)} by itself, with no start of its own after it "
                "(ISO 13849-1, 5.2.2)",
                design.reading.place("stops", name),
            )
