"""The plan as a whole: what one file says about a machine, frozen, with SI floats."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from wiring.plan.conductors import Cable, Route, Wire, WireType
from wiring.plan.fault import Refusal
from wiring.plan.measured import Measured
from wiring.plan.model import Before, field
from wiring.plan.site import Enclosure, Mains, PlanModel, Site
from wiring.plan.types import (
    AmperesOrZero,
    FractionOrZero,
    NewtonMetresSigned,
    RadiansPerSecondSigned,
    SecondsOrZero,
    WattsOrZero,
)
from wiring.plan.words import Name, Text

ModeWord = Literal["run", "hold", "off", "on", "worked"]


def _state_word(value: Any) -> Any:
    return {"mode": value} if isinstance(value, str) else value


class StateEntry(PlanModel):
    """What one part does in one state: a word, or the figures of its work."""

    mode: ModeWord | None = None
    speed: RadiansPerSecondSigned | None = None
    torque: NewtonMetresSigned | None = None
    duty: FractionOrZero | None = field(None, description="share of the time for which it runs")
    current: AmperesOrZero | None = None
    power: WattsOrZero | None = None


def _whole_number(value: Any) -> Any:
    return int(value) if isinstance(value, str) and value.isascii() and value.isdecimal() and len(value) < 5 else value


def _removes(value: Any) -> Any:
    if isinstance(value, str) and value != "hazards":
        raise Refusal(f"{value[:40]!r} is not what a stop can remove", "`hazards`, or a list of parts such as [M1, E1]")
    return value


class Stop(PlanModel):
    """A stop function: which devices call for it, and what must then be without power."""

    devices: tuple[Name, ...] = field(
        min_length=1,
        description="what is worked to stop; a button or pedal that a state holds (`S7: worked`) stops by being let go",
    )
    category: Annotated[Literal[0, 1, 2], Before(_whole_number)] = field(description="IEC 60204-1, 9.2.2")
    reset: Name | None = field(None, description="the device that must be operated before the machine runs again")
    removes: Annotated[Literal["hazards"] | tuple[Name, ...], Before(_removes)] = "hazards"
    delay: SecondsOrZero | None = field(None, description="time until the power is removed, category 1")


class PartEntry(PlanModel):
    """One part as written: its kind or the library part it uses, and the untouched mapping of everything else."""

    kind: Name | None = None
    use: Name | None = None
    data: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def before_reading(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            raise Refusal("a part is a mapping", "`{kind: ...}` or `{use: ...}` with its data")
        given = {key: value[key] for key in ("kind", "use") if key in value}
        if len(given) != 1:
            problem = (
                "says neither its kind nor a library part" if not given else "says both its kind and a library part"
            )
            raise Refusal(f"the part {problem}", "`kind` or `use`, and one of them only", complete=True)
        return {**given, "data": {key: item for key, item in value.items() if key not in given}}


def _names(value: Any) -> Any:
    return [value] if isinstance(value, str) else value


class Acceptance(PlanModel):
    """A finding that the builder has judged and takes responsibility for: exactly the one with these subjects."""

    finding: Name
    part: Annotated[tuple[Name, ...], field(min_length=1), Before(_names)] = field(
        description="all that the finding names: one name, or a list of them"
    )
    reason: Annotated[Text, field(min_length=1)]
    by: Text = ""
    date: Text = ""


class PlanFile(PlanModel):
    """One plan file. Wires and cables carry the defaults of their wire type."""

    format: Annotated[Literal[1], Before(_whole_number)]
    machine: Text
    author: Text = ""
    revision: Text = ""
    date: Text = ""
    rulebook: Literal["iec", "na"]
    site: Site = field(default_factory=Site)
    mains: Mains | None = None
    enclosure: Enclosure | None = None
    states: dict[Name, dict[Name, Annotated[StateEntry, Before(_state_word)]]] = field(default_factory=dict)
    stops: dict[Name, Stop] = field(default_factory=dict)
    measured: Measured | None = None
    library: tuple[Text, ...] = field((), description="folders of your own parts, beside the plan")
    prices: dict[Name, Text] = field(
        default_factory=dict, description="what parts of the library cost you, by their key, such as `12.50 EUR`"
    )
    parts: dict[Name, PartEntry]
    wire_types: dict[Name, WireType] = field(default_factory=dict)
    routes: dict[Name, Route] = field(default_factory=dict)
    wires: tuple[Wire, ...] = ()
    cables: tuple[Cable, ...] = ()
    accepted: tuple[Acceptance, ...] = ()
