"""The controller with what it reads and moves: limits, homes, operators, reports; step, direction and enable; lamps."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.describe.axes import Motion
from wiring.describe.build import Build, Refused, own_model, part_words
from wiring.describe.draft import CableEntry, End, Row, Slot
from wiring.describe.feeds import back, feed
from wiring.describe.trade import CONTROL_V
from wiring.parts.contacts import split_pair
from wiring.parts.signals import IoCard

#: Inputs and outputs that a controller which is not bought yet keeps free, as a share (common practice).
_SPARE = 0.2
_INPUTS_PER_AXIS = 3
_STEPS = (("P", "step"), ("R", "direction"), ("E", "enable"))


def new_input(build: Build, start: End, title: str, function: str, *, kind: str = "signal") -> None:
    """Leads a signal of 24 V to the next input of the controller."""
    build.inputs.append(function)
    build.draft.wire("signals", start, _input_name(build, len(build.inputs)), build.type(kind), title)


def _card(build: Build) -> IoCard | None:
    words = build.description.controller
    found = own_model(words) if words is not None else None
    return found if isinstance(found, IoCard) else None


def _input_name(build: Build, number: int) -> str:
    card = _card(build)
    if card is None:
        return f"A1:I{number}"
    names = list(card.inputs)
    return f"A1:{names[number - 1]}" if number <= len(names) else f"A1:{number}"


def outputs_24v(card: IoCard) -> list[str]:
    """The outputs of a card that give 24 V."""
    return [name for name, word in card.outputs.items() if word.startswith("pnp")]


def new_output(build: Build, function: str, named: str = "") -> str:
    """The next 24 V output of the controller, or the one of that name."""
    build.outputs.append(function)
    card = _card(build)
    if named:
        return f"A1:{named}"
    build.unnamed += 1
    if card is None:
        return f"A1:O{build.unnamed}"
    taken = {load.switched for load in build.description.loads.values()}
    names = [name for name in outputs_24v(card) if name not in taken]
    return f"A1:{names[build.unnamed - 1]}" if build.unnamed <= len(names) else f"A1:{build.unnamed}"


def axis_signals(build: Build) -> None:
    """Step, direction and enable of every drive, each with a return of its own from the 5 V side of the controller.

    In a small cabinet the 5 V outputs share the 0 V of the controls.
    """
    draft = build.draft
    if not build.drives:
        return
    card = _card(build)
    pulses = _pulses(card, len(build.drives)) if card else []
    shared = build.small and card is None
    row = draft.row("X2", "24 V return") if shared else draft.row("X7", "5 V return")
    common = (card.output_common or (card.supply.between[1] if card.supply else "0V")) if card else "5V0"
    if not shared:
        draft.wire("steps", f"A1:{common}", row.take(), build.type("signal", back=True), "5 V return of the controller")
    for n, one in enumerate(build.drives):
        drive, motion = one.drive, one.motion
        for k, ((letter, word), (name, name_back)) in enumerate(zip(_STEPS, one.model.signal_inputs(), strict=False)):
            place = 3 * n + k
            output = (pulses[place] if place < len(pulses) else "-") if card else f"{letter}{n + 1}"
            start: End = f"A1:{output}"
            if pulses.count(output) > 1:
                start = _spread(build, start, word)
            draft.wire("steps", start, f"{drive}:{name}", build.type("signal"), f"{word} {motion.name}")
            draft.wire(
                "steps",
                row.take(),
                f"{drive}:{name_back}",
                build.type("signal", back=True),
                f"{word} return {motion.name}",
            )
    if card and 3 * len(build.drives) > len(pulses):
        raise _too_few(f"{3 * len(build.drives)} step, direction and enable outputs", len(pulses), "5 V outputs")


def _pulses(card: IoCard, drives: int) -> list[str]:
    """The 5 V outputs for each drive in the order of `_STEPS`, by what the card says of them; few enables are one."""
    known = [name for name, word in card.outputs.items() if word.startswith("push-pull")]
    steps, directions, enables = ([name for name in known if card.functions.get(name) == word] for _, word in _STEPS)
    if not (steps and directions and enables):
        if not 2 * drives < len(known) < 3 * drives:
            return known
        steps, directions, enables = known[: 2 * drives : 2], known[1 : 2 * drives : 2], known[2 * drives :]
    if len(enables) < drives:
        enables = enables[:1] * drives
    return [name for three in zip(steps, directions, enables, strict=False) for name in three]


def _spread(build: Build, start: End, word: str) -> Slot:
    """A terminal behind an output that several drives share."""
    row = build.draft.row("X9", f"{word} of all drives")
    if not row.groups:
        build.draft.wire("steps", start, row.take(), build.type("signal"), f"{word} of all drives")
    return row.take()


def field_signals(build: Build) -> None:
    """Limits and homes of every axis over the row of the field wiring, in cables of their own."""
    seen: set[str] = set()
    for motion in (one.motion for one in build.drives):
        limits = int(motion.axis.limits or "0")
        if motion.name in seen or not (limits or motion.axis.home):
            continue
        seen.add(motion.name)
        if limits:
            _limits(build, motion, limits)
        if motion.axis.home:
            _home(build, motion)


def drive_alarms(build: Build) -> None:
    """The alarm output of every drive that has one, to an input of its own."""
    for one in build.drives:
        if one.model.outputs:
            plus, minus = split_pair(one.model.outputs[0])
            title = f"drive {one.motion.name} in order"
            build.draft.wire(
                "signals", feed(build, "controller"), f"{one.drive}:{plus}", build.type("signal"), f"{title} feed"
            )
            new_input(build, f"{one.drive}:{minus}", title, "alarm")


def field_row(build: Build) -> Row:
    """The row of terminals of the field wiring."""
    return build.draft.row("X4", "field wiring", bridged=("feed", "returns"))


def _field_feed(build: Build) -> End:
    row = field_row(build)
    if "feed" not in row.groups:
        build.draft.wire(
            "signals", feed(build, "sensors"), row.take("feed"), build.type("control"), "feed of limits and sensors"
        )
    return row.take("feed")


def field_back(build: Build) -> End:
    """A terminal of the field wiring on the 24 V return."""
    row = field_row(build)
    if "returns" not in row.groups:
        build.draft.wire(
            "signals", back(build), row.take("returns"), build.type("control", back=True), "return of sensors"
        )
    return row.take("returns")


def _signal(build: Build, title: str, function: str) -> End:
    slot = field_row(build).take("signals")
    new_input(build, slot, title, function)
    return slot


def _limits(build: Build, motion: Motion, count: int) -> None:
    draft = build.draft
    join: dict[str, tuple[End, End]] = {}
    for n in range(count):
        title = f"{motion.title} end {n + 1}" if count > 1 else f"{motion.title} end"
        name = draft.name("B")
        data = {"use": "limit-switch-break", "title": title, "purpose": "over-travel"}
        draft.part("signals", name, data, "opens at the end of travel: a broken wire reads as the end")
        join[str(2 * n + 1)] = (_field_feed(build), f"{name}:11")
        join[str(2 * n + 2)] = (f"{name}:12", _signal(build, title, "limit"))
    _sensor_cable(build, f"{motion.title} limits", join, motion)


def _home(build: Build, motion: Motion) -> None:
    title = f"{motion.title} home"
    name = build.draft.name("B")
    data = {"use": "proximity-pnp-make", "title": title, "purpose": "home"}
    build.draft.part("signals", name, data, "positive switching, for inputs that sink")
    join: dict[str, tuple[End, End]] = {"1": (_field_feed(build), f"{name}:1"), "2": (field_back(build), f"{name}:3")}
    join["3"] = (f"{name}:4", _signal(build, title, "home"))
    _sensor_cable(build, title, join, motion)


def _sensor_cable(build: Build, title: str, join: dict[str, tuple[End, End]], motion: Motion) -> None:
    length = build.length(build.cable_m(motion.axis.cable))
    shield = (build.shield(),)
    entry = CableEntry(title, build.type("sensor-cable"), length, build.route("field-signals"), join, shield, True)
    build.draft.cables.append(entry)


def operators(build: Build) -> None:
    """Buttons and lamps on the door, as far as the description asks for them."""
    wanted, draft = build.description.operators, build.draft
    if wanted.start:
        _button(
            build,
            "push-button-make",
            "start",
            "WH",
            ("13", "14"),
            "a reset alone moves nothing: it is pressed after it",
        )
    if wanted.hold:
        _button(build, "push-button-break", "feed hold", "BK", ("11", "12"), "opens to hold: a broken wire holds too")
    if wanted.pedal:
        name = draft.name("S")
        draft.part("operators and lamps", name, {"use": "foot-switch-make", "title": "pedal"})
        slot = _signal(build, "pedal", "other")
        join: dict[str, tuple[End, End]] = {"1": (_field_feed(build), f"{name}:13"), "2": (f"{name}:14", slot)}
        length = build.length(build.description.cabinet.distance)
        draft.cables.append(
            CableEntry(
                "pedal",
                build.type("sensor-cable"),
                length,
                build.route("field-signals"),
                join,
                (build.shield(),),
            )
        )
    if "control" in wanted.lamps:
        lamp(build, "lamp-24v-green", "control on", feed(build, "operators"))
    if "running" in wanted.lamps:
        lamp(build, "lamp-24v-white", "program runs", new_output(build, "other"))


def _button(build: Build, key: str, title: str, colour: str, ends: tuple[str, str], why: str) -> None:
    draft = build.draft
    name = draft.name("S")
    draft.part("operators and lamps", name, {"use": key, "title": title, "colour": colour}, why)
    draft.wire("signals", feed(build, "operators"), f"{name}:{ends[0]}", build.type("door"), f"{title} feed")
    new_input(build, f"{name}:{ends[1]}", title, "other", kind="door")


def lamp(build: Build, key: str, title: str, start: End) -> None:
    """A lamp on the door."""
    draft = build.draft
    name = draft.name("H")
    draft.part("operators and lamps", name, {"use": key, "title": title})
    draft.wire("switched", start, f"{name}:X1", build.type("door"), f"lamp {title}")
    draft.wire("switched", f"{name}:X2", back(build), build.type("door", back=True), f"lamp {title} return")


def controller(build: Build) -> None:
    """The controller itself, last of all: how much it must have follows from everything else."""
    draft, card = build.draft, _card(build)
    need = (len(build.inputs), len(build.outputs), 3 * len(build.drives))
    plus, minus = card.supply.between if card and card.supply else ("24V", "0V")
    draft.wire("control", feed(build, "controller"), f"A1:{plus}", build.type("control"), "controller")
    draft.wire("control", f"A1:{minus}", back(build), build.type("control", back=True), "controller return")
    words = f"{need[0]} inputs, {need[1]} outputs of 24 V and {need[2]} of 5 V are used"
    if card is not None:
        _check_card(card, need)
        given = build.description.controller
        assert given is not None
        draft.part("signals", "A1", part_words(given, title="controller"), words)
        return
    spare = [max(count + 1, round(count * (1 + _SPARE))) if count else 0 for count in need[:2]]
    room = int(build.description.room)
    spare[0] += _INPUTS_PER_AXIS * room
    axes = range(1, len(build.drives) + 1 + room) if build.drives else range(0)
    outputs = {f"{letter}{n}": "push-pull 5 V" for n in axes for letter in "PRE"}
    outputs |= {f"O{n}": "pnp" for n in range(1, spare[1] + 1)}
    functions = {f"{letter}{n}": word for n in axes for letter, word in _STEPS}
    functions |= {f"I{n}": word for n, word in enumerate(build.inputs, 1)}
    functions |= {f"O{n}": word for n, word in enumerate(build.outputs, 1)}
    sizes = "0.14..1.5 mm2" if build.rulebook == "iec" else "26..16 AWG"
    data = {
        "kind": "controller",
        "title": "controller",
        "supply": {"between": ["24V", "0V"], "voltage": "24 V DC", "current": "250 mA"},
        "inputs": {f"I{n}": "sink" for n in range(1, spare[0] + 1)},
        "input_type": "3",
        "input_voltage": "24 V DC",
        "common": "0V",
        "outputs": outputs,
        "functions": functions,
        "output_common": "5V0" if axes and not build.small else None,
        "output_current": None if axes else "0.5 A",
        "boot": "off",
        "sizes": sizes,
        "wires_per_terminal": "2",
    }
    why = (
        f"any controller with this much: {words}; outputs of 24 V give 0.5 A or more, and all are off until its program"
    )
    why += " runs, so that nothing moves at power-up"
    draft.part("signals", "A1", data, why)


def _check_card(card: IoCard, need: Sequence[int]) -> None:
    volts = card.supply.voltage.volts if card.supply else CONTROL_V
    if volts != CONTROL_V:
        raise Refused(
            f"the controls need {CONTROL_V:g} V",
            f"the controller takes {volts:g} V",
            "Take one for 24 V, with inputs and outputs for it, or leave `controller` out to have one described.",
            ("controller",),
        )
    have = (len(card.inputs), len(outputs_24v(card)))
    for asked, there, what in zip(need, have, ("inputs", "24 V outputs"), strict=False):
        if asked > there:
            raise _too_few(f"{asked} {what}", there, what)


def _too_few(asked: str, there: int, what: str) -> Refused:
    return Refused(
        f"the machine needs {asked}",
        f"the controller has {there} {what}",
        "Leave `controller` out to have one with enough described, or give a larger one.",
        ("controller",),
    )
