"""The machine starts by itself when the mains return.

After a loss of supply the machine must stay still until someone starts it.

Fires on hot-wire at S1
    parts.K3={kind: relay, coil: 24 V DC 1 W, suppressor: diode, on_delay: 1 s, contacts: {21-22: NC}}
    wires+={wire: 14, through: [K0:A1, K3:A1], type: control}
    wires+={wire: 15, through: [K0:A2, K3:A2], type: control}
    wires+={wire: 16, from: S2:13, to: K3:21, type: control}
    wires+={wire: 17, from: S2:14, to: K3:22, type: control}
Quiet
    16=
    17=
Not judged
    A stop whose devices leave a hazard alive: there is nothing that could start again.
"""

from __future__ import annotations

from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-restarts-on-mains-return",
    title="Return of the mains starts the machine",
    signal=Signal.WARNING,
    harm="The supply comes back while someone clears the machine that stood still.",
    sources=(("iec", iec_60204("7.5")), ("na", nfpa_79("7.5"))),
)


def check(design: Design) -> Judgements:
    """One finding for each stop."""
    for result in design.stop_proof.results.values():
        name = result.use.name
        started = {
            sound.device: [name for name in sound.on_mains if name not in (*sound.left, *sound.on_release)]
            for sound in result.news
        }
        devices = tuple(device for device, names in started.items() if names)
        if not devices:
            continue
        alive = tuple(dict.fromkeys(part for names in started.values() for part in names))
        yield RULE.finding(
            (*devices, name),
            f"{', '.join(alive)} {'starts' if len(alive) == 1 else 'start'} again, unasked, when the mains "
            f"return{result.use.while_}",
            design.reading.place("stops", name),
            because=tuple(Cause(design.place(part), "starts again") for part in alive),
            mend=("Seal the contactor in behind a start button, so that it lets go with the mains.",),
        )
