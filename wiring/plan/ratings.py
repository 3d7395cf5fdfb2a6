"""Electrical values of a plan that are more than one number: a voltage with its kind, a phase current, a rating."""

from __future__ import annotations

import re
from math import sqrt
from typing import ClassVar, Self

from wiring.plan.fault import Refusal
from wiring.plan.values import Written
from wiring.quantities import Quantity, QuantityError, parse, parse_range


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
        head, _, last = text.strip().replace(" per phase", " per-phase").rpartition(" ")
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
        return self.true_w(1.0)

    def true_w(self, power_factor: float) -> float:
        """True power at the rated voltage [W] of a load with that power factor; VA and current are apparent power."""
        if self.watts is not None:
            return self.watts
        return power_factor * (self.va if self.va is not None else (self.amps or 0.0) * self.voltage.volts)

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
