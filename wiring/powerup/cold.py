"""The stages before the mains but for isolation and protective conductors: by eye, shorts between rails, insulation."""

from __future__ import annotations

from itertools import combinations
from math import inf

from wiring.circuit.model import Node, named
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Pole
from wiring.parts.heating import TemperatureController
from wiring.parts.loads import ProcessSource
from wiring.parts.protection import SurgeArrester, device_rating
from wiring.parts.signals import Encoder, IoCard, Isolator, Sensor
from wiring.parts.sources import Converter, Supply
from wiring.parts.switching import SafetyRelay, SolidStateRelay
from wiring.powerup.bonding import is_bonded
from wiring.powerup.builder import Builder, practice
from wiring.powerup.isolation import conductors_of
from wiring.powerup.side_by_side import joined_with, lie_beside
from wiring.powerup.step import Expected, Meter, Setting, Sort, Stage, Who
from wiring.powerup.survey import pairs_of

#: What an insulation tester would destroy.
_ELECTRONICS = (
    *(Supply, Converter, Drive, IoCard, SafetyRelay, Isolator, Sensor, ProcessSource, SurgeArrester, Encoder),
    *(SolidStateRelay, TemperatureController),
)


def by_eye(to: Builder) -> None:
    """Documents, conductors, the value of every protective device, and what is set by hand: at most ten lines."""
    to.look(
        Stage.EYES,
        "Hold every wire end against the wire list and tug it; look for loose strands, chips and forgotten tools",
        "as the list says",
        "mend it before anything else",
        test="documents",
    )
    to.look(Stage.EYES, "Screws of power terminals with a torque driver", "torque of the maker", "a loose joint burns")
    valued = {name: words for name, part in to.survey.set_devices.items() if (words := _value_words(part))}
    if valued:
        to.look(
            Stage.EYES,
            "Read the value on every fuse, breaker and motor protector",
            "; ".join(f"{name} {words}" for name, words in valued.items()),
            "put in the one of the plan",
            about=tuple(valued),
        )
    selected = [name for name in to.survey.sources if _has_selector(to, name)]
    if selected:
        to.look(
            Stage.EYES,
            f"Voltage selector of {', '.join(selected)}, where it has one",
            "; ".join(f"{name} {_input_v(to, name):g} V" for name in selected),
            "it burns or stays dead",
        )
    set_by_hand = currents_of_drives(to)
    if set_by_hand:
        to.look(
            Stage.EYES,
            "Current set at every drive: half of the motor's, for the first motion",
            f"half of: {'; '.join(f'{name} {words}' for name, words in set_by_hand.items())}",
            "the motor overheats or is weak",
        )
    if to.survey.motor_wires:
        to.look(
            Stage.EYES, "Motors and what they move", "uncoupled, nothing and nobody in the way", "uncouple them first"
        )


def _value_words(part: Part) -> str:
    """ "6 A C"."""
    rating = device_rating(part)
    sort = getattr(part.data, "class_", None) or getattr(part.data, "curve", None) or ""
    return f"{rating:g} A {sort}".strip() if rating else ""


def _input_v(to: Builder, name: str) -> float:
    return float(getattr(to.design.parts[name].data, "input").high)  # noqa: B009 - only supplies have one


def _has_selector(to: Builder, name: str) -> bool:
    """Whether a supply may have a selector: one made for a range of twice the voltage needs none."""
    given = getattr(to.design.parts[name].data, "input", None)
    return given is not None and to.survey.is_mains_fed(name) and given.high < _WIDE_RANGE * given.low


def currents_of_drives(to: Builder) -> dict[str, str]:
    """What is set at every drive, in words."""
    return {part.name: _current_setting(part) for part in to.design.parts.values() if isinstance(part.data, Drive)}


def _current_setting(part: Part) -> str:
    data = part.data
    amps = getattr(data, "phase_current", None) or getattr(data, "rated_current", None)
    if amps is None:
        return "as the motor's label says"
    hold = getattr(data, "hold_current", None)
    told = f"{amps.peak_a:.3g} A peak"
    return f"{told}, {100 * hold:.0f} % at rest" if hold is not None else told


# Rails.


#: A supply whose input reaches over this ratio of voltages has no selector (common practice).
_WIDE_RANGE = 1.8


def shorts(to: Builder) -> None:
    """Inlet and rails by ohmmeter, with the contactors held in so that what they switch is measured too."""
    inlet = to.survey.inlet
    names = conductors_of(to)
    pairs = [(inlet[a], inlet[b]) for a, b in combinations(names, 2)]
    words = [f"Inlet {a} to {b}" for a, b in combinations(names, 2)]
    out = Setting(False, to.survey.poles(list(to.survey.devices)))
    wrong = "a short: find it branch by branch before the mains"
    if pairs:
        told = [f"{word}, every protective device out" for word in words]
        with to.annex():
            to.ohms(Stage.SHORTS, out, pairs, told, wrong, 0.3)
    with to.annex():
        _holders(to, out)
    if pairs:
        told = [f"{word}, every protective device in" for word in words]
        rows = [("Inlet, every protective device in", word.removeprefix("Inlet ")) for word in words]
        to.ohms(Stage.SHORTS, to.survey.held_in(*to.survey.contactors), pairs, told, wrong, 0.3, rows=rows)
    _rails(to)


