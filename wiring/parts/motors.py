"""Motors and what holds or brakes a shaft."""

from __future__ import annotations

from typing import Any, ClassVar, Literal

from wiring.parts.base import PartModel, phase_pairs
from wiring.parts.elements import Coil, Draw, Element, Function, Resistance, Terminal
from wiring.parts.machinery import power_factor_of
from wiring.parts.switching import SuppressorWord, coil_between
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import typical_phase_ohm
from wiring.plan.model import Model, field
from wiring.plan.ratings import CoilRating, PhaseCurrent, Voltage
from wiring.plan.types import (
    Amperes,
    Fraction,
    FractionOrZero,
    Henries,
    KilogramSquareMetres,
    NewtonMetres,
    NewtonMetresSigned,
    Ohms,
    RadiansPerSecond,
    RadiansPerSecondSigned,
    Seconds,
    SecondsOrZero,
    VoltAmperes,
    Watts,
    WattsOrZero,
)
from wiring.plan.words import Factor, Flag, PowerFactor

#: Power of a holding brake where none is given [W] (typical, from memory).
_TYPICAL_BRAKE_W = 12.0
#: Supply current of an incremental encoder where none is given [A] (typical, from memory).
_USUAL_ENCODER_A = 0.1


class Work(Model):
    """What the shaft does when it runs; a state of the plan may say otherwise."""

    speed: RadiansPerSecondSigned | None = None
    torque: NewtonMetresSigned | None = None
    power: WattsOrZero | None = None
    duty: FractionOrZero = 1.0


class MotorEncoder(Model):
    """An encoder on the shaft: its supply, and the terminals of its signals."""

    between: tuple[str, str] = ("E5V", "E0V")
    voltage: Voltage
    current: Amperes | None = field(None, description="typical value used when left out")
    signals: list[str] = field(default_factory=lambda: ["EA+", "EA-", "EB+", "EB-", "EZ+", "EZ-"])

    @property
    def taken_a(self) -> float:
        """The current that it takes [A], a typical one where none is given."""
        return self.current if self.current is not None else _USUAL_ENCODER_A


class Shaft(PartModel):
    """What every motor has."""

    letter: ClassVar[str] = "M"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.MACHINE, "motor")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    is_motor: ClassVar[bool] = True
    hazard: ClassVar[bool] = True
    earthed_at: ClassVar[str | None] = "PE"
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    work: Work | None = None
    rotor_inertia: KilogramSquareMetres | None = None
    load_inertia: KilogramSquareMetres | None = field(None, description="inertia of the load, seen at the motor shaft")
    max_speed: RadiansPerSecond | None = None
    vertical: Flag = field(False, description="its load falls when the torque goes")
    self_locking: Flag = field(False, description="its screw or gear holds the load without torque")
    gravity_torque: NewtonMetresSigned | None = field(
        None, description="torque that the weight of a vertical load puts on the motor shaft"
    )
    run_down: SecondsOrZero | None = field(None, description="time that it turns on when its power is taken away")
    encoder: MotorEncoder | None = field(None, description="encoder on its shaft, for a motor in a closed loop")
    metal: Flag = field(True, description="has a metal body that needs a protective conductor")

    def earth_terminal(self) -> str | None:
        return "PE" if self.metal else None

    def _earth(self) -> list[Terminal]:
        """Its protective terminal, and the terminals of its encoder."""
        earth = [Terminal("PE", Function.PE, True)] if self.metal else []
        if self.encoder is None:
            return earth
        supply = [Terminal(end, Function.SUPPLY, True) for end in self.encoder.between]
        return [*earth, *supply, *(Terminal(name, Function.OUTPUT) for name in self.encoder.signals)]

    def _encoder(self) -> list[Element]:
        if self.encoder is None:
            return []
        a, b = self.encoder.between
        return [Draw(a, b, "DC", amps=self.encoder.taken_a, name="encoder")]


class StepperMotor(Shaft):
    """A two-phase stepper motor; figures are for the winding as connected."""

    kind_name: ClassVar[str] = "stepper-motor"
    example: ClassVar[str] = "phase_current: 2.8 A per-phase, phase_resistance: 0.9 ohm"
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.MACHINE, "motor-step")
    phase_current: PhaseCurrent
    phase_resistance: Ohms | None = field(None, description="typical value used when left out")
    phase_inductance: Henries | None = None
    holding_torque: NewtonMetres | None = None
    iron_loss: WattsOrZero | None = field(
        None, description="iron loss at its working speed, typical value used when left out"
    )

    @property
    def winding_ohm(self) -> float:
        """Resistance of one phase [ohm], typical for its current where none is given."""
        return self.phase_resistance or typical_phase_ohm(self.phase_current.rms_a)

    def ohmic_known(self) -> bool:
        return self.phase_resistance is not None

    def points(self) -> list[Terminal]:
        phases = [Terminal(name, Function.MOTOR, True) for name in ("A+", "A-", "B+", "B-")]
        return [*phases, *self._earth()]

    def elements(self) -> list[Element]:
        windings = [Resistance(f"{phase}+", f"{phase}-", self.winding_ohm, "DC", False) for phase in ("A", "B")]
        return [*windings, *self._encoder()]


