"""Lines of the sheet put together: expected values from the solved machine, tolerances from the table, numbers."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import TYPE_CHECKING

from wiring.circuit.model import Node, named
from wiring.powerup.machine import Memory, Operator, Run
from wiring.powerup.ohms import measure_fixed
from wiring.powerup.step import Expected, Line, Meter, Setting, Sheet, Sort, Stage, Who
from wiring.powerup.survey import Survey
from wiring.rulebooks.citation import Source
from wiring.rulebooks.tables import load

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Least error of a usual meter, in the unit of the reading; on top of the tolerance.
METER_LEAST = {Meter.DC_V: 0.02, Meter.AC_V: 0.5, Meter.DC_A: 0.01, Meter.AC_A: 0.02, Meter.OHM: 0.1}
#: The machine as the ohmmeter finds it unless a line says otherwise.
UNPLUGGED = Setting(False)
_METERS = {"DC": Meter.DC_V, "AC": Meter.AC_V}
_CLAMPS = {"DC": Meter.DC_A, "AC": Meter.AC_A}


def practice(name: str) -> float:
    """A figure of the trade for a first power-up, SI or share; see the table for its meaning and standing."""
    row = load("common", "power_up").row(name)
    assert row is not None
    return row.number("value")


class Builder:
    """Collects the lines; every setting is run once."""

    def __init__(self, design: Design, failed: tuple[str, ...] = ()) -> None:
        self.design = design
        self.failed = failed
        self.survey = Survey(design)
        self.operator = Operator(design)
        self.lines: list[Line] = []
        self.not_judged: list[str] = []
        self.unseen: list[str] = []
        self.runs: dict[Setting, Run] = {}
        self.ways: Memory = {}

    def run(self, setting: Setting) -> Run:
        """The sound machine in a setting."""
        if setting not in self.runs:
            self.runs[setting] = self.operator.run(setting, memory=self.ways)
        return self.runs[setting]

    def test(self, name: str) -> Source | None:
        """The clause of the machine standard that a line belongs to."""
        row = load(self.design.plan.rulebook, "power_up_tests").row(name)
        return row.source if row else None

    def test_words(self, name: str) -> str:
        """What the clause asks, in our words."""
        row = load(self.design.plan.rulebook, "power_up_tests").row(name)
        return row.text("words") if row else ""

    def add(
        self,
        stage: Stage,
        action: str,
        meter: Meter,
        expected: Expected,
        wrong: str,
        who: Who = Who.BUILDER,
        setting: Setting | None = None,
        probes: tuple[Node | None, Node | None] = (None, None),
        wire: str = "",
        test: str = "",
        about: str = "",
    ) -> None:
        """One more line, numbered in its stage."""
        number = sum(line.stage is stage for line in self.lines) + 1
        wires = self.survey.numbers(*probes) if not wire else (self._number(wire),)
        source = self.test(test) if test else None
        if expected.sort is Sort.UNJUDGED:
            self.not_judged.append(f"{stage.number}.{number} {action}: {expected.words}")
        self.lines.append(
            Line(
                f"{stage.number}.{number}",
                stage,
                action,
                meter,
                expected,
                wrong,
                who,
                setting,
                probes[0],
                probes[1],
                wire,
                wires,
                source,
                about,
            )
        )

    def _number(self, path: str) -> str:
        conductor = self.design.circuit.conductor.get(path)
        return conductor.number if conductor else path

    def look(
        self,
        stage: Stage,
        action: str,
        words: str,
        wrong: str,
        who: Who = Who.BUILDER,
        test: str = "",
        about: str = "",
    ) -> None:
        """A line for eyes, ears and hands."""
        expected = Expected(Sort.LOOK, words=words)
        self.add(stage, action, Meter.LOOK, expected, wrong, who, test=test, about=about)

    # Voltages and currents.

    def volts(
        self,
        stage: Stage,
        setting: Setting,
        probes: tuple[Node, Node],
        kind: str,
        share: float,
        action: str,
        wrong: str,
        who: Who = Who.INSTRUCTED,
        test: str = "",
    ) -> None:
        """A voltage that must be there, within a share of it."""
        value = self.run(setting).between(*probes, kind)
        room = abs(value) * share + METER_LEAST[_METERS[kind]]
        expected = Expected(Sort.VALUE, value, value - room, value + room)
        self.add(stage, action, _METERS[kind], expected, wrong, who, setting, probes, test=test)

    def no_volts(
        self,
        stage: Stage,
        setting: Setting,
        probes: tuple[Node, Node],
        kind: str,
        action: str,
        wrong: str,
        most: float | None = None,
        test: str = "",
        who: Who = Who.INSTRUCTED,
    ) -> None:
        """A voltage that must not be there."""
        value = abs(self.run(setting).between(*probes, kind))
        top = max(practice("dead_max") if most is None else most, 2.0 * value)
        expected = Expected(Sort.BELOW, value, -top, top)
        self.add(stage, action, _METERS[kind], expected, wrong, who, setting, probes, test=test)

    def amps(
        self, stage: Stage, setting: Setting, path: str, kind: str, action: str, wrong: str, who: Who = Who.INSTRUCTED
    ) -> None:
        """A current in a conductor or through a pole."""
        value = abs(self.run(setting).point.path_current(kind).get(path, 0.0))
        room = practice("current") * value + METER_LEAST[_CLAMPS[kind]]
        expected = Expected(Sort.VALUE, value, max(value - room, 0.0), value + room)
        self.add(stage, action, _CLAMPS[kind], expected, wrong, who, setting, wire=path)

    # Resistances.

    def ohms(
        self,
        stage: Stage,
        setting: Setting,
        probes: Sequence[tuple[Node, Node]],
        words: Sequence[str],
        wrong: str,
        share: float,
        least: float = 0.1,
        test: str = "",
    ) -> None:
        """Resistances on the dead machine: a value, open, or none that is fixed."""
        found = measure_fixed(self.survey.cold, setting, probes)
        for (red, black), action, reading in zip(probes, words, found, strict=True):
            if reading.fixed and reading.ohm is None:
                expected = Expected(Sort.OPEN, inf, practice("insulation_min"), inf)
            elif not reading.fixed:
                low = practice("rail_min") if reading.ohm is None else min(practice("rail_min"), 0.5 * reading.ohm)
                expected = Expected(Sort.RISES, None, low, inf)
            else:
                assert reading.ohm is not None
                room = share * reading.ohm + least
                expected = Expected(Sort.VALUE, reading.ohm, max(reading.ohm - room, 0.0), reading.ohm + room)
            self.add(stage, action, Meter.OHM, expected, wrong, Who.BUILDER, setting, (red, black), test=test)

    def sheet(self) -> Sheet:
        """The lines collected."""
        return Sheet(tuple(self.lines), tuple(self.not_judged), tuple(self.unseen), self.failed)


def between(red: Node, black: Node) -> str:
    """ "G1:V+ to G1:V-"."""
    return f"{named(red)} to {named(black)}"