def insulation(to: Builder) -> None:
    """The test with high voltage, its preparation, and everything put back."""
    inlet, names = to.survey.inlet, conductors_of(to)
    live = [inlet[name] for name in names if name != "PE"]
    if not live or "PE" not in inlet:
        return
    plugs = [part.name for part in to.design.parts.values() if isinstance(part.data, _ELECTRONICS)]
    wrong = "stop: 500 V destroys electronics"
    to.look(
        Stage.INSULATION, f"Take off or unplug the electronics: {', '.join(plugs) or 'none in this plan'}", "off", wrong
    )
    held = f"; hold {', '.join(to.survey.contactors)} in at the test lever" if to.survey.contactors else ""
    joined = f"Join {' and '.join(n for n in names if n != 'PE')} at the inlet{held}"
    to.look(Stage.INSULATION, joined, "as told", "what is behind an open contact is not tested")
    to.add(
        Stage.INSULATION,
        f"{to.test_words('insulation')}: lines and neutral joined, to earth",
        Meter.INSULATION,
        Expected(Sort.OPEN, inf, practice("insulation_min")),
        "damp, dirt or a damaged conductor",
        Who.QUALIFIED,
        None,
        (live[0], inlet["PE"]),
        test="insulation",
    )
    let_go = f", let {', '.join(to.survey.contactors)} go" if to.survey.contactors else ""
    undone = f"Discharge what was tested to earth, take the joint off the inlet{let_go}"
    to.look(Stage.INSULATION, undone, "off", "it is a short")
    to.look(
        Stage.INSULATION, f"Put the electronics back: {', '.join(plugs) or 'none'}", "back, as in the wire list", wrong
    )
    with to.annex():
        to.look(
            Stage.INSULATION,
            f"Where it is wanted: {to.test_words('withstand')}",
            "no breakdown",
            "insulation is damaged",
            Who.QUALIFIED,
            test="withstand",
        )


def _holders(to: Builder, out: Setting) -> None:
    """Across every fuse holder and breaker while all are out: a conductor that goes past it shows."""
    probes, words = [], []
    for name, part in to.survey.devices.items():
        for element in part.elements:
            if isinstance(element, Pole):
                probes.append(((name, element.a), (name, element.b)))
                words.append(f"{name} ({part.title}) out: across it, {element.name}")
                for end in _fed_points(to, name):
                    probes.append(((name, element.a), end))
                    words.append(f"{name} ({part.title}) out: its line side to {named(end)}")
    if probes:
        share = practice("coil_resistance")
        to.ohms(Stage.SHORTS, out, probes, words, "a conductor goes past the protective device", share)


def _fed_points(to: Builder, device: str) -> list[Node]:
    """The live terminals of what a device feeds on DC and nothing else of its kind does."""
    others = [nodes for name, nodes in to.survey.nodes_behind.items() if name != device]
    return [
        pair.a
        for name in to.survey.fed_by[device]
        for pair in pairs_of(to.design.parts[name])
        if pair.takes_power
        and not pair.is_coil
        and pair.kind == "DC"
        and pair.a in to.survey.nodes_behind[device]
        and not any(pair.a in nodes for nodes in others)
    ]


def _rails(to: Builder) -> None:
    """Every rail to its return, to earth where that is another place, and to the rails that lie beside it somewhere."""
    earth = to.survey.earth
    sources = {name: output for name, output in to.survey.sources.items() if output.kind == "DC"}
    found: list[tuple[tuple[Node, Node], str, tuple[str, str]]] = []
    for name, output in sources.items():
        row = f"Rail of {name} ({to.design.parts[name].title})"
        plus, minus = (name, output.plus), (name, output.minus)
        found.append(((plus, minus), f"{row}, plus to 0 V, both ways round", (row, "plus to 0 V")))
        if earth and not is_bonded(to, minus, earth):
            found.append(((plus, earth), f"{row}, plus to earth", (row, "plus to earth")))
        for other, theirs in sources.items():
            ends = (plus, (other, theirs.plus))
            if name < other and lie_beside(to, *(joined_with(to, end) for end in ends)):
                found.append((ends, f"Rail of {name} to rail of {other}", (row, f"plus to plus of {other}")))
    if found:
        probes, words, rows = zip(*found, strict=True)
        wrong = "steady low ohms: a short, or two rails joined"
        held = to.survey.held_in(*to.survey.contactors)
        to.ohms(Stage.SHORTS, held, probes, words, wrong, practice("coil_resistance"), rows=rows)