class ServoMotor(Shaft):
    """A three-phase servo motor."""

    kind_name: ClassVar[str] = "servo-motor"
    example: ClassVar[str] = "rated_power: 400 W"
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.MACHINE, "motor-servo")
    rated_power: Watts
    rated_current: PhaseCurrent | None = None
    rated_torque: NewtonMetres | None = None
    peak_torque: NewtonMetres | None = None
    phase_resistance: Ohms | None = None
    efficiency: Fraction = 0.85

    @property
    def loaded_efficiency(self) -> float:
        """Share of the power fed in that reaches the shaft at rated load."""
        return self.efficiency

    def ohmic_known(self) -> bool:
        return self.phase_resistance is not None

    def points(self) -> list[Terminal]:
        return [*(Terminal(name, Function.MOTOR, True) for name in ("U", "V", "W")), *self._earth()]

    def elements(self) -> list[Element]:
        ohm = self.phase_resistance or 1.0
        windings = [Resistance(name, ".star", ohm, "DC", False) for name in ("U", "V", "W")]
        return [*windings, *self._encoder()]


class Motor(Shaft):
    """An induction or DC motor: fed by an inverter, a contactor or straight from a rail."""

    kind_name: ClassVar[str] = "motor"
    example: ClassVar[str] = "voltage: 400 V AC, rated_power: 1.5 kW"
    voltage: Voltage
    phases: Literal["1", "3", "DC"] = "3"
    rated_power: Watts
    rated_current: Amperes | None = None
    efficiency: Fraction = 0.75
    power_factor: PowerFactor = 0.8
    service_factor: Factor | None = field(
        None, description="share of its rated power that it bears lastingly, NEMA MG 1"
    )
    continuous: Flag | None = field(None, description="whether it runs for three hours or more at a time")
    start_factor: Factor = field(6.0, description="starting current as a multiple of the rated one")
    phase_resistance: Ohms | None = None

    @classmethod
    def before_reading(cls, data: Any) -> Any:
        """A motor for a voltage of direct current has no phases, said or not."""
        if isinstance(data, dict) and "phases" not in data and str(data.get("voltage")).endswith(" DC"):
            return {**data, "phases": "DC"}
        return data

    def sign(self) -> str:
        return {"1": "motor-1", "3": "motor-3", "DC": "motor-dc"}[self.phases]

    @property
    def loaded_efficiency(self) -> float:
        """Share of the power fed in that reaches the shaft at rated load.

        Follows from `rated_current` where the plan states the power factor and not the efficiency.
        """
        stated = self.model_fields_set
        factor_known = self.phases == "DC" or "power_factor" in stated
        if self.rated_current is None or "efficiency" in stated or not factor_known:
            return self.efficiency
        return min(1.0, self._share_of_rated(self.rated_current) / self.loaded_power_factor)

    @property
    def loaded_power_factor(self) -> float:
        """Power factor at rated load; follows from `rated_current` where the plan does not state it."""
        if self.phases == "DC":
            return 1.0
        if self.rated_current is None or "power_factor" in self.model_fields_set:
            return self.power_factor
        return min(1.0, self._share_of_rated(self.rated_current) / self.efficiency)

    def _share_of_rated(self, rated_a: float) -> float:
        """Power at the shaft as a share of the apparent power on the plate: efficiency times power factor."""
        return power_factor_of(self.rated_power, self.voltage.volts, rated_a, 3 if self.phases == "3" else 1)

    def _phase_names(self) -> list[str]:
        return {"1": ["U1", "U2"], "3": ["U", "V", "W"], "DC": ["A1", "A2"]}[self.phases]

    def points(self) -> list[Terminal]:
        return [*(Terminal(name, Function.MOTOR, True) for name in self._phase_names()), *self._earth()]

    def elements(self) -> list[Element]:
        names = self._phase_names()
        kind = "DC" if self.phases == "DC" else "AC"
        pairs = phase_pairs(names)
        factor = self.loaded_power_factor
        low_v = 0.5 * self.voltage.volts
        return [
            *(Draw(a, b, kind, lockout_v=low_v, power_factor=factor, name="shaft", either_way=True) for a, b in pairs),
            *self._encoder(),
        ]


class Brake(PartModel):
    """A holding brake: it lets the shaft go while its coil is fed."""

    kind_name: ClassVar[str] = "brake"
    example: ClassVar[str] = "rated: 24 V DC 12 W"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "brake", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    letter: ClassVar[str] = "M"
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    rated: CoilRating
    pick_up: VoltAmperes | None = field(
        None, description="apparent power that its coil takes at its voltage while it closes, of AC coils"
    )
    holds: str = field("", description="the motor whose shaft it holds")
    torque: NewtonMetres | None = None
    release: SecondsOrZero | None = None
    apply: SecondsOrZero | None = None
    suppressor: SuppressorWord | None = None

    def points(self) -> list[Terminal]:
        return [Terminal("A1", Function.COIL, True), Terminal("A2", Function.COIL, True)]

    def elements(self) -> list[Element]:
        coil: Coil = coil_between("A1", "A2", "brake", self.rated, _TYPICAL_BRAKE_W)
        return [coil]


class BrakingResistor(PartModel):
    """A resistor that turns braking energy into heat."""

    kind_name: ClassVar[str] = "braking-resistor"
    example: ClassVar[str] = "resistance: 100 ohm, power: 200 W"
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "resistor", right=frozenset(), bonds=False)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    near_axis: ClassVar[bool] = True
    in_power: ClassVar[bool] = True
    letter: ClassVar[str] = "R"
    earthed_at: ClassVar[str | None] = "PE"
    resistance: Ohms
    power: Watts
    peak_power: Watts | None = field(None, description="power that it bears for the length of a stop")
    cycle: Seconds | None = field(None, description="shortest time from one stop of its axes to the next")

    def points(self) -> list[Terminal]:
        return [
            Terminal("R1", Function.LOAD, True),
            Terminal("R2", Function.LOAD, True),
            Terminal("PE", Function.PE, True),
        ]

    def elements(self) -> list[Element]:
        return [Resistance("R1", "R2", self.resistance, "DC", False)]
