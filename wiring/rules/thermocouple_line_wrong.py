"""The line of a thermocouple is not of its metals, or its controller is set to another thermocouple.

A thermocouple measures between its junction and the place where its two metals end. Copper or the metals of another
letter end them too early: the reading is wrong by what the joint is warmer than the controller, some tens of kelvin
beside something hot, and the heat is held too high by as much. Lines are of the same metals, or of others that match
them (IEC 60584-3: KX and KC both serve K). One of platinum R serves S as well; type B wants none.

Fires on sorting-gate at B9
    parts.B9={kind: thermocouple, type: K}
    parts.N9={kind: temperature-controller, supply: 24 V DC 2 W, sensor: K, outputs: {P+-P-: pulse 12 V}}
    wires+={wire: 90, from: "B9:+", to: N9:IN+, type: control, thermocouple: K}
    wires+={wire: 91, from: "B9:-", to: N9:IN-, type: control, thermocouple: none}
Quiet
    91.thermocouple=K
Not judged
    Thermocouples without `type`, lines that do not say what they are made of (`thermocouple: K`, or `none`), and
    controllers that do not say what their input is set to (`sensor: K`).
Known limits
    Terminals of copper are taken as warm alike. Colours are not judged: IEC 60584-3 and ANSI MC96.1 differ in them.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor
from wiring.design.edits import of_conductors, of_part
from wiring.findings import Finding, Mend
from wiring.parts.base import Part
from wiring.parts.heating import TemperatureController, Thermocouple
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="thermocouple-line-wrong",
    title="Line of a thermocouple of the wrong metals",
    signal=Signal.CAUTION,
    harm="The controller reads too low and heats on, until the cut-out opens or something burns.",
    sources=(("both", Source("IEC 60584-3", "2007", "4", Standing.FROM_MEMORY)),),
)
#: Letters whose lines are of the same metals (IEC 60584-3: SC and RC, from memory), and one that wants none.
_ALIKE = {"R": "S"}
_ANY = "B"


def check(design: Design) -> Judgements:
    """Every thermocouple with what leads from it, and with the controller that reads it."""
    unsaid: list[str] = []
    for part in design.parts.values():
        if not isinstance(part.data, Thermocouple) or part.data.type == _ANY:
            continue
        letter, line = part.data.type, list(_line(design, part))
        if letter is None:
            yield from RULE.ask((part.name,) if line else (), "its letter (`type: K`)")
            continue
        wrong = [one for one in line if one.thermocouple is not None and not _suits(one.thermocouple, letter)]
        unsaid += [one.cable or one.id for one in line if one.thermocouple is None]
        if wrong:
            yield _wrong_line(design, part, letter, wrong)
        yield from _readers(design, part, letter)
    yield from RULE.ask(unsaid, "whether they are of the metals of their thermocouple (`thermocouple: K`, or `none`)")


def _suits(one: str, other: str) -> bool:
    return _ALIKE.get(one, one) == _ALIKE.get(other, other)


def _line(design: Design, part: Part) -> Iterator[Conductor]:
    """The conductors that metal joins to a thermocouple."""
    nets = {design.nets.of[part.name, end] for end in part.terminals}
    for conductor in design.circuit.conductors:
        if conductor.kind != "shield" and design.nets.of[conductor.a] in nets:
            yield conductor


def _wrong_line(design: Design, part: Part, letter: str, wrong: list[Conductor]) -> Finding:
    names = list(dict.fromkeys(one.cable or one.id for one in wrong))
    metals = "copper" if wrong[0].thermocouple == "none" else f"the metals of {wrong[0].thermocouple}"
    return RULE.finding(
        (part.name, *names),
        f"{listed(names)} {agreeing(names, 'is', 'are')} of {metals}, and {part.name} is of type {letter}",
        wrong[0].place,
        mend=(
            Mend(
                f"Take a line for type {letter} from {part.name} to what reads it.",
                of_conductors(design, wrong, "thermocouple", letter),
            ),
        ),
    )


def _readers(design: Design, part: Part, letter: str) -> Judgements:
    """The controllers that read a thermocouple, each with what it is set to."""
    nets = {design.nets.of[part.name, end] for end in part.terminals}
    for other in design.parts.values():
        if not isinstance(other.data, TemperatureController):
            continue
        if not nets & {design.nets.of[other.name, end] for end in other.terminals}:
            continue
        if other.data.sensor is None:
            yield RULE.not_judged((other.name,), f"the thermocouple that it is set to (`sensor: {letter}`)")
        elif other.data.sensor != letter:
            yield RULE.finding(
                (other.name, part.name),
                f"{other.name} is set to type {other.data.sensor}, and its thermocouple {part.name} is of {letter}",
                design.place(other.name, "sensor"),
                mend=(Mend(f"Set {other.name} to type {letter}.", of_part(other.name, "sensor", letter)),),
            )
