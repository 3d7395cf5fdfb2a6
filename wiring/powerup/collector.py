"""The lines of the sheet as they are collected: safe to touch, with the numbers on their conductors, main or annex."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from wiring.circuit.model import Node
from wiring.powerup.contact_safety import out_of_reach, volts_words
from wiring.powerup.machine import Memory, Operator, Run
from wiring.powerup.overload import overload_words
from wiring.powerup.step import Access, Act, Expected, Line, Meter, Setting, Sheet, Sort, Stage, Who
from wiring.powerup.survey import Survey
from wiring.rulebooks.citation import Source
from wiring.rulebooks.tables import load
from wiring.solver.assembly import Actuator

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Least error of a usual meter, in the unit of the reading; on top of the tolerance.
METER_LEAST = {Meter.DC_V: 0.02, Meter.AC_V: 0.5, Meter.DC_A: 0.01, Meter.AC_A: 0.02, Meter.OHM: 0.1}
#: What an insulation tester brings [V].
_TESTER_V = 500.0
#: The machine as the ohmmeter finds it unless a line says otherwise.
UNPLUGGED = Setting(False)


#: What comes before everything, on every sheet.
FIRST = (
    "Never alone: a second person near, who knows where the power is cut.",
    "Mains steps are for qualified persons; local electrical code and the authority having jurisdiction decide.",
    "Before every step with hands inside: isolate, lock off, wait for stored energy, prove dead.",
    "Prove the meter on a known source before and after each look for dead.",
    "Live: one hand, dry, no rings, eye protection; leads and meter {rated}.",
    "Above 1 kV no lead, clamp or hand at all: what shows without contact, else the maker's service.",
    "Ohms only on a dead machine. Null the leads first (0.1 ohm to 0.3 ohm); capacitors make readings creep.",
    "A reading outside its limits stops the sheet: find the cause before the next line.",
)


def practice(name: str) -> float:
    """A figure of the trade for a first power-up, SI or share; see the table for its meaning and standing."""
    row = load("common", "power_up").row(name)
    assert row is not None
    return row.number("value")


class Collector:
    """Collects the lines; every setting is run once."""

    def __init__(self, design: Design, failed: tuple[str, ...] = ()) -> None:
        self.design = design
        self.failed = failed
        self.survey = Survey(design)
        self.operator = Operator(design)
        self.lines: list[Line] = []
        self.not_judged: list[str] = []
        self.unseen: list[str] = []
        self._kept_off: set[tuple[Stage, str]] = set()
        self._is_annex = False
        #: Lines of the annex that the main sheet takes where its time allows, by their words, each with what it is
        #: worth: how many faults it tells that no other line does, two joints of a conductor that heat nothing as one.
        self.offered: dict[str, int] = {}
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

    @contextmanager
    def annex(self, when: object = True) -> Iterator[None]:
        """Lines added in here are asked for only when something is wrong, all of them or `when` that holds."""
        before, self._is_annex = self._is_annex, self._is_annex or bool(when)
        yield
        self._is_annex = before

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
        about: tuple[str, ...] = (),
        row: tuple[str, str] = ("", ""),
        seen: Actuator | None = None,
        on_v: float = 0.0,
    ) -> None:
        """One more line, in a cell of a row of a row where `row` names both; none where no lead may go."""
        access = None if meter.is_by_eye else self._access(meter, setting, probes, wire)
        if access and access.rating is None:
            self._keep_off(stage, probes, wire)
            return
        who = who.at_least(access.who) if access else who
        wires = self.survey.numbers(*probes) if not wire else (self._number(wire),)
        source = self.test(test) if test else None
        self.lines.append(
            Line(
                "",
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
                access,
                *row,
                self._is_annex,
                (),
                seen,
                on_v,
            )
        )

    def _places(self, probes: tuple[Node | None, Node | None], wire: str) -> list[Node]:
        """The terminals at the probes, or at the ends of what a clamp holds."""
        conductor = self.design.circuit.conductor.get(wire)
        if conductor:
            return list(conductor.ends)
        if ":" in wire:
            return [end for path in self.design.circuit.inner if path.id == wire for end in (path.a, path.b)]
        return [node for node in probes if node]

    def _access(
        self, meter: Meter, setting: Setting | None, probes: tuple[Node | None, Node | None], wire: str
    ) -> Access | None:
        places = self._places(probes, wire)
        return self.access(meter, setting, places) if places else None

    def access(self, meter: Meter, setting: Setting | None, places: Sequence[Node]) -> Access:
        """What it takes to put an instrument to some places; an ohmmeter finds them dead, others may not."""
        solved = _TESTER_V if meter is Meter.INSULATION else 0.0
        if setting is not None and setting.mains and not meter.is_resistance:
            run = self.run(setting)
            stands = [abs(run.point.volts(node, kind) or 0.0) for node in places for kind in ("DC", "AC")]
            apart = [abs(run.between(places[0], places[-1], kind)) for kind in ("DC", "AC")]
            solved = max(*stands, *apart)
        return self.survey.safety.access(places, live=not meter.is_resistance, solved_v=solved)

    def _keep_off(self, stage: Stage, probes: tuple[Node | None, Node | None], wire: str) -> None:
        """Say once a stage that a part is for its maker's service."""
        names = {node[0] for node in self._places(probes, wire)}
        for high in out_of_reach(self.survey.safety):
            if high.part.name in names and (stage, high.part.name) not in self._kept_off:
                self._kept_off.add((stage, high.part.name))
                self.look(
                    stage,
                    f"{high.part.title} ({high.part.name}), up to {volts_words(high.volts)}: no lead, clamp or hand to "
                    "any of its terminals. Only what shows without contact, from the distance that its maker gives",
                    "as its maker's instructions say; all else is for the maker's service",
                    "switch off, lock off, call the maker's service",
                    Who.QUALIFIED,
                )

    def unless_overloaded(self, setting: Setting, expected: Expected) -> Expected:
        """After an overload nothing is an expected value."""
        words = overload_words(setting, self.run(setting))
        if not words:
            return expected
        return Expected(Sort.UNJUDGED, words=f"not judged: {words}; mend the plan before this is switched on")

    def change(self, stage: Stage, acts: tuple[Act, ...]) -> None:
        """A line that changes the position of the machine, for what no network answers."""
        expected = Expected(Sort.LOOK, words="done")
        self.lines.append(Line("", stage, "", Meter.LOOK, expected, "stop here", Who.INSTRUCTED, acts=acts))

    def ask(self, missing: str) -> None:
        """Say once what could not be judged, and what is missing for it."""
        if missing not in self.not_judged:
            self.not_judged.append(missing)

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
        about: tuple[str, ...] = (),
        row: tuple[str, str] = ("", ""),
        setting: Setting | None = None,
    ) -> None:
        """A line for eyes, ears and hands."""
        expected = Expected(Sort.LOOK, words=words)
        if setting is not None and setting.mains:
            expected = self.unless_overloaded(setting, expected)
        self.add(stage, action, Meter.LOOK, expected, wrong, who, setting, test=test, about=about, row=row)

    # Voltages and currents.

    def sheet(self) -> Sheet:
        """The lines collected."""
        return Sheet(tuple(self.lines), tuple(self.not_judged), tuple(self.unseen), self.failed, self._cautions())

    def _cautions(self) -> tuple[str, ...]:
        """What comes before everything, with the rating that the whole sheet asks for."""
        ratings = [line.access.rating for line in self.lines if line.access and line.access.rating]
        rated = f"CAT III {max(ratings, default=300)} V or better"
        return tuple(words.format(rated=rated) for words in FIRST)
