"""Lines of the sheet put together: expected values from the solved machine, tolerances from the table, numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from math import inf
from typing import TYPE_CHECKING

from wiring.circuit.model import Node, named
from wiring.powerup.contact_safety import out_of_reach, volts_words
from wiring.powerup.machine import Memory, Operator, Run, on_value
from wiring.powerup.ohms import measure_fixed
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
#: The machine as the ohmmeter finds it unless a line says otherwise.
UNPLUGGED = Setting(False)
_METERS = {"DC": Meter.DC_V, "AC": Meter.AC_V}
_CLAMPS = {"DC": Meter.DC_A, "AC": Meter.AC_A}


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
        self._kept_off: set[tuple[Stage, str]] = set()
        self._is_annex = False
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
    def annex(self) -> Iterator[None]:
        """Lines added in here are asked for only when something is wrong."""
        before, self._is_annex = self._is_annex, True
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
        access = self._access(meter, setting, probes, wire)
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
        solved = 0.0
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
        self.add(stage, action, Meter.LOOK, expected, wrong, who, setting, test=test, about=about, row=row)

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
        row: tuple[str, str] = ("", ""),
    ) -> None:
        """A voltage that must be there, within a share of it."""
        value = self.run(setting).between(*probes, kind)
        room = abs(value) * share + METER_LEAST[_METERS[kind]]
        expected = self._unless_overloaded(setting, Expected(Sort.VALUE, value, value - room, value + room))
        self.add(stage, action, _METERS[kind], expected, wrong, who, setting, probes, test=test, row=row)

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
        row: tuple[str, str] = ("", ""),
    ) -> None:
        """A voltage that must not be there."""
        value = abs(self.run(setting).between(*probes, kind))
        top = max(practice("dead_max") if most is None else most, 2.0 * value)
        expected = self._unless_overloaded(setting, Expected(Sort.BELOW, value, -top, top))
        self.add(stage, action, _METERS[kind], expected, wrong, who, setting, probes, test=test, row=row)

    def amps(
        self,
        stage: Stage,
        setting: Setting,
        path: str,
        kind: str,
        action: str,
        wrong: str,
        who: Who = Who.INSTRUCTED,
        row: tuple[str, str] = ("", ""),
    ) -> None:
        """A current in a conductor or through a pole."""
        value = abs(self.run(setting).point.path_current(kind).get(path, 0.0))
        room = practice("current") * value + METER_LEAST[_CLAMPS[kind]]
        expected = Expected(Sort.VALUE, value, max(value - room, 0.0), value + room)
        expected = self._unless_overloaded(setting, expected)
        self.add(stage, action, _CLAMPS[kind], expected, wrong, who, setting, wire=path, row=row)

    def is_on(
        self,
        stage: Stage,
        setting: Setting,
        seen: Actuator | None,
        probes: tuple[Node | None, Node | None],
        action: str,
        wrong: str,
        on_v: float = 0.0,
        test: str = "",
        row: tuple[str, str] = ("", ""),
    ) -> None:
        """A coil by its actuator, or what lights with its voltage by its terminals, seen on or off from outside."""
        value = on_value(self.run(setting), seen, probes, on_v)
        expected = self._unless_overloaded(setting, Expected(Sort.SEEN, value, value, value))
        source = self.test(test) if test else None
        self.lines.append(
            Line(
                "",
                stage,
                action,
                Meter.SEEN,
                expected,
                wrong,
                Who.INSTRUCTED,
                setting,
                probes[0],
                probes[1],
                test=source,
                row=row[0],
                cell=row[1],
                annex=self._is_annex,
                seen=seen,
                on_v=on_v,
            )
        )

    def _unless_overloaded(self, setting: Setting, expected: Expected) -> Expected:
        """After an overload nothing is an expected value."""
        words = overload_words(setting, self.run(setting))
        if not words:
            return expected
        return Expected(Sort.UNJUDGED, words=f"not judged: {words}; mend the plan before this is switched on")

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
        rows: Sequence[tuple[str, str]] = (),
    ) -> None:
        """Resistances on the dead machine: a value, open, or none that is fixed."""
        found = measure_fixed(self.survey.cold, setting, probes)
        rows = rows or [("", "")] * len(probes)
        for (red, black), action, reading, row in zip(probes, words, found, rows, strict=True):
            if reading.fixed and reading.ohm is None:
                expected = Expected(Sort.OPEN, inf, practice("insulation_min"), inf)
            elif not reading.fixed:
                low = practice("rail_min") if reading.ohm is None else min(practice("rail_min"), 0.5 * reading.ohm)
                expected = Expected(Sort.RISES, None, low, inf)
            else:
                assert reading.ohm is not None
                room = share * reading.ohm + least
                expected = Expected(Sort.VALUE, reading.ohm, max(reading.ohm - room, 0.0), reading.ohm + room)
            self.add(stage, action, Meter.OHM, expected, wrong, Who.BUILDER, setting, (red, black), test=test, row=row)

    def sheet(self) -> Sheet:
        """The lines collected."""
        return Sheet(tuple(self.lines), tuple(self.not_judged), tuple(self.unseen), self.failed, self._cautions())

    def _cautions(self) -> tuple[str, ...]:
        """What comes before everything, with the rating that the whole sheet asks for."""
        ratings = [line.access.rating for line in self.lines if line.access and line.access.rating]
        rated = f"CAT III {max(ratings, default=300)} V or better"
        return tuple(words.format(rated=rated) for words in FIRST)


def between(red: Node, black: Node) -> str:
    """ "G1:V+ to G1:V-"."""
    return f"{named(red)} to {named(black)}"
