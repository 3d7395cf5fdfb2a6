"""Asks for a description question by question: one sentence of reason each, and the usual answer where one is safe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from wiring.book_words import in_book
from wiring.describe.build import model_of
from wiring.describe.description import usual_cabinet
from wiring.describe.dialogue import UNKNOWN, Ask, Question
from wiring.describe.text import broken, value_text
from wiring.parts.base import PartModel
from wiring.parts.loads import Fan, Pump
from wiring.parts.motors import Motor, ServoMotor, StepperMotor
from wiring.plan.fault import Refusal
from wiring.plan.ratings import CoilRating
from wiring.quantities import QuantityError, parse, parse_lengths

_DIRECT = {"yes": "true", "no": "false", UNKNOWN: UNKNOWN}
#: Loads that are asked for; a motor above this share of the voltage between lines is one for three phases.
_MOST_LOADS, _THREE_PHASES = 6, 0.9
_RESIDUAL = {
    f"{amps} {sort}": {"residual": amps, "type": sort} for amps in ("30 mA", "300 mA") for sort in ("A", "F", "B")
}
_USUAL_VOLTS = {
    "iec": {"single-phase": "230 V", "three-phase": "400 V"},
    "na": {"single-phase": "120 V", "split-phase": "240 V", "three-phase": "208 V"},
}


class _Person(Struct, frozen=True):
    """Whom to ask, in the words and units of a rulebook."""

    ask: Ask
    book: str

    def of(self, iec: str, na: str) -> str:
        """The usual answer of this rulebook."""
        return na if self.book == "na" else iec

    def says(
        self,
        words: str,
        reason: str,
        usual: str | None = None,
        choices: tuple[str, ...] = (),
        wrong: Callable[[str], str] | None = None,
        dimension: str = "",
        needed: bool = False,
    ) -> str:
        """The answer to one question."""
        book = self.book
        return self.ask(Question(in_book(words, book), in_book(reason, book), usual, choices, dimension, wrong, needed))

    def gives(self, dimension: str, words: str, reason: str, usual: str | None = None) -> str:
        """A quantity."""
        return self.says(words, reason, usual, dimension=dimension)

    def agrees(self, words: str, reason: str, usual: str | None = None) -> str:
        """true, false, or UNKNOWN."""
        return _DIRECT[self.says(words, reason, usual, ("yes", "no"))]


def asked(ask: Ask) -> str:
    """The text of a description from the answers."""
    name = ask(Question("What is the machine called?", "It stands on every sheet.", "My machine"))
    why = "It decides colours, sizes and devices: iec or na (North America)."
    book = ask(Question("Rulebook?", why, "iec", ("iec", "na")))
    person = _Person(ask, book)
    words, reason = "Warmest air around the cabinet?", "Supplies and conductors bear less in warm air."
    ambient = person.gives("temperature", words, reason, person.of("35 °C", "95 °F"))
    data: dict[str, Any] = {
        "format": "1",
        "describe": name,
        "rulebook": book,
        "site": {"ambient": ambient, "altitude": "200 m"},
        "mains": _mains(person),
        "cabinet": _cabinet(person),
        "axes": _axes(person),
    }
    loads = _loads(person, data["mains"])
    if loads:
        data["loads"] = loads
    data["stops"] = _stops(person)
    if len(data["axes"]) + len(loads) > 1:
        reason = "The mains and the supplies are sized for what does."
        if person.agrees("Works everything at the same time?", reason) == "true":
            data["runs"] = {"work": [*data["axes"], *loads]}
    return _text(data)


def _known(answers: Mapping[str, Any]) -> dict[str, Any]:
    """What was answered."""
    return {key: value for key, value in answers.items() if value != UNKNOWN}


def _mains(person: _Person) -> dict[str, Any]:
    usual = _USUAL_VOLTS[person.book]
    reason = "One phase feeds small machines; a big spindle wants three."
    system = person.says("Mains?", reason, "single-phase", tuple(usual))
    reason = "Between the outer lines, or line and neutral of one phase."
    volts = person.gives("voltage", "Its voltage?", reason, usual[system])
    reason = "It stands on the breaker of the building and caps the machine."
    rating = person.gives("current", "Breaker of that circuit?", reason)
    mains: dict[str, Any] = {"system": system, "voltage": volts, "frequency": person.of("50 Hz", "60 Hz")}
    if rating:
        mains["upstream"] = {"kind": "breaker", "rating": rating}
    if rating and person.book == "iec":  # a breaker of North America has no letter
        reason = "It says what inrush it bears."
        mains["upstream"]["curve"] = person.says("Curve of that breaker?", reason, "C", ("B", "C", "D"))
    reason = "Whether a breaker opens in an earth fault; the electrician knows."
    mains["earthing"] = person.says("Earthing of the building?", reason, None, ("TN-S", "TN-C-S", "TT", "IT"))
    reason = "Devices must break it; the electrician measures the loop, or knows it."
    mains["fault_current"] = person.gives("current", "Fault current at the inlet?", reason)
    if mains["earthing"] == "TT":
        reason = "An earth fault lifts all metal to a voltage by it."
        mains["electrode"] = person.gives("resistance", "Resistance of its earth electrode?", reason)
    if mains["earthing"] == "IT":
        reason = "The first earth fault stays, and a second one is dangerous."
        mains["insulation_monitor"] = person.says(
            "What does its insulation monitor do?", reason, None, ("alarm", "trips")
        )
    if person.book == "iec":
        reason = "It bears what the machine leaks, and a drive may blind it; its label says residual current and type."
        words = person.says("Residual current device of that circuit?", reason, None, ("none", *_RESIDUAL))
        mains["rcd"] = _RESIDUAL.get(words, words)
    kinds = ("fixed", "polarised plug", "reversible plug")
    reason = "A plug can be pulled, and turned: less leakage is allowed."
    mains["connection"] = person.says("Hard-wired or plug?", reason, None, kinds)
    mains["shared"] = person.agrees("Do other loads hang on that circuit?", "They take their share of it.")
    return _known(mains)


def _cabinet(person: _Person) -> dict[str, Any]:
    most = person.of("600 x 800 x 250 mm", "24 x 36 x 10 in")
    size = person.says("Largest cabinet?", "Width x height x depth: it sets lengths and cooling.", most, wrong=_no_box)
    shell = person.says("Its protection?", "Dust and water decide.", person.of("IP54", "type 12"))
    reason = "With a tool, only with the main switch off, or freely: what a hand meets inside follows from it."
    opens = person.says("How does its door open?", reason, "tool", ("tool", "interlock", "free"))
    reason = "Voltage drop and fault loops follow it."
    away = person.gives("length", "Cable from cabinet to machine?", reason, person.of("4 m", "13 ft"))
    return usual_cabinet(person.book) | {"size": size, "protection": shell, "opens": opens, "distance": away}


def _no_box(answer: str) -> str:
    try:
        parse_lengths(answer, 3)
    except QuantityError as error:
        return f"{error.problem}; expected: {error.expected}"
    return ""


def _no_rating(answer: str) -> str:
    try:
        known = CoilRating.read(answer).is_known
    except (Refusal, QuantityError) as error:
        return f"{error.problem}; expected: {error.expected}"
    return "" if known else f"{answer[:60]!r} has not both: expected voltage and power, such as 230 V AC 600 W"


def _motor(*kinds: type[PartModel]) -> Callable[[str], str]:
    lists = " and ".join(f"`wiring library {kind.kind_name}`" for kind in kinds) + (" list" if kinds[1:] else " lists")

    def wrong(answer: str) -> str:
        model = model_of(answer)
        return "" if isinstance(model, kinds) else f"{answer[:60]!r} is no library part of such a motor: {lists} them"

    return wrong


def _axes(person: _Person) -> dict[str, Any]:
    axes: dict[str, Any] = {}
    for name in ("X", "Y", "Z", "A", "B", "C"):
        if axes:
            reason, choices = "`new` for one of its own, `no` to end.", (*axes, "new", "no")
            like = person.says(f"Another axis, {name}: like which one?", reason, "no", choices)
            if like == "no":
                break
            if like != "new":
                axes[name] = _known({"like": like, "mass": _mass(person, name)})
                continue
        axes[name] = _axis(person, name)
    return axes


def _mass(person: _Person, name: str) -> str:
    return person.gives("mass", f"Mass that {name} moves?", "What brakes feeds back into the supply.")


def _axis(person: _Person, name: str) -> dict[str, Any]:
    reason, frame = "A key of the library; drive and supply follow.", "motor-frame-23-2.2nm"
    motor = person.says(f"Motor of {name}?", reason, frame, wrong=_motor(StepperMotor, ServoMotor))
    reason = "Force and speed become torque and turns through it."
    train = person.says("Screw or belt?", reason, "screw", ("screw", "pulley"))
    reason = "The lead of the screw, or teeth times pitch of the pulley."
    travel = person.gives("length", "Travel for a turn?", reason, person.of("5 mm", "0.2 in"))
    axis: dict[str, Any] = {"motor": motor, train: travel, "mass": _mass(person, name)}
    reason = "With the force it is the power that the supply gives."
    axis["speed"] = person.gives("linear speed", "Speed at work?", reason, person.of("2 m/min", "80 in/min"))
    reason = "Fast moves of all axes at once set the peak."
    axis["rapid"] = person.gives("linear speed", "Highest speed?", reason, person.of("6 m/min", "240 in/min"))
    reason = "Torque follows; left open, half of what the motor can."
    axis["force"] = person.gives("force", "Force at work?", reason)
    words = "Does it fall when the power goes, and what holds it?"
    falls = person.says(words, "A head that falls hurts.", None, ("no", "brake", "self-locking"))
    axis["vertical"] = "" if falls == "no" else falls
    axis["home"] = person.agrees("Home sensor?", "The controller finds its zero.", "yes")
    axis["limits"] = person.says("Limit switches?", "They stop it at the end of its travel.", "2", ("0", "1", "2"))
    return _known(axis)


_SORTS = ("heater", "motor", "inverter", "appliance", "valve", "lamp")


def _loads(person: _Person, mains: Mapping[str, Any]) -> dict[str, Any]:
    loads: dict[str, Any] = {}
    volts = str(mains["voltage"])
    usual = {"heater": f"{volts} AC 500 W", "appliance": f"{volts} AC 100 W", "valve": "24 V DC 5 W"}
    while len(loads) < _MOST_LOADS:
        reason = "Motor, pump or fan across the line, spindle on an inverter, anything else; `no` to end."
        sort = person.says("A process load?", reason, "no", (*_SORTS, "no"))
        if sort == "no":
            break
        load: dict[str, Any] = {"kind": sort}
        if sort in usual:
            load["rated"] = person.says("Voltage and power?", "They stand on its label.", usual[sort], wrong=_no_rating)
        if sort == "heater":
            load |= _heat(person)
        if sort in ("motor", "inverter"):
            load |= _turning(person, sort, mains)
        loads[f"{sort}{len(loads) + 1}"] = _known(load)
    return loads


def _turning(person: _Person, sort: str, mains: Mapping[str, Any]) -> dict[str, Any]:
    """A motor of the process: a key of the library, or what stands on its label."""
    reason = "A key of the library, or voltage and power of its label, such as 24 V DC 60 W."
    kinds = (Motor,) if sort == "inverter" else (Motor, Pump, Fan)
    motor: Any = person.says("Its motor?", reason, wrong=_no_motor(*kinds), needed=True)
    if model_of(motor) is None:
        label = CoilRating.read(motor)
        amps = person.gives("current", "Its rated current?", "Its protection is set to that.")
        volts, direct = label.voltage.volts, label.voltage.kind == "DC"
        three = sort == "inverter" or (
            mains["system"] == "three-phase" and volts > _THREE_PHASES * parse(str(mains["voltage"]), "voltage").value
        )
        motor = _known({"kind": "motor", "voltage": f"{volts:g} V {'DC' if direct else 'AC'}", "rated_current": amps})
        motor |= {"phases": "DC" if direct else "3" if three else "1", "rated_power": f"{label.watts:g} W"}
    words, reason = "How long does it turn on without power?", "A guard stays locked for so long."
    return {"motor": motor, "coasts": person.gives("time", words, reason)}


def _no_motor(*kinds: type[PartModel]) -> Callable[[str], str]:
    no_key = _motor(*kinds)

    def wrong(answer: str) -> str:
        try:
            known = CoilRating.read(answer).watts is not None
        except (Refusal, QuantityError):
            return no_key(answer)
        return "" if known else f"{answer[:60]!r} has not both: expected voltage and power, such as 24 V DC 60 W"

    return wrong


def _heat(person: _Person) -> dict[str, Any]:
    """What a heater must say: nothing is safe to take for it."""
    reason = "Heat that nothing else stops is cut off there: above all that it is used at."
    words = "At which temperature must it be cut off?"
    found = {"cut_out": person.says(words, reason, dimension="temperature", needed=True)}
    words, reason = "Which temperature does a thermostat keep?", "A program that hangs does not overheat it then."
    found["keeps"] = person.gives("temperature", words, reason)
    words, reason = "Does it lie in a liquid?", "A dry one burns: a level switch keeps it off."
    return {**found, "liquid": _DIRECT[person.says(words, reason, choices=("yes", "no"), needed=True)]}


def _stops(person: _Person) -> dict[str, Any]:
    reason = "One within reach of everyone who works there."
    where = person.says("Emergency stops?", reason, "both", ("door", "machine", "both"))
    stops: dict[str, Any] = {"buttons": ["door", "machine"] if where == "both" else [where]}
    words = "A guard that stops the machine when it opens?"
    if person.agrees(words, "What moves behind it must stand first.") == "true":
        stops["guards"] = {"guard": {}}
    return stops


def _text(data: Mapping[str, Any]) -> str:
    """The description in the style of a plan: an entry a line."""
    lines = []
    for key, value in data.items():
        if key in ("axes", "loads"):
            lines.append(f"{key}:")
            for name, entry in value.items():
                lines += broken(f"  {name}: {value_text(entry)}", " " * (len(name) + 5))
        else:
            lines += broken(f"{key}: {value_text(value)}", " " * (len(key) + 3))
    return "\n".join(lines) + "\n"
