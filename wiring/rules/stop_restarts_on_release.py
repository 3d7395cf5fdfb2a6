"""The machine starts again when the stop device is released.

Unlatching a stop device must only permit a restart; starting is an act of its own (ISO 13850, 4.1.4). The same holds of
the reset of a stop relay: it is played alone, with no hand on anything else and no program asking, and moves nothing,
nor may a relay that holds itself through the stop, or a wire, tell an inverter to run. Where no stop relay stands, the
reset is a start, unless it closes a relay behind which a selector was left on.

Fires on hot-wire at K0
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
    What the reset starts by itself and does not move: whether it may is asked.
Known limits
    An inverter may want a new edge of its run input after its torque was off; accept the finding with that reason.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.design.stop.hazards import drives_of, moves_people, run_inputs
from wiring.design.stop.reset_loops import SelfReset, self_resets
from wiring.design.stop.resets import ResetStart, reset_starts
from wiring.findings import Cause
from wiring.parts.elements import Coil
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does

RULE = Rule(
    slug="stop-restarts-on-release",
    title="Releasing the stop starts the machine",
    signal=Signal.WARNING,
    harm="Someone releases the stop while a hand is still in the machine.",
    sources=(("iec", iec_60204("9.2.3.4.2")), ("na", nfpa_79("9.2.3.4.2"))),
)


def check(design: Design) -> Judgements:
    """One finding for each stop."""
    for result in design.stop_proof.results.values():
        name = result.use.name
        found = [sound for sound in result.news if sound.on_release]
        if not found:
            continue
        devices = tuple(sound.device for sound in found)
        alive = tuple(dict.fromkeys(part for sound in found for part in sound.on_release))
        units = {one.unit: one for device in devices for one in self_resets(design.machine, device)}
        idle = tuple(dict.fromkeys(button for one in units.values() for button in one.idle))
        by = "".join(f"{one.unit} {one.why}: " for one in units.values())
        yield RULE.finding(
            (*units, *devices, *(idle if units else ()), name),
            f"{by}{', '.join(alive)} {'starts' if len(alive) == 1 else 'start'} again as soon as "
            f"{' or '.join(devices)} is released, without a reset{result.use.while_}"
            + (f"; {does(idle, 'resets', 'reset')} nothing" if idle and units else ""),
            design.place(next(iter(units))) if units else design.reading.place("stops", name),
            because=tuple(Cause(design.place(part), "starts again") for part in alive),
            mend=_mend(units),
        )
    yield from _by_reset(design)


def _mend(units: Mapping[str, SelfReset]) -> tuple[str, ...]:
    if not units:
        return ("Seal the contactor in behind a reset button, or use a safety relay with a monitored reset.",)
    names = " and ".join(units)
    return (f"Set {names} to a monitored reset, and lead the reset loop through a button and the mirror contacts.",)


def _by_reset(design: Design) -> Judgements:
    """What the reset of a unit starts with nothing else pressed: motion never; whether a load may, only who stands
    there can say."""
    starting: dict[tuple[tuple[str, ...], tuple[str, ...]], list[ResetStart]] = {}
    for one in reset_starts(design.stopping):
        moving = tuple(name for name in one.started if moves_people(design.parts[name]))
        others = tuple(name for name in one.started if name not in moving)
        if moving:
            starting.setdefault((moving, _own(design, one, moving)), []).append(one)
        if others:
            yield RULE.not_judged(
                (*others, one.stop),
                f"whether the reset may start {', '.join(others)} by itself, with no start of its own after it "
                "(ISO 13849-1, 5.2.2)",
                design.reading.place("stops", one.stop),
            )
    for (moving, held), rows in starting.items():
        yield _started(design, moving, held, rows)


def _own(design: Design, one: ResetStart, moving: tuple[str, ...]) -> tuple[str, ...]:
    """The contactors next to what moves, and next to what tells its drive to run, that stayed picked up through the
    stop."""
    nets = {design.nets.of[name, end] for name in moving for end in design.parts[name].terminals}
    drives = [drive for name in moving for drive in drives_of(design.parts[name], design.axes)]
    nets |= {design.nets.of[drive.name, a] for drive in drives for a, _ in run_inputs(drive)}
    beside = {edge.part for net in nets for edge in design.nets.edges_at.get(net, ())}
    late = {part.name for part, coil in design.circuit.elements(Coil) if isinstance(coil, Coil) and coil.off_delay_s}
    return tuple(name for name in one.held if name in beside | late)


def _started(design: Design, moving: tuple[str, ...], held: tuple[str, ...], rows: Sequence[ResetStart]) -> Judgement:
    left_on = tuple(dict.fromkeys(name for row in rows for name in row.left_on if name not in held))
    on = f", with {' and '.join(left_on)} left on" if left_on else ""
    stays = f": {does(held, 'stays', 'stay')} picked up through the stop" if held else ""
    resets = list(dict.fromkeys(row.reset for row in rows))
    return RULE.finding(
        (*moving, *held, *left_on, *resets, *(row.stop for row in rows)),
        f"{does(moving, 'starts', 'start')} again as soon as {' or '.join(resets)} is pressed, with no start after it"
        f"{on}{stays}",
        design.place(held[0] if held else moving[0]),
        because=[Cause(design.place(name), "starts again") for name in moving],
        mend=(
            f"Feed the coil of {' and '.join(held)} from what the stop switches, so that it lets go with the stop."
            if held
            else f"Put a contactor with a start button of its own in front of {', '.join(moving)}, or lead what tells "
            "it to run through one.",
        ),
    )
