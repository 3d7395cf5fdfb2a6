"""The loop of the reset through the mirror contacts of contactors: seen to open with each of them held in, on the dead
machine; then the reset refused, on the live one."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.parts.switching import Contactor
from wiring.powerup.builder import UNPLUGGED, Builder
from wiring.powerup.live import LEAST_V
from wiring.powerup.machine import Run
from wiring.powerup.metal_ways import Way
from wiring.powerup.ohms import measure, measure_fixed
from wiring.powerup.operated_stages import all_pairs, moved_by, named_part, ready_setting
from wiring.powerup.step import Stage, Who
from wiring.powerup.survey import Pair
from wiring.powerup.wires import LEADS_OHM, LENGTH_SHARE


def loop_opens(to: Builder, contactor: str, at_rest: Sequence[Way]) -> None:
    """The loop through a break contact of a contactor held in: open, as its mirror contact must be."""
    way = next((way for way in at_rest if any(path.startswith(f"{contactor}:") for path in way[2])), None)
    if way is None or not measure_fixed(to.survey.cold, UNPLUGGED, [way[:2]])[0].fixed:
        return
    held = to.survey.held_in(contactor)
    if measure(to.survey.cold, held, [way[:2]])[0] is not None:
        return
    to.ohms(
        Stage.POLARITY,
        held,
        [way[:2]],
        [f"{contactor} held in: {named(way[0])} to {named(way[1])}, through its break contact"],
        "a contact that does not follow, or a conductor past it: a welded pole would stay unseen",
        LENGTH_SHARE,
        LEADS_OHM,
        test="function",
    )


def refused_reset(to: Builder) -> None:
    """The first contactor whose feedback is read, held in by hand: the reset is refused, and the others stay off.

    The contacts of the others in that loop are seen to open on the dead machine.
    """
    ready = ready_setting(to)
    coils = [pair for pair in all_pairs(to) if pair.is_coil and isinstance(to.design.parts[pair.part].data, Contactor)]
    working = [pair for pair in coils if (pair.part, "coil") in to.run(ready).point.attracted]
    tested = False
    for pair in working:
        if tested and _is_seen_cold(to, pair.part):
            continue
        held = replace(ready, moved=ready.moved | {(pair.part, "coil")})
        stuck = to.run(held)
        if abs(stuck.between(pair.a, pair.b, pair.kind or "DC")) >= LEAST_V:
            continue
        words = f"Hold {named_part(to, pair)} in at its test lever, then press the reset: refused"
        wrong = "its feedback is not read: a welded pole would stay unseen"
        others = [other for other in working if other.part != pair.part and not _lasts(stuck, other)]
        if others:
            key, words = moved_by(to, others[0]), f"{words}, {named_part(to, others[0])} stays off"
            to.is_on(Stage.STOP, held, key, (None, None), words, wrong, test="function")
        else:
            kind, ends = pair.kind or "DC", (pair.a, pair.b)
            to.no_volts(Stage.STOP, held, ends, kind, words, wrong, test="function", who=Who.QUALIFIED)
        tested = True


def _is_seen_cold(to: Builder, contactor: str) -> bool:
    """Whether the loop through the mirror contact of a contactor was measured with it held in."""
    held = frozenset({(contactor, "coil")})
    return any(line.stage is Stage.POLARITY and line.setting and line.setting.moved == held for line in to.lines)


def _lasts(run: Run, pair: Pair) -> bool:
    return abs(run.between(pair.a, pair.b, pair.kind or "DC")) >= LEAST_V
