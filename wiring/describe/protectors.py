"""Motor protective switches: set to the current of a motor, and read by the controller."""

from __future__ import annotations

from wiring.describe.build import Build, Refused
from wiring.describe.feeds import feed
from wiring.describe.signals import new_input
from wiring.rulebooks.steps import DC_V, PROTECTOR_A, first_at_least

_LOST_ON_THE_WAY = 1.1
#: A range that ends this far above the current is that of a larger one of two, and loses less (own choice).
_WIDE = 1.3
#: A battery that is charged gives so much more than its nominal voltage (2.4 V of the 2 V of a lead cell).
_CHARGED = 1.2


def protector(build: Build, title: str, amps: float, poles: int, volts: float, *, direct: bool = False) -> str:
    """A motor protective switch whose range holds the current of the motor [A, V].

    A small one loses much of a low voltage, so that the motor takes more: of two ranges the larger one then, and up to
    1.1 of the current where the book bears it (NEC 430.32(A)(1): 1.15 at least).
    """
    if direct and build.rulebook == "na":
        amps = float(f"{_LOST_ON_THE_WAY * amps:.3g}")
    wide = next((one for one in PROTECTOR_A if direct and one[0] <= amps and one[1] >= _WIDE * amps), None)
    span = wide or first_at_least(PROTECTOR_A, amps, lambda one: one[1])
    if span is None:
        raise Refused(
            f"{title} takes {amps:.3g} A", f"motor protective switches end at {PROTECTOR_A[-1][1]:g} A",
            "Put it on an inverter.", ("loads",),
        )  # fmt: skip
    name = build.draft.name("F")
    iec = build.rulebook == "iec"
    voltage = "400 V AC" if iec else "600 V AC"
    if direct:
        voltage = f"{first_at_least(DC_V, _CHARGED * volts) or volts:g} V DC"
    data = {
        "kind": "motor-protector",
        "title": title,
        "poles": str(poles),
        "setting": f"{amps:g} A",
        "range": f"{span[0]:g}..{span[1]:g} A",
        "trip_class": "10",
        "breaking": "50 kA",
        "rated_voltage": voltage,
        "contacts": {"95-96": "NC"},
        "sizes": "0.75..6 mm2" if iec else "18..8 AWG",
        "wires_per_terminal": "2",
    }
    why = f"set to the {amps:g} A of the motor" + ("" if direct else "; also opens a short circuit")
    return build.draft.part("protection of the branches", name, data, why)


def protector_report(build: Build, device: str, title: str) -> None:
    """The contact of a protective switch to an input of the controller."""
    draft = build.draft
    draft.wire("signals", feed(build, "operators"), f"{device}:95", build.type("control"), f"{title} protector feed")
    new_input(build, f"{device}:96", f"{title} protector not tripped", "other", kind="control")
