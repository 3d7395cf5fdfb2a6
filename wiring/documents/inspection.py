"""The sheet of the inspection: what is looked at by hand on the machine, and nothing that is for parts it has not."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from wiring.design.design import Design
from wiring.parts.drives import Drive, ServoDrive
from wiring.parts.incoming import Transformer
from wiring.parts.loads import Heater, Lamp, ProcessSource
from wiring.parts.motors import Brake, BrakingResistor, Motor, Shaft
from wiring.parts.operators import Selector

#: The parts that a line of the sheet is for, by the word that the table has for them.
_FOR: Mapping[str, tuple[type, ...]] = {
    "brakes": (Brake,),
    "braking resistors": (BrakingResistor,),
    "drives": (Drive,),
    "heaters": (Heater, BrakingResistor, ProcessSource),
    "lamps": (Lamp,),
    "motors": (Shaft,),
    "motors without drive": (Motor,),
    "selectors": (Selector,),
    "servo drives": (ServoDrive,),
    "transformers": (Transformer,),
}


@cache
def _table(book: str) -> tuple[dict[str, str], ...]:
    text = (files("wiring.documents") / "tables" / f"inspection_{book}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def inspection_rows(design: Design) -> list[dict[str, str]]:
    """The lines of the rulebook's sheet, without those for parts that the plan does not have."""
    kinds = [type(part.data) for part in design.parts.values()]
    return [
        row
        for row in _table(design.plan.rulebook)
        if not row["for"] or any(issubclass(kind, _FOR[row["for"]]) for kind in kinds)
    ]
