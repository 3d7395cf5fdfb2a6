"""What every kind of part has: the fields a person writes, and the frozen `Part` that the circuit is built from."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from itertools import pairwise
from typing import Annotated, Any, ClassVar, Literal, Self, TypeVar, overload

from msgspec import Struct
from msgspec.structs import replace

from wiring.parts.elements import Coil, Element, Function, Terminal
from wiring.parts.traits import Purpose, Quantity, SheetFunction, Symbol
from wiring.plan.model import Before, Model, field
from wiring.plan.records import Box, Spot, WireSizeRange
from wiring.plan.source import Place
from wiring.plan.types import Amperes, Celsius, Metres, MetresOrZero, NewtonMetres, WattsOrZero
from wiring.plan.words import Flag, Name


def _terminal_sizes(value: object) -> object:
    if isinstance(value, dict):
        return {str(group): WireSizeRange.from_plan(size) for group, size in value.items()}
    return WireSizeRange.from_plan(value)


def _of_terminal(given: float | Mapping[str, float] | None, *names: str) -> float | None:
    """The value of the group that one of the names stands in, else that of every terminal."""
    if not isinstance(given, Mapping):
        return given
    by_name = {name: value for group, value in given.items() for name in group.split() or [""]}
    return next((by_name[name] for name in (*names, "") if name in by_name), None)


class Clearance(Model):
    """Free space that a part wants around it."""

    above: MetresOrZero = 0.0
    below: MetresOrZero = 0.0
    sides: MetresOrZero = 0.0
    front: MetresOrZero = 0.0


class Hole(Model):
    """A hole in what the part is mounted on."""

    at: Spot = field(description="from the lower left corner of the part")
    diameter: Metres
    thread: str = field("", description="such as M4")


TerminalTorques = NewtonMetres | dict[str, NewtonMetres]
StrippedLengths = Metres | dict[str, Metres]
TerminalSizes = Annotated[WireSizeRange | dict[str, WireSizeRange], Before(_terminal_sizes)]
A = TypeVar("A", bound=Element)
B = TypeVar("B", bound=Element)
C = TypeVar("C", bound=Element)


class PartModel(Model):
    """The data of one part. Each kind adds its own fields; whatever is left out is not judged rather than guessed."""

    by_name = True
    kind_name: ClassVar[str]
    #: The designation letter of IEC 81346-2 that the trade expects.
    letter: ClassVar[str] = ""
    #: Keys of one of them as they stand in a plan: pages show it, tests read it, and its values show their forms.
    example: ClassVar[str] = ""
    #: Whether the part can hurt while it is fed, so that a stop must remove its power.
    hazard: ClassVar[bool] = False
    #: Whether a metal part of it can be touched, so that it needs a protective conductor, and at which terminal.
    earthed_at: ClassVar[str | None] = None
    #: How it is drawn, and on which sheet.
    symbol: ClassVar[Symbol] = Symbol()
    sheet_function: ClassVar[SheetFunction] = SheetFunction.WIRES
    #: Whether it stands on the sheet of the axis to which most of its wires lead.
    near_axis: ClassVar[bool] = False
    #: Whether it stands in the single-line diagram of the power.
    in_power: ClassVar[bool] = False
    #: Whether power enters the plan here or leaves it in another form, so that the power goes on behind it.
    passes_power: ClassVar[bool] = False
    #: Whether it makes a voltage of its own: a transformer, a supply, a battery.
    separate_source: ClassVar[bool] = False
    #: A motor: a shaft that power turns.
    is_motor: ClassVar[bool] = False
    #: Whether its connections are control circuits, whatever rail they hang on.
    is_control: ClassVar[bool] = False
    #: Whether its resistances are so for an ohmmeter too; a lamp or an electronic input is none.
    ohmic: ClassVar[bool] = False

    #: What its contacts are there for; None where it has none that must do something.
    serves: ClassVar[Purpose | None] = None
    #: What it raises, lowers or watches.
    raises: ClassVar[Quantity | None] = None
    lowers: ClassVar[Quantity | None] = None
    watches: ClassVar[Quantity | None] = None
    #: Whether its `leakage` flows into the protective conductor, and not through an output that is off.
    leaks_to_earth: ClassVar[bool] = False
    #: Whether what it takes may leave the cabinet, as work, goods or a lead to something else, in place of heating it.
    passes_on: ClassVar[bool] = False
    #: Whether its terminals lie in two rows, the line side above and the load side below, as the main poles of a device
    #: do: the last digit of the marking is odd above and even below (EN 50005, IEC 60947-1 annex L, from memory).
    line_above: ClassVar[bool] = False
    #: Whether such parts are often built with terminals that a finger reaches.
    often_bare: ClassVar[bool] = False

    title: str = ""
    at: Literal["cabinet", "door", "machine", "outside"] = "cabinet"
    size: Box | None = field(None, description="outline of the part, width x height x depth as it is mounted")
    mount: Literal["rail", "plate", "foot", "wall"] | None = field(
        None, description="what it is mounted on in the cabinet; foot: below the last duct"
    )
    wall: Literal["left", "right", "top", "bottom"] | None = field(
        None, description="wall of the cabinet that it hangs on, with `mount: wall`"
    )
    clearance: Clearance | None = field(None, description="free space that it wants around it")
    position: Spot | None = field(
        None,
        description="its lower left corner, from that of the plate or door; on a side wall from the back and below, "
        "on top and bottom from the left and from the back",
    )
    holes: tuple[Hole, ...] = field((), description="holes that it is fixed with, from its own drawing")
    touch: Literal["IP2X", "cover", "bare"] | None = field(
        None, description="how a finger is kept from its live terminals: IP2X by its build, by a cover, or not at all"
    )
    terminals: dict[str, str] = field(default_factory=dict, description="standard marking: marking on the real part")
    sizes: TerminalSizes | None = field(
        None, description="conductor sizes that the terminals take; or by groups of terminals: {L N PE: 1.5..4 mm2}"
    )
    tightening: TerminalTorques | None = field(
        None, description="what its data sheet tightens its terminals with; or by groups of them as in `sizes`"
    )
    stripping: StrippedLengths | None = field(
        None, description="length that a conductor is stripped for its terminals; or by groups of them as in `sizes`"
    )
    terminal_temperature: Celsius | None = field(
        None, description="conductor temperature that its terminals are marked for, such as 75 °C"
    )
    bolted_to: str = field("", description="metal part that its own metal is bolted to, and earthed by")
    wires_per_terminal: Annotated[int | None, field(description="conductors that fit one terminal")] = None
    short_circuit_rating: Amperes | None = field(
        None, description="short-circuit current that it is marked to stand in a power circuit"
    )
    heat: WattsOrZero | None = field(None, description="heat given off in the cabinet, where it is known better")
    hazardous: Flag | None = field(None, description="overrides whether a stop must remove its power")
    excludes: list[Name] | None = field(
        None, description="parts that must never be on together with it; `[]` when it may be on with any"
    )
    sheet: str = field("", description="keeps parts together on a drawing sheet")
    order: str = field("", description="your own order code, printed in the bill of material")
    price: str = field("", description="your own price, printed in the bill of material")
    supplier: str = field("", description="where you buy it; the orders are listed by it")
    note: str = ""
    bought: Flag = field(False, description="is there already, so that no other size of it is proposed")

    def points(self) -> list[Terminal]:
        """The terminals, in the order in which they stand on the part."""
        raise NotImplementedError

    def elements(self) -> list[Element]:
        """What is between the terminals."""
        raise NotImplementedError

    def sizes_by_terminal(self) -> dict[str, tuple[float, float]]:
        """Smallest and largest conductor [mm2] by terminal; "" for every terminal that no group names."""
        groups = {"": self.sizes} if isinstance(self.sizes, WireSizeRange) else self.sizes or {}
        return {
            name: (size.low.area_mm2, size.high.area_mm2)
            for group, size in groups.items()
            for name in group.split() or [""]
        }

    def own_termination(self, terminal: str) -> tuple[float | None, float | None]:
        """Torque [N·m] and stripped length [m] of a terminal, by either of its markings; None where it does not say."""
        standard = next((name for name, marking in self.terminals.items() if marking == terminal), terminal)
        return _of_terminal(self.tightening, terminal, standard), _of_terminal(self.stripping, terminal, standard)

    def earth_terminal(self) -> str | None:
        """The terminal that must reach the protective earth, None for a part without touchable metal."""
        return self.earthed_at

    def springs_back(self) -> bool:
        """Whether it is a switch that goes back to rest when a hand or foot lets it go."""
        return False

    def idle_without_contacts(self) -> Purpose | None:
        """What its contacts are there for, where it does nothing without them."""
        return self.serves

    def working_contacts(self) -> set[str] | None:
        """The contacts without which it does not do what it is there for, as they are marked; None for any."""
        return None

    def ohmic_known(self) -> bool:
        """Whether an ohmmeter between its terminals reads the resistance of its data."""
        return self.ohmic

    def sign(self) -> str:
        """The symbol on its lanes, or the sign inside its frame."""
        return self.symbol.sign

    def as_fed(self, by_semiconductor: Callable[[str], bool]) -> Self:
        """The part as it works where semiconductor outputs alone feed some of its terminals, which are asked for."""
        return self

    def is_hazard(self) -> bool:
        """Whether a stop must take its power away."""
        return self.hazard if self.hazardous is None else self.hazardous

    def may_be_hazard(self) -> bool:
        """Whether it moves, heats or lets go of something that can hurt in one machine and not in another."""
        return False


class Part(Struct, frozen=True, dict=True):
    """One part of the machine, resolved. `data` is the validated model of its kind; names are the plan's."""

    name: str
    kind: str
    data: PartModel
    terminals: Mapping[str, Terminal]
    elements: tuple[Element, ...]
    place: Place
    library: str = ""

    @property
    def title(self) -> str:
        """The words the builder gave it, or its kind."""
        return self.data.title or self.kind

    @cached_property
    def beside(self) -> tuple[tuple[str, str], ...]:
        """Every two terminals that lie beside each other: in one row as they are marked, or along either side.

        Of devices with two sides some have their coil at one of them, some one end of it at each, first in its row
        (typical, from memory): both are taken, so that a pole may meet a coil and the two ends of a coil each other.
        """
        if not self.data.line_above:
            return tuple(pairwise(self.terminals))
        rows: dict[bool, list[str]] = {True: [], False: []}
        for point, name in zip(self.data.points(), self.terminals, strict=True):
            rows[point.name[-1:] in "13579"].append(name)
        coils = [(coil.a, coil.b) for coil in self.of(Coil)]
        return (*coils, *(pair for row in rows.values() for pair in pairwise(row)))

    @overload
    def of(self, one: type[A], /) -> list[A]: ...
    @overload
    def of(self, one: type[A], two: type[B], /) -> list[A | B]: ...
    @overload
    def of(self, one: type[A], two: type[B], three: type[C], /) -> list[A | B | C]: ...
    @overload
    def of(self, *types: type[Element]) -> list[Element]: ...
    def of(self, *types: type[Any]) -> list[Any]:
        """The elements of the given types, in order."""
        if types not in self._by_types:
            self._by_types[types] = [element for element in self.elements if isinstance(element, types)]
        return self._by_types[types][:]

    @cached_property
    def _by_types(self) -> dict[tuple[type[Element], ...], list[Any]]:
        return {}


