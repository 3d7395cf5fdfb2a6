"""The ladders of what stands in front of motors: servo drives and inverters of the library, and motor protectors.

A drive gives way to one of its kind that takes the same voltages and goes onto the wires that the plan has. A stepper
drive has none: it is set to its motor. A motor protector is set to the rated current of its motor, in a range that
reaches there.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from wiring.design.design import Design
from wiring.design.motor.circuits import direct_motors
from wiring.design.motor.drive_ratings import drive_current
from wiring.design.motor.protection import protectors_of
from wiring.parts.base import Part, PartModel, build_part
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Inverter, MainsDrive, ServoDrive
from wiring.parts.motors import Motor
from wiring.parts.price import Price
from wiring.parts.protection import MotorProtector
from wiring.plan.edits import Edit, SetValue
from wiring.plan.ratings import CurrentRange
from wiring.requirement import Quantity
from wiring.rulebooks.steps import PROTECTOR_A
from wiring.sizing.ladder import Ladder, Sort, Step, ladder_of
from wiring.sizing.library_use import use_edits
from wiring.sizing.part_ladders import library_models, standing_in
from wiring.wording import listed


def motor_ladders(design: Design) -> Iterator[Ladder]:
    """Every drive and motor protector that has one; parts that are marked as bought stay as they are."""
    for part in design.parts.values():
        if isinstance(part.data, ServoDrive | Inverter) and not part.data.bought:
            yield from _drive(design, part)
    for name, rated_a in _settings(design).items():
        yield from _protector(design, design.parts[name], rated_a)


def _drive(design: Design, part: Part) -> Iterator[Ladder]:
    gives = drive_current(part)
    if gives is None:
        return
    now = Step(gives, gives, _words(part, gives), part.data, part.library, power_w=_power(part.data))
    steps, misfits = list[Step](), list[tuple[float, str]]()
    for name, model in library_models(design, part.kind):
        made = standing_in(part.data, model)
        new = build_part(part.name, made, part.place, name)
        amps = drive_current(new)
        if amps is None or not _alike(part.data, model):
            continue
        misfit = _misfit(design, part, new)
        if not misfit:
            edits = tuple(use_edits(design, part.name, name)[0])
            steps.append(Step(amps, amps, name, made, name, edits, Price.read(model.price), _power(model)))
        else:
            misfits.append((amps, f"{name} gives {amps:.3g} A and {misfit}"))
    found = ladder_of(Sort.DRIVE, Quantity.RATING, part.name, now, steps)
    yield replace(found, misfits=tuple(misfits))


def _words(part: Part, gives: float) -> str:
    return part.library or f"{gives:.10g} A"


def _power(data: PartModel) -> float | None:
    return data.rated if isinstance(data, Inverter) else None


def _alike(old: PartModel, new: PartModel) -> bool:
    """Whether a drive takes all voltages that another takes, and the same signals where those are said."""
    assert isinstance(old, MainsDrive)
    assert isinstance(new, MainsDrive)
    window = new.supply.low <= old.supply.low and new.supply.high >= old.supply.high
    signals = old.signals is None or new.signals == old.signals
    return window and signals and (new.supply.kind, new.phases) == (old.supply.kind, old.phases)


def _misfit(design: Design, old: Part, new: Part) -> str:
    """Why another drive does not go onto the wires of one: terminals that it lacks, or that nothing is led to."""
    wired = [end for end in old.terminals if design.circuit.conductors_at((old.name, end))]
    missing = [end for end in wired if end not in new.terminals]
    if missing:
        return f"has no terminal {listed(missing)}"
    assert isinstance(new.data, MainsDrive)
    own = {name: marking for marking, name in zip(new.terminals, (one.name for one in new.data.points()), strict=True)}
    held = [own[end] for pair in new.data.sto for end in split_pair(pair)]
    must = [*held, *(one.name for one in new.terminals.values() if one.required)]
    unwired = [end for end in dict.fromkeys(must) if end not in wired]
    return f"does not run before {listed(unwired)} are wired" if unwired else ""


def _settings(design: Design) -> dict[str, float]:
    """The rated current of the one motor behind each motor protector [A]; others have no size that follows from it."""
    if not any(isinstance(part.data, MotorProtector) for part in design.parts.values()):
        return {}
    behind: dict[str, list[Part]] = {}
    for motor in direct_motors(design.machine):
        for name in protectors_of(design, motor) or ():
            behind.setdefault(name, []).append(motor)
    rated = {name: [_rated_a(motor) for motor in motors] for name, motors in behind.items()}
    return {
        name: amps[0]
        for name, amps in rated.items()
        if len(amps) == 1 and amps[0] is not None and not design.parts[name].data.bought
    }


def _rated_a(motor: Part) -> float | None:
    assert isinstance(motor.data, Motor)
    return motor.data.rated_current


def _protector(design: Design, part: Part, rated_a: float) -> Iterator[Ladder]:
    """Its setting: the present one, and the rated current of its motor in the first range that reaches there."""
    data = part.data
    assert isinstance(data, MotorProtector)
    now = Step(data.setting, data.setting, f"set to {data.setting:.10g} A", data)
    words = f"set to {rated_a:.10g} A"
    setting = SetValue(("parts", part.name, "setting"), f"{rated_a:.10g} A")
    steps: list[Step] = []
    if data.range is None or data.range.low <= rated_a <= data.range.high:
        steps = [Step(rated_a, rated_a, words, data.model_copy(update={"setting": rated_a}), part.library, (setting,))]
    elif part.library:
        steps = list(_of_library(design, part, rated_a, setting))
    else:
        reaching = [one for one in PROTECTOR_A if one[0] <= rated_a <= one[1]]
        for low, high in reaching[:1]:
            text = f"{low:g}..{high:g} A"
            made = data.model_copy(
                update={"setting": rated_a, "range": CurrentRange.read(text), "price": "", "order": ""}
            )
            edits = (setting, SetValue(("parts", part.name, "range"), text))
            steps = [Step(rated_a, rated_a, f"{words}, of {text}", made, edits=edits)]
    yield ladder_of(Sort.PROTECTOR, Quantity.RATING, part.name, now, steps)


def _of_library(design: Design, part: Part, rated_a: float, setting: Edit) -> Iterator[Step]:
    """A protector of the library with as many poles whose range reaches a current."""
    old = part.data
    assert isinstance(old, MotorProtector)
    for name, model in library_models(design, part.kind):
        assert isinstance(model, MotorProtector)
        reaches = model.range is not None and model.range.low <= rated_a <= model.range.high
        if reaches and (model.poles, model.magnetic, model.contacts) == (old.poles, old.magnetic, old.contacts):
            made = standing_in(old, model).model_copy(update={"setting": rated_a})
            edits = (*use_edits(design, part.name, name)[0], setting)
            yield Step(rated_a, rated_a, f"{name} set to {rated_a:.10g} A", made, name, edits, Price.read(model.price))
