"""Values of a plan that are more than one number: a voltage with its kind, a phase current, a terminal."""

from __future__ import annotations

import re
from abc import abstractmethod
from math import sqrt
from typing import Any, ClassVar, Self

from msgspec import Struct
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from wiring import quantities
from wiring.plan.fault import Refusal
from wiring.quantities import Quantity, QuantityError, parse, parse_lengths, parse_range, parse_wire_size_range


def wanted_text(value: Any, example: str) -> str:
    """The value where it is a text; Refusal with an example where a list, a mapping or nothing stands."""
    if isinstance(value, str):
        return value
    if value is None:
        raise Refusal("nothing stands here", f"a value such as {example}")
    what = "a mapping" if isinstance(value, dict) else "a list" if isinstance(value, list) else type(value).__name__
    raise Refusal(f"{what} stands here", f"a single value such as {example}")


class Written(Struct, frozen=True):
    """A frozen record that pydantic reads from one text by `read`."""

    description: ClassVar[str]
    examples: ClassVar[tuple[str, ...]]

    @classmethod
    @abstractmethod
    def read(cls, text: str) -> Self:
        """The record that the text writes; Refusal or QuantityError where it writes none."""

    @classmethod
    def from_plan(cls, value: Any) -> Self:
        return value if isinstance(value, cls) else cls.read(wanted_text(value, cls.examples[0]))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.from_plan)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        return {"type": "string", "description": cls.description, "examples": list(cls.examples)}


def _kind(quantity: Quantity) -> str:
    """AC or DC; "rms" says AC; a peak voltage is refused, because every voltage of a plan is an effective value."""
    if quantity.qualifier == "peak":
        raise Refusal(f"{quantity.text!r} is a peak value", "the effective value, such as 230 V AC, or a DC voltage")
    return "AC" if quantity.qualifier == "rms" else quantity.qualifier


class Voltage(Written, frozen=True):
    """A voltage in volt; `kind` is "AC", "DC", or "" where the plan does not say."""

    description: ClassVar[str] = "a voltage, with AC or DC behind it where it matters"
    examples: ClassVar[tuple[str, ...]] = ("24 V DC", "230 V AC", "230 V")

    volts: float
    kind: str = ""

    @classmethod
    def read(cls, text: str) -> Self:
        quantity = parse(text, "voltage")
        if quantity.value <= 0:
            wrong = "negative" if quantity.value < 0 else "zero"
            raise Refusal(f"{text!r} is {wrong}", "a voltage above zero; polarity follows from the terminals")
        return cls(quantity.value, _kind(quantity))


class VoltageRange(Written, frozen=True):
    """From `low` to `high` volt, alike for a single voltage; `kind` is "AC", "DC" or ""."""

    description: ClassVar[str] = "a voltage or a range of voltages"
    examples: ClassVar[tuple[str, ...]] = ("24..48 V DC", "230 V AC")

    low: float
    high: float
    kind: str = ""

    @classmethod
    def read(cls, text: str) -> Self:
        low, high = parse_range(text, "voltage")
        if high.value <= 0:
            raise Refusal(f"{text!r} does not reach above zero", f"for example {cls.examples[0]}")
        return cls(low.value, high.value, _kind(high))

    @property
    def highest(self) -> Voltage:
        """The voltage that it ends with."""
        return Voltage(self.high, self.kind)


class CurrentRange(Written, frozen=True):
    """From `low` to `high` ampere, alike for a single current."""

    description: ClassVar[str] = "a range of currents, such as the setting of a motor protector"
    examples: ClassVar[tuple[str, ...]] = ("1.6..2.5 A", "4 A")

    low: float
    high: float

    @classmethod
    def read(cls, text: str) -> Self:
        low, high = parse_range(text, "current")
        if low.value <= 0 or high.qualifier == "peak":
            raise Refusal(f"{text!r} is no range of rated currents", f"for example {cls.examples[0]}")
        return cls(low.value, high.value)


class PhaseCurrent(Written, frozen=True):
    """Current of one motor phase in ampere, as written, and the `convention` it is written in.

    "peak" is the amplitude of the microstep sine, "rms" its effective value, "per-phase" the rating of a motor with
    both phases on, which heats it as the same effective value does.
    """

    description: ClassVar[str] = "phase current of a drive or motor with its convention"
    examples: ClassVar[tuple[str, ...]] = ("4.2 A peak", "3 A rms", "3 A per-phase")

    amps: float
    convention: str

    @property
    def rms_a(self) -> float:
        """Effective value in ampere."""
        return self.amps / sqrt(2) if self.convention == "peak" else self.amps

    @property
    def peak_a(self) -> float:
        """Amplitude in ampere."""
        return self.amps if self.convention == "peak" else self.amps * sqrt(2)

    @classmethod
    def read(cls, text: str) -> Self:
        head, _, last = text.strip().rpartition(" ")
        per_phase = last == "per-phase"
        quantity = parse(head if per_phase else text, "current")
        convention = "per-phase" if per_phase else quantity.qualifier
        if convention not in ("peak", "rms", "per-phase") or (per_phase and quantity.qualifier):
            raise Refusal(
                f"{text!r} does not say which value of the current it is",
                "peak, rms or per-phase behind it, for example 4.2 A peak",
                "look in the data sheet; the peak value is 1.414 times the rms value",
            )
        if quantity.value <= 0:
            raise Refusal(f"{text!r} is not above zero", f"for example {cls.examples[0]}")
        return cls(quantity.value, convention)


_RATED_EXPECTED = "a voltage, then a power, an apparent power or a current, for example 24 V DC 3 W"


