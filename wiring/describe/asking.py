"""Asks for a description question by question: one sentence of reason each, and the usual answer where one is safe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from wiring.book_words import in_book
from wiring.describe.build import model_of
from wiring.describe.text import broken, value_text
from wiring.parts.base import PartModel
from wiring.parts.motors import Motor, ServoMotor, StepperMotor
from wiring.plan.fault import Refusal, nearest
from wiring.plan.types import CoilRating
from wiring.quantities import QuantityError, parse, parse_lengths

#: What a person says who does not know it: the question then stands at the head of the plan.
UNKNOWN = ""
_YES_NO = ("yes", "no")
_DIRECT = {"yes": "true", "no": "false"}


class Question(Struct, frozen=True):
    """One question, why it is asked, the usual answer, and what may be answered.

    `usual` is None where no answer is safe to propose; then it may be left open. `choices` are words, `dimension` that
    of a quantity.
    """

    words: str
    reason: str
    usual: str | None = None
    choices: tuple[str, ...] = ()
    dimension: str = ""
    wrong: Callable[[str], str] | None = None

    def fault(self, answer: str) -> str:
        """What is wrong with an answer, "" where nothing is."""
        if answer == UNKNOWN:
            return "" if self.usual is None else "an answer is needed"
        if self.choices and answer not in self.choices:
            near = nearest(answer, self.choices)
            return f"{answer[:60]!r} is none of {', '.join(self.choices)}" + (f"; nearest: {near[0]}" if near else "")
        if self.dimension:
            try:
                parse(answer, self.dimension)
            except QuantityError as error:
                return f"{error.problem}; expected: {error.expected}"
        return self.wrong(answer) if self.wrong else ""


Ask = Callable[[Question], str]


class Answers:
    """Answers as they are given, question by question; those of an earlier try stand as long as they are asked alike.

    `text` keeps them: a line each, the question and its answer with a tab between.
    """

    def __init__(self, ask: Ask, earlier: str = "") -> None:
        self._ask = ask
        self._earlier = [line.split("\t", 1) for line in earlier.splitlines()]
        self._given: list[tuple[str, str]] = []

    @property
    def text(self) -> str:
        """All answers so far."""
        return "".join(f"{words}\t{answer}\n" for words, answer in self._given)

    def __call__(self, question: Question) -> str:
        words, answer = ([*self._earlier.pop(0), "", ""] if self._earlier else ["", ""])[:2]
        if words != question.words or question.fault(answer):
            self._earlier = []
            answer = self._ask(question)
        self._given.append((question.words, answer))
        return answer


def asked(ask: Ask) -> str:
    """The text of a description from the answers."""
    name = ask(Question("What is the machine called?", "It stands on every sheet.", "My machine"))
    book = ask(
        Question("Rulebook?", "It decides colours, sizes and devices: iec or na (North America).", "iec", ("iec", "na"))
    )
    ask = _in_words_of(book, ask)
    data: dict[str, Any] = {"format": "1", "describe": name, "rulebook": book}
    ambient = ask(
        Question(
            "Warmest air around the cabinet?",
            "Supplies and conductors bear less in warm air.",
            "95 °F" if book == "na" else "35 °C",
            (),
            "temperature",
        )
    )
    data["site"] = {"ambient": ambient, "altitude": "200 m"}
    data["mains"] = _mains(ask, book)
    data["cabinet"] = _cabinet(ask, book)
    data["axes"] = _axes(ask, book)
    loads = _loads(ask, str(data["mains"]["voltage"]))
    if loads:
        data["loads"] = loads
    data["stops"] = _stops(ask)
    if len(data["axes"]) + len(loads) > 1:
        words = "Works everything at the same time?"
        if ask(Question(words, "The mains and the supplies are sized for what does.", None, _YES_NO)) == "yes":
            data["runs"] = {"work": [*data["axes"], *loads]}
    return _text(data)


def _in_words_of(book: str, ask: Ask) -> Ask:
    """The questions in the words of a rulebook."""
    return lambda question: ask(
        replace(question, words=in_book(question.words, book), reason=in_book(question.reason, book))
    )


def _known(answers: Mapping[str, Any]) -> dict[str, Any]:
    """What was answered."""
    return {key: value for key, value in answers.items() if value != UNKNOWN}


def _mains(ask: Ask, book: str) -> dict[str, Any]:
    systems = ("single-phase", "three-phase") if book == "iec" else ("single-phase", "split-phase", "three-phase")
    system = ask(
        Question("Mains?", "One phase feeds small machines; a big spindle wants three.", "single-phase", systems)
    )
    usual = {
        "iec": {"single-phase": "230 V", "three-phase": "400 V"},
        "na": {"single-phase": "120 V", "split-phase": "240 V", "three-phase": "208 V"},
    }
    volts = ask(
        Question(
            "Its voltage?",
            "Between the outer lines, or line and neutral of one phase.",
            usual[book][system],
            (),
            "voltage",
        )
    )
    rating = ask(
        Question(
            "Breaker of that circuit?",
            "It stands on the breaker of the building and caps the machine.",
            None,
            (),
            "current",
        )
    )
    mains: dict[str, Any] = {"system": system, "voltage": volts, "frequency": "50 Hz" if book == "iec" else "60 Hz"}
    mains["earthing"] = ask(
        Question(
            "Earthing of the building?",
            "Whether a breaker opens in an earth fault; the electrician knows.",
            None,
            ("TN-S", "TN-C-S", "TT", "IT"),
        )
    )
    mains["fault_current"] = ask(
        Question(
            "Fault current at the inlet?", "Devices must break it; the electrician measures it.", None, (), "current"
        )
    )
    if rating:
        curve = ask(Question("Curve of that breaker?", "It says what inrush it bears.", "C", ("B", "C", "D")))
        mains["upstream"] = {"kind": "breaker", "rating": rating, "curve": curve}
    kinds = ("fixed", "polarised plug", "reversible plug")
    mains["connection"] = ask(
        Question("Hard-wired or plug?", "A plug can be pulled, and turned: less leakage is allowed.", None, kinds)
    )
    mains["shared"] = _DIRECT.get(
        ask(Question("Do other loads hang on that circuit?", "They take their share of it.", None, _YES_NO)), ""
    )
    return _known(mains)


def _cabinet(ask: Ask, book: str) -> dict[str, Any]:
    size = ask(
        Question(
            "Largest cabinet?",
            "Width x height x depth: it sets lengths and cooling.",
            "24 x 36 x 10 in" if book == "na" else "600 x 800 x 250 mm",
            wrong=_no_box,
        )
    )
    shell = ask(Question("Its protection?", "Dust and water decide.", "IP54" if book == "iec" else "type 12"))
    opens = ask(
        Question(
            "How does its door open?",
            "With a tool, only with the main switch off, or freely: what a hand meets inside follows from it.",
            "tool",
            ("tool", "interlock", "free"),
        )
    )
    away = ask(
        Question(
            "Cable from cabinet to machine?",
            "Voltage drop and fault loops follow it.",
            "13 ft" if book == "na" else "4 m",
            (),
            "length",
        )
    )
    return {
        "size": size,
        "material": "painted-steel",
        "mounting": "wall",
        "protection": shell,
        "opens": opens,
        "distance": away,
    }


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


def _axes(ask: Ask, book: str) -> dict[str, Any]:
    axes: dict[str, Any] = {}
    for name in ("X", "Y", "Z", "A", "B", "C"):
        if axes:
            words = f"Another axis, {name}: like which one?"
            like = ask(Question(words, "`new` for one of its own, `no` to end.", "no", (*axes, "new", "no")))
            if like == "no":
                break
            if like != "new":
                axes[name] = _known({"like": like, "mass": ask(_mass(name))})
                continue
        axes[name] = _axis(ask, name, book)
    return axes


def _mass(name: str) -> Question:
    return Question(f"Mass that {name} moves?", "What brakes feeds back into the supply.", None, (), "mass")


def _axis(ask: Ask, name: str, book: str) -> dict[str, Any]:
    motor = ask(
        Question(
            f"Motor of {name}?",
            "A key of the library; drive and supply follow.",
            "motor-frame-23-2.2nm",
            wrong=_motor(StepperMotor, ServoMotor),
        )
    )
    lead, work, rapid = ("0.2 in", "80 in/min", "240 in/min") if book == "na" else ("5 mm", "2 m/min", "6 m/min")
    train = ask(
        Question("Screw or belt?", "Force and speed become torque and turns through it.", "screw", ("screw", "pulley"))
    )
    travel = ask(
        Question("Travel for a turn?", "The lead of the screw, or teeth times pitch of the pulley.", lead, (), "length")
    )
    axis: dict[str, Any] = {"motor": motor, train: travel, "mass": ask(_mass(name))}
    axis["speed"] = ask(
        Question("Speed at work?", "With the force it is the power that the supply gives.", work, (), "linear speed")
    )
    axis["rapid"] = ask(
        Question("Highest speed?", "Fast moves of all axes at once set the peak.", rapid, (), "linear speed")
    )
    axis["force"] = ask(
        Question("Force at work?", "Torque follows; left open, half of what the motor can.", None, (), "force")
    )
    falls = ask(
        Question(
            "Does it fall when the power goes, and what holds it?",
            "A head that falls hurts.",
            None,
            ("no", "brake", "self-locking"),
        )
    )
    axis["vertical"] = "" if falls == "no" else falls
    axis["home"] = _DIRECT[ask(Question("Home sensor?", "The controller finds its zero.", "yes", _YES_NO))]
    axis["limits"] = ask(Question("Limit switches?", "They stop it at the end of its travel.", "2", ("0", "1", "2")))
    return _known(axis)


def _loads(ask: Ask, volts: str) -> dict[str, Any]:
    loads: dict[str, Any] = {}
    while len(loads) < 6:
        sort = ask(
            Question(
                "A process load?",
                "Heater, spindle or pump on an inverter, valve; `no` to end.",
                "no",
                ("heater", "inverter", "valve", "no"),
            )
        )
        if sort == "no":
            break
        name = f"{sort}{len(loads) + 1}"
        if sort == "inverter":
            spindle = ask(Question("Its motor?", "A key of the library.", "spindle-220v-1.5kw", wrong=_motor(Motor)))
            coasts = ask(
                Question(
                    "How long does it turn on without power?", "A guard stays locked for so long.", None, (), "time"
                )
            )
            loads[name] = _known({"kind": sort, "motor": spindle, "coasts": coasts})
            continue
        rated = f"{volts} AC 500 W" if sort == "heater" else "24 V DC 5 W"
        label = Question("Voltage and power?", "They stand on its label.", rated, wrong=_no_rating)
        loads[name] = {"kind": sort, "rated": ask(label)}
    return loads


def _stops(ask: Ask) -> dict[str, Any]:
    where = ask(
        Question(
            "Emergency stops?", "One within reach of everyone who works there.", "both", ("door", "machine", "both")
        )
    )
    stops: dict[str, Any] = {"buttons": ["door", "machine"] if where == "both" else [where]}
    if (
        ask(
            Question(
                "A guard that stops the machine when it opens?", "What moves behind it must stand first.", None, _YES_NO
            )
        )
        == "yes"
    ):
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
