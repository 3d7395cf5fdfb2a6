"""A stepper drive is set to more current than its motor bears, or to far less than it needs.

Drives are set by the peak of the microstep sine or by its effective value; motors are rated per phase with both phases
on, which heats them as the same effective value does. The two figures differ by 1.41, and mistaking one for the other
doubles the heat of the motor or takes a third of its torque. Both are compared here as effective values.

Fires on screw-axis at D1
    D1.phase_current=3 A rms
Quiet
    D1.phase_current=3 A peak
Not judged
    Nothing of its own: both figures are required of a plan.
Known limits
    Drives with several motors are passed over. Servo drives are set in their software, which a plan does not hold.
"""

from __future__ import annotations

from math import sqrt

from wiring.design.edits import of_part
from wiring.findings import Cause, Mend, Number
from wiring.parts.base import Part
from wiring.parts.drives import StepperDrive
from wiring.parts.motors import StepperMotor
from wiring.rulebooks.limits import tabled
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="drive-current-above-motor",
    title="Drive is set to the wrong current for its motor",
    signal=Signal.CAUTION,
    harm="The motor overheats, or loses a third of its torque and steps with it.",
    sources=(("both", Source("data of the part", "", "phase current as an effective value", Standing.ONE_SOURCE)),),
)
#: A setting up to this share above the rating is the coarseness of the switches.
_COARSE = tabled("common", "drive_setting_coarse").value
#: A setting below this share of the rating costs so much torque that it looks like a mistake.
_LOW = tabled("common", "drive_setting_low").value


def check(design: Design) -> Judgements:
    """Every stepper drive with one motor."""
    for axis in design.axes.values():
        if not isinstance(axis.drive.data, StepperDrive) or len(axis.motors) != 1:
            continue
        motor = axis.motors[0]
        if isinstance(motor.data, StepperMotor):
            finding = _judge(design, axis.drive, axis.drive.data, motor, motor.data)
            if finding is not None:
                yield finding


def _judge(design: Design, drive: Part, setting: StepperDrive, motor: Part, winding: StepperMotor) -> Judgement | None:
    rms, rated = setting.phase_current.rms_a, winding.phase_current.rms_a
    share = rms / rated
    if _LOW <= share <= 1.0 + _COARSE:
        return None
    high = share > 1.0
    mistaken = abs(share - sqrt(2.0)) < 0.06 or abs(share - 1.0 / sqrt(2.0)) < 0.03
    why = "; the ratio looks like a peak value taken for an effective one" if mistaken else ""
    heat = 100.0 * (share**2 - 1.0)
    effect = f"{heat:.0f} % more heat" if high else f"{100.0 * (1.0 - share):.0f} % less torque"
    return RULE.finding(
        (drive.name, motor.name),
        f"{drive.name} is set to {rms:.3g} A rms and {motor.name} is rated {rated:.3g} A rms: {effect}{why}",
        design.place(drive.name, "phase_current"),
        signal=Signal.CAUTION if high else Signal.NOTICE,
        because=[Cause(design.place(motor.name, "phase_current"), "rating of the motor")],
        numbers=(
            Number("setting", rms, "A", f"rms; {setting.phase_current.peak_a:.3g} A peak"),
            Number("rating", rated, "A", f"rms; {winding.phase_current.peak_a:.3g} A peak"),
        ),
        limit=RULE.limit(design, rated, "A"),
        mend=(
            Mend(
                f"Set {drive.name} to {rated:.3g} A rms, which is {winding.phase_current.peak_a:.3g} A peak.",
                of_part(drive.name, "phase_current", f"{winding.phase_current.peak_a:.6g} A peak"),
            ),
        ),
    )
