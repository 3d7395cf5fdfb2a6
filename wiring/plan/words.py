"""Single values of a plan that are no quantity: words, names, counts, factors, colours."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any, Literal

from wiring.plan.colours import read_colour
from wiring.plan.fault import Refusal
from wiring.plan.insulation import INSULATION, read_insulation
from wiring.plan.values import ValueReader, text_schema, wanted_text

#: The most points, cores or wires of one thing.
LARGEST_NUMBER = 1000
#: Between these lie the factors of a plan; a power factor ends at 1.
LEAST_FACTOR, LARGEST_FACTOR = 0.001, 1000.0


def _flag(value: Any) -> bool:
    text = wanted_text(value, "true")
    if text not in ("true", "false"):
        raise Refusal(f"{text!r} is neither true nor false", "true or false")
    return text == "true"


def _count(least: int) -> Callable[[Any], int]:
    def read(value: Any) -> int:
        text = wanted_text(value, "4")
        if not re.fullmatch(r"[0-9]{1,6}", text):
            raise Refusal(f"{text!r} is not a count", "a whole number without a unit, for example 4")
        if not least <= int(text) <= LARGEST_NUMBER:
            raise Refusal(f"{text!r} is out of bounds", f"a whole number from {least} to {LARGEST_NUMBER}")
        return int(text)

    return read


def _factor(most: float) -> Callable[[Any], float]:
    def read(value: Any) -> float:
        text = wanted_text(value, "0.95")
        if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,12})?", text):
            raise Refusal(
                f"{text!r} is not a plain number", "a number with a decimal point and no unit, for example 0.95"
            )
        if not LEAST_FACTOR <= float(text) <= most:
            raise Refusal(f"{text!r} is out of bounds", f"a number from {LEAST_FACTOR:g} to {most:g}")
        return float(text)

    return read


def _name(value: Any) -> str:
    text = wanted_text(value, "K1")
    if not text or len(text) > 80 or re.search(r"[\s:,;]", text):
        raise Refusal(
            f"{text[:40]!r} is not a name", "letters, digits and signs without space, colon, comma or semicolon"
        )
    return text


def _text(value: Any) -> str:
    return wanted_text(value, "a few words")


def _protection(value: Any) -> str:
    text = wanted_text(value, "IP54").strip()
    kind = re.fullmatch(r"(?i:type)\s*((?:3RX|3SX|3R|3S|3X|4X|6P|12K|13|12|[1-6])(?:\s*,\s*[0-9A-Z]+)*)", text)
    if kind:
        return f"type {kind[1]}"
    if not re.fullmatch(r"IP[0-6X][0-9X][A-D]?[HMSW]{0,2}", text):
        raise Refusal(
            f"{text[:40]!r} is no degree of protection", "an IP code such as IP54, or an enclosure type such as type 12"
        )
    return text


def _colour(value: Any) -> str:
    return read_colour(wanted_text(value, "BK"))


def _insulation(value: Any) -> str:
    return read_insulation(wanted_text(value, "pvc-70"))


_NAME_SCHEMA = {"type": ["string", "integer"], "pattern": r"^[^\s:,;]+$", "examples": ["K1"]}
_COLOUR_WORDS = "colour of the insulation in letters of IEC 60757"

#: true or false, and no other word.
EnergyClass = Literal["1", "2", "3"]
Flag = Annotated[bool, ValueReader(_flag, {"type": "boolean"})]
#: A bare whole number of things.
Count = Annotated[
    int, ValueReader(_count(1), {"type": "integer", "minimum": 1, "maximum": LARGEST_NUMBER, "examples": [4]})
]
CountOrZero = Annotated[
    int, ValueReader(_count(0), {"type": "integer", "minimum": 0, "maximum": LARGEST_NUMBER, "examples": [4]})
]
_FACTOR_SCHEMA = {"type": "number", "minimum": LEAST_FACTOR}
#: A bare number without a dimension.
Factor = Annotated[
    float, ValueReader(_factor(LARGEST_FACTOR), _FACTOR_SCHEMA | {"maximum": LARGEST_FACTOR, "examples": [6]})
]
#: A bare number up to 1.
PowerFactor = Annotated[float, ValueReader(_factor(1.0), _FACTOR_SCHEMA | {"maximum": 1, "examples": [0.95]})]
#: Any text.
Text = Annotated[str, ValueReader(_text, {"type": ["string", "number"]})]
#: The id of a part, conductor, route or terminal.
Name = Annotated[str, ValueReader(_name, _NAME_SCHEMA)]
#: IP code (IEC 60529) or enclosure type (NEMA 250).
Protection = Annotated[
    str, ValueReader(_protection, text_schema("degree of protection of the enclosure", "IP54", "type 12"))
]
#: Letter codes of IEC 60757, one or two colours, in capitals.
Colour = Annotated[str, ValueReader(_colour, text_schema(_COLOUR_WORDS, "BK", "BU", "GNYE", "DBU", "WHBU"))]
#: Insulation material with its highest conductor temperature, or a North American type word.
Insulation = Annotated[str, ValueReader(_insulation, {"type": "string", "enum": list(INSULATION)})]
