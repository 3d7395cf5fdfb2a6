"""The stage of the mains: the inlet and the load side of the main switch, with every branch open."""

from __future__ import annotations

from itertools import combinations

from msgspec.structs import replace

from wiring.circuit.model import named
from wiring.parts.elements import Switch
from wiring.parts.incoming import Transformer
from wiring.parts.protection import Disconnector, ResidualCurrentDevice
from wiring.powerup.builder import LEAST_V, Builder, practice
from wiring.powerup.step import Setting, Stage, Who
from wiring.solver.lowering import line_to_neutral_v


def mains(to: Builder) -> None:
    """The inlet, then the load side of the main switch, with every branch open."""
    inlet = to.survey.inlet
    live: list[str] = [name for name in ("L", "L1", "L2", "L3") if name in inlet]
    setting = to.survey.only()
    if not live:
        return
    to.look(
        Stage.MAINS,
        "Mains on, every branch open, local electrical code kept: hear, smell, look",
        "nothing hums, smells or trips",
        "switch off, lock off, find it",
        Who.QUALIFIED,
        setting=setting,
    )
    if any(isinstance(part.data, Transformer) for part in to.design.parts.values()):
        to.look(
            Stage.MAINS,
            "First time with a transformer: a filament lamp of 60 W to 100 W in series with the line",
            "a flash, then dark or dim",
            "it stays bright: a short behind it",
            Who.QUALIFIED,
        )
    _inlet(to, setting, live)
    _residual_devices(to)
    with to.annex():
        _switched_off(to, setting)
        _line_sides(to, setting)


def _inlet(to: Builder, setting: Setting, live: list[str]) -> None:
    """Every pair of conductors of the incoming supply, and the sequence of three phases."""
    inlet = to.survey.inlet
    for a, b in _mains_pairs(live, "N" in inlet):
        # Line to line, and one of them to neutral, tell of the other lines.
        with to.annex(b == "N" and a != live[0]):
            to.volts(
                Stage.MAINS,
                setting,
                (inlet[a], inlet[b]),
                "AC",
                practice("mains_voltage"),
                f"Inlet {a} to {b}",
                "wrong supply, or a conductor of it is missing",
                Who.QUALIFIED,
                row=("Inlet, between conductors", f"{a} to {b}"),
            )
    if "PE" in inlet:
        for name in live:
            # With a neutral, one line and the neutral to earth tell where the others stand.
            with to.annex("N" in inlet and name != live[0]):
                to.volts(
                    Stage.MAINS,
                    setting,
                    (inlet[name], inlet["PE"]),
                    "AC",
                    practice("mains_voltage"),
                    f"Inlet {name} to PE",
                    "no earth at the socket, or line and neutral changed over",
                    Who.QUALIFIED,
                    row=("Inlet, to earth", f"{name} to PE"),
                )
    if {"N", "PE"} <= set(inlet):
        to.no_volts(
            Stage.MAINS,
            setting,
            (inlet["N"], inlet["PE"]),
            "AC",
            "Inlet N to PE",
            "line and neutral changed over, or a broken neutral",
            practice("neutral_to_earth_max"),
            who=Who.QUALIFIED,
            row=("Inlet, to earth", "N to PE"),
        )
    if len(live) == 3:
        to.look(
            Stage.MAINS,
            "Sequence of the phases at the inlet, with an indicator of rotation at L1, L2, L3",
            "clockwise",
            "motors straight on the supply turn backwards: change two lines over, power off",
            Who.QUALIFIED,
        )


def _residual_devices(to: Builder) -> None:
    """The test button of every residual current device; a conductor that goes past a pole trips it under load."""
    for part in to.design.parts.values():
        if isinstance(part.data, ResidualCurrentDevice):
            to.look(
                Stage.MAINS,
                f"Test button of {part.title} ({part.name}); then on again, and it stays on under load later",
                "it trips at once, and at nothing else",
                "a conductor goes past one of its poles, or it is worn out",
                Who.QUALIFIED,
                about=(part.name,),
            )


def _switched_off(to: Builder, setting: Setting) -> None:
    """The main switch open: nothing behind any of its poles."""
    earth = to.survey.earth
    for part in to.design.parts.values():
        if not isinstance(part.data, Disconnector) or earth is None:
            continue
        off = replace(setting, moved=setting.moved | {(part.name, "handle")})
        for pole in part.elements:
            if isinstance(pole, Switch) and to.run(setting).between((part.name, pole.a), earth, "AC") > LEAST_V:
                to.no_volts(
                    Stage.MAINS,
                    off,
                    ((part.name, pole.b), earth),
                    "AC",
                    f"{part.title} ({part.name}) off: nothing behind pole {pole.name}",
                    "a pole does not open, or a conductor goes past the switch",
                    who=Who.QUALIFIED,
                )


def _mains_pairs(live: list[str], neutral: bool) -> list[tuple[str, str]]:
    return [*combinations(live, 2), *((name, "N") for name in live if neutral)]


def _line_sides(to: Builder, setting: Setting) -> None:
    """The line side of every device in the mains circuit: it sees the supply while the device is out."""
    run, inlet = to.run(setting), to.survey.inlet
    back = inlet.get("N") or inlet.get("PE")
    if back is None or to.design.plan.mains is None:
        return
    for name, part in to.survey.devices.items():
        if not to.survey.is_mains(name):
            continue
        for terminal in part.terminals:
            volts = run.between((name, terminal), back, "AC")
            if volts > 0.5 * line_to_neutral_v(to.design.plan.mains):
                to.volts(
                    Stage.MAINS,
                    setting,
                    ((name, terminal), back),
                    "AC",
                    practice("mains_voltage"),
                    f"Main switch on: line side of {name} ({part.title}) to {named(back)}",
                    "main switch or a conductor to it is open",
                    Who.QUALIFIED,
                )
                break
