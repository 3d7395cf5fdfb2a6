"""Stories played on the bench against ngspice, at every moment: what is alive, the voltage of every coil, and that each
coil stands where its voltage puts it.

ngspice gets the network of contacts as they stand, written from the characteristics of its elements and not from the
modes that the solver found (`tests/spice.py`).
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.rehearsal.test_bench import chosen, design_of
from tests.spice import need_ngspice, spice_volts
from wiring.circuit.model import Node
from wiring.control.script import Moment
from wiring.parts.elements import Coil
from wiring.rehearsal.bench import Bench
from wiring.rehearsal.stories import Play, Story
from wiring.solver.operating import OperatingPoint
from wiring.solver.solution import Outcome

STORIES = int(os.environ.get("WIRING_SPICE_STORIES", "2"))
MOMENTS = (Moment.FAULT, Moment.STOP, Moment.RELEASE, Moment.AGAIN, Moment.MAINS_OFF, Moment.MAINS_ON)


class Spiced:
    """The voltages of a point by ngspice."""

    def __init__(self, point: OperatingPoint, folder: Path) -> None:
        self.point, self.volts = point, {}
        for kind in ("DC", "AC"):
            layer = point.layer(kind)
            assert layer.solution.outcome is Outcome.SOLVED, layer.solution.outcome
            network = layer.assembled.network
            self.volts[kind] = spice_volts(network, layer.solution, kind, folder, reached=True)

    def between(self, a: Node, b: Node, kind: str) -> float:
        """Size of the voltage between two nodes [V], 0 where one of them hangs on nothing."""
        layer, index = self.point.layer(kind), self.point.lowered.index
        ends = []
        for node in (a, b):
            number, hung = index[node], dict(layer.assembled.hung)
            while number not in layer.assembled.at:
                if hung.get(number) is None:
                    return 0.0
                number = hung[number]
            ends.append(self.volts[kind][layer.assembled.at[number]])
        return abs(ends[0] - ends[1])


def compare(point: OperatingPoint, story: Story, alive: set[str], spiced: Spiced) -> int:
    """Coils within 2 % and where their voltage puts them; targets as told. Gives the number of coils."""
    count = 0
    for part, coil in point.lowered.circuit.elements(Coil):
        ends, kind = ((part.name, coil.a), (part.name, coil.b)), coil.kind or "DC"
        ours, theirs = abs(point.between(*ends, kind)), spiced.between(*ends, kind)
        assert ours == pytest.approx(theirs, rel=0.02, abs=0.05), (part.name, coil.name)
        actuator = (part.name, coil.moves)
        if actuator not in {one for fault in story.faults for one in (*fault.on, *fault.off)}:
            if theirs >= coil.pick_up_v * 1.02:
                assert actuator in point.attracted, part.name
            if theirs < coil.drop_out_v * 0.98:
                assert actuator not in point.attracted, part.name
        count += 1
    for target in story.use.targets:
        fed = any(
            all(need in point.attracted or need in point.position.moved for need in probe.needs)
            and any(
                spiced.between((probe.part, probe.a), (probe.part, probe.b), kind) >= probe.dead_v
                for kind in ((probe.kind,) if probe.kind else ("DC", "AC"))
            )
            for probe in target.probes
        )
        assert fed == (target.name in alive), target.name
    return count


@pytest.mark.ngspice
def test_stories_agree_with_ngspice_at_six_moments(tmp_path: Path) -> None:
    from wiring.control.alive import is_alive

    need_ngspice()
    stories = chosen()
    step = max(len(stories) // STORIES, 1)
    compared = 0
    for path, key, story in stories[::step][:STORIES]:
        play, seen = Play(Bench(design_of(path)), story), set()
        while play.steps:
            moment = play.next()
            if moment not in MOMENTS:
                continue
            point = play.bench.last_point
            alive = {one.name for one in story.use.targets if is_alive(one, point)}
            assert compare(point, story, alive, Spiced(point, tmp_path)), (path.stem, key, moment)
            seen.add(moment)
        assert seen == set(MOMENTS), (path.stem, key)
        compared += 1
    assert compared == STORIES