#: The fields of an element that name a terminal.
TERMINAL_FIELDS = ("a", "b", "plus", "minus", "terminal")


def _renamed(element: Element, names: Mapping[str, str]) -> Element:
    changes: dict[str, Any] = {
        name: names[value]
        for name in element.__struct_fields__
        if name in TERMINAL_FIELDS and (value := getattr(element, name)) in names
    }
    return replace(element, **changes) if changes else element


def build_part(name: str, data: PartModel, place: Place, library: str = "") -> Part:
    """The resolved part, with its terminals under the marking of the plan."""
    names = dict(data.terminals)
    sizes = data.sizes_by_terminal()
    terminals = {}
    for terminal in data.points():
        earth = sizes.get("PE") if terminal.function is Function.PE else None
        marking = names.get(terminal.name, terminal.name)
        limits = sizes.get(terminal.name) or sizes.get(marking) or earth or sizes.get("")
        if marking != terminal.name or limits or data.wires_per_terminal:
            terminal = replace(
                terminal,
                name=marking,
                sizes_mm2=limits or terminal.sizes_mm2,
                wires_max=data.wires_per_terminal or terminal.wires_max,
            )
        terminals[marking] = terminal
    inner = data.elements()
    elements = tuple(_renamed(element, names) for element in inner) if names else tuple(inner)
    return Part(name, data.kind_name, data, terminals, elements, place, library)


def phase_pairs(names: Sequence[str]) -> list[tuple[str, str]]:
    """The terminals of a load in pairs: two as they are, three in a ring as a delta."""
    if len(names) == 2:
        return [(names[0], names[1])]
    return list(zip(names, [*names[1:], names[0]], strict=True))
