"""What a plan says about conductors: wire types, wires, cables, and the routes they lie in."""

from __future__ import annotations

from typing import Annotated, Any, Literal, NamedTuple, TypeVar

from wiring.plan.fault import Refusal
from wiring.plan.model import Before, field
from wiring.plan.records import Pair, TerminalRef
from wiring.plan.site import PlanModel
from wiring.plan.types import AirCelsius, InsulationVolts, Metres, MetresOrZero, WireSize
from wiring.plan.words import Colour, Count, Flag, Insulation, Name, Text

Conductor = TypeVar("Conductor", bound="WireType")
AtWord = Literal["cabinet", "door", "machine", "outside"]


#: The letters of thermocouples (IEC 60584-1).
ThermocoupleWord = Literal["B", "E", "J", "K", "N", "R", "S", "T"]


class WireType(PlanModel):
    """What a conductor is made of and where it lies; wires and cables that name it take over what they leave out."""

    size: WireSize | None = None
    colour: Colour | None = None
    insulation: Insulation | None = None
    rated: InsulationVolts | None = field(
        None, description="rated voltage of the insulation between conductors; of 300/500 V the second"
    )
    length: Metres | None = None
    route: Name | None = None
    ferrule: Flag | None = field(None, description="whether its ends have ferrules")
    conductor_class: Literal["1", "2", "5", "6"] | None = field(None, description="IEC 60228: 1 solid to 6 very fine")
    thermocouple: ThermocoupleWord | Literal["none"] | None = field(
        None, description="letter of the thermocouple whose metals, or their match, it is made of; none: copper"
    )


class Star(PlanModel):
    """One terminal from which a conductor goes to each of the others."""

    start: TerminalRef = field(alias="from")
    to: tuple[TerminalRef, ...] = field(min_length=1)


def _chain(value: Any) -> Any:
    if isinstance(value, list) and len(value) < 2:
        raise Refusal("a chain of fewer than two terminals joins nothing", "at least two, such as [G1:V+, F3:1]")
    return value


def _star(value: Any) -> Any:
    """A list does not say from where the conductors go; it is answered with the form that does."""
    if not isinstance(value, list):
        return value
    ends = [str(end) for end in value if isinstance(end, str)]
    first, others = (ends[0], ends[1:]) if len(ends) > 1 else ("G1:V+", ["F3:1", "F4:1"])
    raise Refusal(
        "a list does not say from which terminal the conductors of a star go",
        f"a terminal and those that it leads to: star: {{from: {first}, to: [{', '.join(others)}]}}",
    )


class Wire(WireType):
    """One conductor, or a chain (`through`) or fan-out (`star`) of conductors of one number."""

    wire: Name
    start: TerminalRef | None = field(None, alias="from")
    to: TerminalRef | None = None
    through: Annotated[tuple[TerminalRef, ...], Before(_chain)] | None = None
    star: Annotated[Star, Before(_star)] | None = None
    type: Name | None = field(None, description="a key of wire_types")
    title: Text = ""

    def after_reading(self) -> Wire:
        forms = [self.start is not None or self.to is not None, self.through is not None, self.star is not None]
        if sum(forms) != 1:
            problem = "has no ends" if not any(forms) else "says in more than one way what it joins"
            expected = "`from` and `to`, or `through`, or `star`, and one of them only"
            raise Refusal(f"wire {self.wire} {problem}", expected, complete=True)
        if forms[0] and (self.start is None or self.to is None):
            missing = "from" if self.start is None else "to"
            raise Refusal(f"wire {self.wire} has one end only", f"`{missing}` as well", complete=True)
        return self


class Segment(NamedTuple):
    """One piece of conductor between two terminals."""

    name: str
    start: TerminalRef
    end: TerminalRef


def segments(wire: Wire) -> list[Segment]:
    """The pieces of a wire in order: its own id for a plain wire, `200.1`, `200.2` for a chain or a star."""
    if wire.through is not None:
        ends = list(zip(wire.through, wire.through[1:], strict=False))
    elif wire.star is not None:
        ends = [(wire.star.start, end) for end in wire.star.to]
    elif wire.start is not None and wire.to is not None:
        return [Segment(wire.wire, wire.start, wire.to)]
    else:
        return []
    return [Segment(f"{wire.wire}.{number}", start, end) for number, (start, end) in enumerate(ends, 1)]


class Shield(PlanModel):
    """The shield of a cable, with the terminals its ends are bonded to."""

    ends: tuple[TerminalRef, ...] = ()
    method: Literal["clamp", "pigtail", "core"] | None = field(None, description="how its ends are bonded")


class Cable(WireType):
    """A cable: cores by their label, each between two terminals. A core is named `C1.3` elsewhere."""

    cable: Name
    title: Text = ""
    type: Name | None = field(None, description="a key of wire_types")
    cores: Count | None = field(None, description="number of cores, the protective one counted")
    colours: tuple[Colour, ...] | dict[Name, Colour] | None = field(
        None, description="colours of the cores, in the order of `join` or by their label"
    )
    labels: dict[Name, Text] = field(default_factory=dict, description="what is printed on a core, by its label")
    sizes: dict[Name, WireSize] = field(default_factory=dict, description="cores that differ in size, by label")
    join: dict[Name, tuple[TerminalRef, TerminalRef]] = field(description="core label: [from, to]")
    shield: Shield | None = None
    flexing: Flag | None = field(None, description="whether it moves with the machine")
    diameter: Metres | None = field(None, description="outer diameter")

    def after_reading(self) -> Cable:
        if self.cores is not None and len(self.join) > self.cores:
            problem = f"cable {self.cable} joins {len(self.join)} cores and has {self.cores}"
            raise Refusal(problem, "as many cores as are joined, or more", complete=True)
        by_label = self.colours if isinstance(self.colours, dict) else {}
        for what, given in (("size", self.sizes), ("printed label", self.labels), ("colour", by_label)):
            unknown = [label for label in given if label not in self.join]
            if unknown and (what != "colour" or self.cores is None or len(given) > self.cores):
                problem = f"cable {self.cable} gives a {what} for core {unknown[0]}, which it does not join"
                raise Refusal(problem, "labels of `join`", complete=True)
        return self

    def colour_of(self, core: str) -> str | None:
        """The colour of that core, None where the plan gives none."""
        if isinstance(self.colours, dict):
            return self.colours.get(core)
        place = list(self.join).index(core)
        return self.colours[place] if self.colours and place < len(self.colours) else None

    def size_of(self, core: str) -> Any:
        """The WireSize of that core, None where the plan gives none."""
        return self.sizes.get(core, self.size)


def with_defaults(conductor: Conductor, defaults: WireType | None) -> Conductor:
    """The conductor with everything that it leaves out taken from its wire type."""
    if defaults is None:
        return conductor
    taken = {
        name: value
        for name in WireType.model_fields
        if getattr(conductor, name) is None and (value := getattr(defaults, name)) is not None
    }
    return conductor.model_copy(update=taken) if taken else conductor


class Route(PlanModel):
    """Where conductors lie together, and how far from other routes."""

    kind: Literal["duct", "loom", "conduit", "chain", "tray", "gland", "open"]
    size: Pair | None = field(None, description="inner width x height")
    at: AtWord = "cabinet"
    apart: dict[Name, MetresOrZero] = field(default_factory=dict, description="distance from other routes by name")
    length: Metres | None = None
    ambient: AirCelsius | None = field(None, description="air temperature along it, where it differs from the site")
