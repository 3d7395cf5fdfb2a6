"""Who tells a drive to brake in category 1: IEC 60204-1, 9.2.2; the ways are derived by hand from the circuit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from re import sub

from marked_plans import read, results
from plain_plans import Plan, parsed, written
from says import assert_says

from wiring.findings import Finding

SLUG = "drive-not-told-to-stop"
EXAMPLE = Path(__file__).parents[2] / "wiring" / "rules" / "examples" / "hot-wire.yaml"
FIXED = "K2:2>T:L Q1:4>T:N T:U>M:U T:V>M:V T:W>M:W T:DCOM>K0:A2 K0:A1>A:24V K0:A2>A:0V"
HELD = "S:14>K:A1 K:14>K:A1 K:A2>K0:A2 K:24>T:FWD S:13>K:13"
HEARS = "K0:A1>K0:53 K0:54>A:I1"
#: What feeds the run command of an inverter T, by a relay K, a button S or a controller A of its own.
CASES = {
    "from ahead of the stop": ("K0:A1>T:FWD", "told"),
    "behind a delayed contact": ("K0:14>T:FWD", "told"),
    "behind an undelayed contact": ("K0:34>T:FWD", "quiet"),
    "a relay that holds itself ahead of the stop": (f"{HELD} K0:A1>S:13 K0:A1>K:23", "told"),
    "a relay that the stop drops, its contact fed ahead": (f"{HELD} K0:34>S:13 K0:A1>K:23", "quiet"),
    "a relay held ahead, its contact behind the stop": (f"{HELD} K0:A1>S:13 K0:34>K:23", "quiet"),
    "a program that does not hear of the stop": ("A:Q1>T:FWD", "told"),
    "a program that hears of the stop": (f"A:Q1>T:FWD {HEARS}", "asked"),
    "a program that hears, passed by a wire": (f"A:Q1>T:FWD K0:A1>T:FWD {HEARS}", "told"),
}


def axis(n: int) -> Plan:
    """An inverter with its motor, and what may command it."""
    return {
        f"T{n}": parsed(
            "{kind: inverter, supply: 200..240 V AC, phases: 1, rated: 0.75 kW, signals: 24 V DC,"
            " inputs: [FWD-DCOM], functions: {FWD: run}}"
        ),
        f"M{n}": parsed("{kind: motor, voltage: 230 V AC, phases: 3, rated_power: 0.55 kW}"),
        f"K{n}": parsed("{kind: relay, coil: 24 V DC 1 W, contacts: {13-14: NO, 23-24: NO}}"),
        f"S{n}": parsed("{kind: push-button, contacts: {13-14: NO}}"),
        f"A{n}": parsed(
            "{kind: controller, supply: {between: [24V, 0V], voltage: 24 V DC, current: 0.1 A},"
            " inputs: {I1: sink}, input_voltage: 24 V DC, common: 0V, outputs: {Q1: pnp}}"
        ),
    }


def machine(runs: Sequence[str], category: int = 1) -> Plan:
    """Inverters behind delayed contacts of the stop relay, each with its own way of being told to run."""
    plan = parsed(EXAMPLE.read_text("utf-8"))
    plan["stops"]["emergency"] |= {"category": str(category), "delay": "2 s"}
    plan["parts"]["K0"] |= {"outputs": ["33-34", "53-54"], "delayed": ["13-14", "23-24"], "delay": "2 s"}
    pairs = ["K0:A1>K0:33"]
    for n, run in enumerate(runs, 11):
        plan["parts"] |= axis(n)
        pairs += [sub(r"\b([TMKSA]):", rf"\g<1>{n}:", pair) for pair in f"{FIXED} {run}".split()]
    ends = [pair.split(">") for pair in dict.fromkeys(pairs)]
    more = {"size": "1 mm2", "length": "1 m"}
    plan["wires"] += [{"wire": f"R{n}", "from": a, "to": b, **more} for n, (a, b) in enumerate(ends)]
    return plan


def test_the_run_command_at_the_moment_of_the_stop() -> None:
    found = results(SLUG, read(written(machine([run for run, _ in CASES.values()]))))
    told = {one.subjects[0] for one in found if isinstance(one, Finding)}
    asked = {name for one in found if not isinstance(one, Finding) for name in one.subjects}
    said = {
        name: "told" if f"T{n}" in told else "asked" if f"T{n}" in asked else "quiet"
        for n, name in enumerate(CASES, 11)
    }
    assert said == {name: answer for name, (_, answer) in CASES.items()}


def test_category_0_needs_no_order_to_brake() -> None:
    assert results(SLUG, read(written(machine(["K0:A1>T:FWD"], category=0)))) == []


def test_what_it_says() -> None:
    """IEC 60204-1, 9.2.2."""
    [finding] = results(SLUG, read(written(machine(["K0:A1>T:FWD"]))))
    assert isinstance(finding, Finding)
    assert finding.subjects == ("T11", "M11", "emergency")
    assert_says(finding, "WARNING", mend="through a contact that stop emergency opens without delay")
