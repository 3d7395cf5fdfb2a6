"""A shield is bonded at the wrong number of ends for what its cable carries.

The motor cable of an inverter or a servo drive carries fast edges: its shield is clamped at both ends, all around.
A cable with an analog signal of low level is bonded at one end only, at the receiver, because a second bond lets earth
currents flow through the shield. On the return of a supply a shield leads what it catches into the control: it ends on
the earth bar instead. Makers differ on analog signals; the sheet of the part counts.

Fires on mixer at C1
    C1.shield.ends=[XPE:6]
Quiet
    C1.shield.ends=[XPE:6, M1:PE]
Not judged
    Motor cables of stepper drives and digital signals: one end or both, as the maker says. Shields of a drive's motor
    cable whose `method` the plan leaves out.
"""

from __future__ import annotations

from wiring.findings import Mend, Number
from wiring.parts.drives import Inverter, ServoDrive
from wiring.parts.elements import Function
from wiring.parts.signals import IoCard, Sensor
from wiring.plan.conductors import Cable
from wiring.plan.edits import AddItem, SetValue, scalar
from wiring.plan.source import Place
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="shield-ends-wrong",
    title="Shield is bonded at the wrong ends",
    signal=Signal.CAUTION,
    harm="Noise of the drive reaches signals, or earth current flows through a signal's shield: false counts.",
    sources=(("both", trade_practice("makers' manuals on shields")),),
)


def _carries(design: Design, cable: Cable) -> str:
    """What the cable carries: "drive", "analog", or "" for anything else."""
    for ends in cable.join.values():
        for ref in ends:
            part = design.parts.get(ref.part)
            terminal = part.terminals.get(ref.terminal) if part else None
            if part is None or terminal is None:
                continue
            data = part.data
            if isinstance(data, Inverter | ServoDrive) and terminal.function is Function.MOTOR:
                return "drive"
            if isinstance(data, Sensor) and data.output == "analog":
                return "analog"
            if isinstance(data, IoCard) and data.inputs.get(ref.terminal, "").startswith("analog"):
                return "analog"
    return ""


def check(design: Design) -> Judgements:
    """Every shielded cable of an inverter, a servo drive or an analog signal."""
    unknown: list[str] = []
    for index, cable in enumerate(design.plan.cables):
        if cable.shield is None or not cable.shield.ends:
            continue
        sort, ends = _carries(design, cable), len(cable.shield.ends)
        place = design.reading.place("cables", index, "shield")
        yield from _on_return(design, cable, place)
        if sort == "drive" and ends < 2:
            mend = _other_end(design, cable) or Mend(
                f"Clamp the shield of {cable.cable} at the motor end too, to the metal that the motor sits on."
            )
            yield _finding(cable.cable, "a drive's motor cable needs both ends", ends, place, mend)
        elif sort == "drive" and cable.shield.method is None:
            unknown.append(cable.cable)
        elif sort == "drive" and cable.shield.method == "pigtail":
            words = f"Clamp the shield of {cable.cable} all around instead of twisting it into a tail."
            mend = Mend(words, (SetValue(("cables", cable.cable, "shield", "method"), "clamp"),))
            yield _finding(cable.cable, "a drive's motor cable needs clamps, not pigtails", ends, place, mend)
        elif sort == "analog" and ends > 1:
            words = f"Keep the bond of {cable.cable} at the receiver and take the other end off."
            ends_text = f"[{scalar(str(cable.shield.ends[0]))}]"
            mend = Mend(words, (SetValue(("cables", cable.cable, "shield", "ends"), ends_text),))
            yield _finding(cable.cable, "an analog signal needs one end only", ends, place, mend)
    yield from RULE.ask(unknown, "how their shields are bonded (`shield: {method: clamp}`)")


def _on_return(design: Design, cable: Cable, place: Place) -> Judgements:
    """A shield that ends on terminals of a rail alone, in place of earth."""
    assert cable.shield is not None
    ends = [(ref, design.roles.rails.get((ref.part, ref.terminal), ())) for ref in cable.shield.ends]
    for ref, rails in ends if all(rails for _, rails in ends) else ():
        part = design.parts.get(ref.part)
        terminal = part.terminals.get(ref.terminal) if part else None
        if terminal is not None and terminal.function is Function.THROUGH:
            yield RULE.finding(
                (cable.cable, ref.part),
                f"The shield of {cable.cable} ends at {ref.part}:{ref.terminal}, on a rail of {rails[0].source}, and "
                "not on earth",
                place,
                mend=(f"Clamp the shield of {cable.cable} to the earth bar, beside the others.",),
            )


def _other_end(design: Design, cable: Cable) -> Mend | None:
    """The screen on the earth of the part that it reaches unbonded."""
    assert cable.shield is not None
    bonded = {ref.part for ref in cable.shield.ends}
    far = dict.fromkeys(ref.part for ends in cable.join.values() for ref in ends if ref.part not in bonded)
    for name in sorted(far, key=lambda name: not design.parts[name].data.is_motor):
        part = design.parts[name]
        earth = part.data.earth_terminal() if part.data.is_motor or isinstance(part.data, Inverter | ServoDrive) else ""
        if earth:
            terminal = part.data.terminals.get(earth, earth)
            edits = (AddItem(("cables", cable.cable, "shield", "ends"), scalar(f"{name}:{terminal}")),)
            end = f"the motor end too, at {name}" if part.data.is_motor else f"{name} too"
            return Mend(f"Clamp the shield of {cable.cable} at {end}, all around, to its metal.", edits)
    return None


def _finding(name: str, why: str, ends: int, place: Place, mend: Mend) -> Judgement:
    return RULE.finding(
        (name,),
        f"The shield of {name} is bonded at {ends} end{'s' if ends > 1 else ''}: {why}",
        place,
        numbers=(Number("bonded ends", float(ends), "", name),),
        mend=(mend,),
    )