class Rated(Written, frozen=True):
    """What a load or coil takes at its voltage: exactly one of `watts`, `amps` and `va` is given."""

    description: ClassVar[str] = "rated voltage with the power, apparent power or current taken at it"
    examples: ClassVar[tuple[str, ...]] = ("24 V DC 3 W", "24 V DC 20 mA", "230 V AC 8 VA")

    voltage: Voltage
    watts: float | None = None
    amps: float | None = None
    va: float | None = None

    @property
    def current_a(self) -> float:
        """Current at the rated voltage, in ampere."""
        if self.amps is not None:
            return self.amps
        return (self.watts if self.watts is not None else self.va or 0.0) / self.voltage.volts

    @property
    def power_w(self) -> float:
        """Power at the rated voltage in watt; for VA and for current the product, which is its upper bound."""
        if self.watts is not None:
            return self.watts
        return self.va if self.va is not None else (self.amps or 0.0) * self.voltage.volts

    @classmethod
    def read(cls, text: str) -> Self:
        found = re.fullmatch(r"\s*(\S+\s*[A-Za-z]+(?:\s+(?:AC|DC))?)\s+([0-9.].*)", text)
        if not found:
            raise Refusal(f"{text[:60]!r} does not say what is taken at which voltage", _RATED_EXPECTED)
        voltage = Voltage.read(found[1])
        for field, dimension in (("watts", "power"), ("amps", "current"), ("va", "apparent power")):
            try:
                taken = parse(found[2], dimension)
            except QuantityError:
                continue
            if taken.value <= 0:
                raise Refusal(f"{text!r} takes nothing", _RATED_EXPECTED)
            if not taken.qualifier:
                return cls(voltage, **{field: taken.value})
        raise Refusal(f"{found[2][:40]!r} is no power, apparent power or current", _RATED_EXPECTED)


class CoilRating(Rated, frozen=True):
    """What a coil takes at its voltage; a label that prints the voltage alone is read too, and the power is asked."""

    description: ClassVar[str] = "rated voltage of a coil, with the power taken at it where it is known"
    examples: ClassVar[tuple[str, ...]] = ("24 V DC 3 W", "230 V AC 8 VA", "24 V DC")

    @property
    def is_known(self) -> bool:
        """Whether the plan says what it takes."""
        return (self.watts, self.amps, self.va) != (None, None, None)

    @classmethod
    def read(cls, text: str) -> Self:
        try:
            alone = Voltage.read(text)
        except (Refusal, QuantityError):
            rated = Rated.read(text)
            return cls(rated.voltage, rated.watts, rated.amps, rated.va)
        if not alone.volts:
            raise Refusal(f"{text!r} has no voltage", _RATED_EXPECTED)
        return cls(alone)


class WireSizeRange(Written, frozen=True):
    """Conductor sizes from the thinnest, `low`, to the thickest, `high`, both in one system."""

    description: ClassVar[str] = "conductor sizes that a terminal takes, the thinner first"
    examples: ClassVar[tuple[str, ...]] = ("0.2..2.5 mm2", "22..12 AWG")

    low: quantities.WireSize
    high: quantities.WireSize

    @classmethod
    def read(cls, text: str) -> Self:
        return cls(*parse_wire_size_range(text))


def _positive_lengths(text: str, count: int) -> tuple[float, ...]:
    values = parse_lengths(text, count)
    if min(values) <= 0:
        raise Refusal(f"{text!r} has a length that is not above zero", "lengths above zero")
    return values


class Box(Written, frozen=True):
    """Outer size of a box in m."""

    description: ClassVar[str] = "width x height x depth"
    examples: ClassVar[tuple[str, ...]] = ("500 x 500 x 210 mm",)

    width: float
    height: float
    depth: float

    @classmethod
    def read(cls, text: str) -> Self:
        return cls(*_positive_lengths(text, 3))


class Pair(Written, frozen=True):
    """Width and height in m."""

    description: ClassVar[str] = "width x height"
    examples: ClassVar[tuple[str, ...]] = ("40 x 60 mm",)

    width: float
    height: float

    @classmethod
    def read(cls, text: str) -> Self:
        return cls(*_positive_lengths(text, 2))


class Spot(Written, frozen=True):
    """A point in m from the lower left corner, seen from the front; neither is below zero."""

    description: ClassVar[str] = "to the right x upwards, from the lower left corner"
    examples: ClassVar[tuple[str, ...]] = ("120 x 340 mm",)

    x: float
    y: float

    @classmethod
    def read(cls, text: str) -> Self:
        x, y = parse_lengths(text, 2)
        if min(x, y) < 0:
            raise Refusal(f"{text!r} lies outside", "two lengths of zero or more, from the lower left corner")
        return cls(x, y)


class Poles(Written, frozen=True):
    """Number of switched poles, 1 to 4."""

    description: ClassVar[str] = "number of poles"
    examples: ClassVar[tuple[str, ...]] = ("2",)

    count: int

    @classmethod
    def read(cls, text: str) -> Self:
        if text not in ("1", "2", "3", "4"):
            raise Refusal(f"{text[:40]!r} is no number of poles", "1, 2, 3 or 4")
        return cls(int(text))


class TerminalRef(Written, frozen=True, order=True):
    """One terminal of one part."""

    description: ClassVar[str] = "PART:TERMINAL"
    examples: ClassVar[tuple[str, ...]] = ("G1:V+", "K1:A1")

    part: str
    terminal: str

    def __str__(self) -> str:
        return f"{self.part}:{self.terminal}"

    @classmethod
    def read(cls, text: str) -> Self:
        part, _, terminal = text.partition(":")
        if not part or not terminal or re.search(r"\s", text):
            raise Refusal(f"{text[:60]!r} is no terminal", "a part, a colon and its terminal, for example G1:V+")
        return cls(part, terminal)
