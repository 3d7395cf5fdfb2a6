"""Lines with a reading: expected values from the solved machine, tolerances from the table."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from wiring.circuit.model import Node
from wiring.powerup.collector import METER_LEAST, UNPLUGGED, Collector, practice
from wiring.powerup.machine import on_value
from wiring.powerup.ohms import measure_fixed
from wiring.powerup.step import Expected, Meter, Setting, Sort, Stage, Who
from wiring.powerup.survey import Pair
from wiring.solver.assembly import Actuator

__all__ = ["METER_LEAST", "UNPLUGGED", "Builder", "practice"]
#: A voltage below this is not worth a line [V].
LEAST_V = 1.0
#: Share of its voltage above which a lamp, fan or input counts as on.
LIT = 0.5
_METERS = {"DC": Meter.DC_V, "AC": Meter.AC_V}
_CLAMPS = {"DC": Meter.DC_A, "AC": Meter.AC_A}


class Builder(Collector):
    """Adds lines with what the sound machine reads at them."""

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
        expected = self.unless_overloaded(setting, Expected(Sort.VALUE, value, value - room, value + room))
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
        expected = self.unless_overloaded(setting, Expected(Sort.BELOW, value, -top, top))
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
        expected = self.unless_overloaded(setting, expected)
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
        expected = self.unless_overloaded(setting, Expected(Sort.SEEN, value, value, value))
        self.add(
            stage, action, Meter.SEEN, expected, wrong, Who.INSTRUCTED, setting, probes, "", test, (), row, seen, on_v
        )

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
        who: Who = Who.BUILDER,
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
            self.add(stage, action, Meter.OHM, expected, wrong, who, setting, (red, black), test=test, row=row)


def named_part(to: Builder, pair: Pair) -> str:
    """The part that is fed at a pair of terminals, by its title and name."""
    return f"{to.design.parts[pair.part].title} ({pair.part})"
