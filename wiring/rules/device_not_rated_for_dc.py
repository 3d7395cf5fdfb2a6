"""A protective device stands in a direct-current circuit that it is not rated for.

An alternating current goes out at each of its zeros; the arc of a direct current does not. A breaker or fuse for AC
may carry direct current for years and still fail to break it once. Only a DC marking says what it breaks.

Fires on sorting-gate at F2
    F2.rated_voltage=250 V AC
Quiet
    F2.rated_voltage=60 V DC
Not judged
    Devices whose voltage the plan does not give.
Known limits
    The marking is taken for the poles as they are wired; whether a maker asks for poles in series, or for a polarity,
    is not known.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.fault.records import DeviceFault
from wiring.design.switching.contact_ratings import device_dc_marking
from wiring.findings import Mend, Number
from wiring.parts.protection import ElectronicFuse
from wiring.plan.ratings import Voltage
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.steps import DC_V, first_at_least
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="device-not-rated-for-dc",
    title="Protective device is not rated for its DC circuit",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Its arc does not go out: the device burns instead of opening.",
    sources=(
        ("iec", Source("IEC 60898-1", "2015", "1, alternating current only", Standing.FROM_MEMORY)),
        ("na", Source("UL 248-1", "2011", "DC ratings are marked apart", Standing.FROM_MEMORY)),
    ),
)
#: Above this an arc of direct current does not go out by itself even at small contacts [V] (the
#: upper end of extra-low voltage in dry places): a fault of a device there is a danger, not a loss.
_LONG_ARC_V = tabled("common", "long_arc").value


def check(design: Design) -> Judgements:
    """Every device that direct current passes."""
    unmarked: dict[str, float] = {}
    for row in design.short_circuits.devices.values():
        data = design.parts[row.part].data
        if not row.nearest.dc or isinstance(data, ElectronicFuse):
            continue
        marked = device_dc_marking(getattr(data, "fuse", None) or data)
        if marked is None:
            unmarked[row.part] = row.nearest.volts
        elif marked.kind == "AC" or marked.volts < row.nearest.volts:
            yield _finding(design, row, marked)
    most = max(unmarked.values(), default=0.0)
    form = f"`rated_voltage: {first_at_least(DC_V, most) or most:g} V DC`, for a breaker `dc_voltage`"
    yield from RULE.ask(unmarked, f"the DC voltage that it breaks ({form})")


def _marked(name: str, key: str, volts: float) -> Mend:
    step = first_at_least(DC_V, volts) or volts
    text = f"{step:g} V DC"
    return Mend(f"Take a device for {name} that is marked for {text}.", of_part(name, key, text))


def _finding(design: Design, row: DeviceFault, marked: Voltage) -> Judgement:
    volts = row.nearest.volts
    key = "rated_voltage" if getattr(design.parts[row.part].data, "dc_voltage", None) is None else "dc_voltage"
    return RULE.finding(
        (row.part,),
        f"{row.part} is marked {marked.volts:.3g} V {marked.kind} and stands in a circuit of {volts:.3g} V DC",
        design.place(row.part, key),
        signal=Signal.WARNING if volts > _LONG_ARC_V else Signal.CAUTION,
        numbers=(Number("circuit", volts, "V", f"DC, fed by {row.nearest.origin.part}"),),
        limit=RULE.limit(design, marked.volts if marked.kind == "DC" else 0.0, "V DC"),
        mend=(
            _marked(row.part, key, volts),
            f"Or has it a marking for DC? Then write that from its data sheet (as in `{key}: {volts:.3g} V DC`).",
        ),
    )
