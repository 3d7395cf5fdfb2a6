"""Each supply with nothing on it."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.parts.elements import Output
from wiring.parts.incoming import Transformer
from wiring.parts.sources import Rectifier
from wiring.powerup.builder import LEAST_V, Builder, practice
from wiring.powerup.step import Setting, Stage, Who


def _room(to: Builder, source: str) -> float:
    unregulated = isinstance(to.design.parts[source].data, Rectifier | Transformer)
    return practice("unregulated_unloaded" if unregulated else "supply_unloaded")


def unloaded_output(to: Builder, stage: Stage, source: str, setting: Setting) -> None:
    """The output of a source with nothing on it, and to earth where its return is bonded."""
    output: Output = to.survey.sources[source]
    part = to.design.parts[source]
    ends = (source, output.plus), (source, output.minus)
    wrong = "wrong setting, a short on the rail, or the supply is dead"
    words = row = f"{part.title} ({source}) unloaded"
    kind = output.kind or "DC"
    to.volts(stage, setting, ends, kind, _room(to, source), words, wrong, Who.QUALIFIED, row=(row, "output"))
    earth = to.survey.earth
    if earth is not None and abs(to.run(setting).between(ends[0], earth, kind)) > LEAST_V:
        words, wrong = f"{part.title} ({source}), plus to earth", "the 0 V of this rail is not bonded to earth"
        with to.annex():
            to.volts(stage, setting, (ends[0], earth), kind, _room(to, source), words, wrong, Who.QUALIFIED)


def source_is_up(to: Builder, source: str, setting: Setting) -> bool:
    """Whether a source delivers in a setting."""
    output = to.survey.sources[source]
    ends = (source, output.plus), (source, output.minus)
    return abs(to.run(setting).between(*ends, output.kind or "DC")) > LEAST_V


def first_settings(to: Builder) -> Iterator[tuple[str, Setting]]:
    """Every supply that the mains reaches without a contactor, with the position in which it stands unloaded."""
    for source in to.survey.sources:
        ahead = to.survey.ahead(source)
        if to.survey.is_mains_fed(source) and all(map(to.survey.is_mains, ahead)):
            setting = to.survey.only(*ahead)
            if source_is_up(to, source, setting):
                yield source, setting


def supplies(to: Builder) -> set[str]:
    """Every supply that the mains reaches without a contactor; the names of those seen come back."""
    seen = set()
    for source, setting in first_settings(to):
        unloaded_output(to, Stage.SUPPLIES, source, setting)
        seen.add(source)
    return seen
