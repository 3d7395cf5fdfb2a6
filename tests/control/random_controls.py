"""Random control circuits on 24 V DC: rungs of contacts in series and parallel, contactors before a heater."""

from __future__ import annotations

import random
from itertools import pairwise

from circuits import _WIRE, _Ladder

_STOP = "S1"


def _rung(rng: random.Random, names: list[str], buttons: list[str]) -> object:
    def leaf() -> str:
        kind = rng.random()
        if kind < 0.35:
            return f"{rng.choice(buttons)}.{rng.choice(['no', 'nc'])}"
        return f"{rng.choice(names)}.{rng.choice(['no', 'no', 'nc'])}"

    def piece(depth: int) -> object:
        if depth == 0 or rng.random() < 0.4:
            return leaf()
        return [rng.choice(["ser", "par"]), *(piece(depth - 1) for _ in range(rng.randint(2, 3)))]

    body = piece(2)
    return ["ser", f"{_STOP}.nc", body] if rng.random() < 0.7 else body


def _with_more(
    rng: random.Random, names: list[str], text: str, extra: list[tuple[str, str]]
) -> tuple[str, list[tuple[str, str]]]:
    """Two relays locked, another one late, and the button S2 held in the way of the heater."""
    one, other, *rest = rng.sample(names, len(names))
    text = text.replace(f"  {one}: {{kind: relay,", f"  {one}: {{kind: relay, interlock: {other},")
    late = rng.choice(rest or [other])
    delay = rng.choice(["on_delay", "off_delay"])
    text = text.replace(f"  {late}: {{kind: relay,", f"  {late}: {{kind: relay, {delay}: 1 s,")
    text = text.replace("  S2: {kind: push-button, contacts: {", "  S2: {kind: push-button, contacts: {91-92: NO, ")
    (feed, first), *others = extra
    return text, [(feed, "S2:91"), ("S2:92", first), *others]


def random_control(seed: int, more: bool = False) -> str:
    """A plan with two to four relays, two buttons, a stop, a lamp or two, and a heater behind one or two contacts; with
    `more` two of the relays are locked, one is late, and one of the buttons is held to run."""
    rng = random.Random(seed)
    names = [f"K{n + 1}" for n in range(rng.randint(2, 4))]
    buttons = ["S2", "S3"]
    ladder = _Ladder({name: _rung(rng, names, buttons) for name in names})
    for name in (_STOP, *buttons):
        if name not in ladder.contacts:
            ladder.contact(f"{name}.nc")
    feeders = rng.sample(names, rng.randint(1, 2))
    ends = [ladder.contact(f"{name}.no") for name in feeders]
    text = ladder.plan()
    extra = [("G1:V+", ends[0][0]), *((a[1], b[0]) for a, b in pairwise(ends))]
    extra += [(ends[-1][1], "E9:1"), ("E9:2", "G1:V-")]
    if rng.random() < 0.5:
        extra += [(f"{rng.choice(names)}:A1", "H9:X1"), ("H9:X2", rng.choice(["G1:V-", f"{rng.choice(names)}:A1"]))]
    lines = "".join(f"  - {{wire: {900 + n}, from: '{a}', to: '{b}', {_WIRE}}}\n" for n, (a, b) in enumerate(extra))
    parts = "  E9: {kind: heater, rated: 24 V DC 24 W, metal: false}\n"
    if "H9" in lines:
        parts += "  H9: {kind: lamp, rated: 24 V DC 1 W}\n"
    for name in feeders:
        missing = [pair for pair in ladder.contacts[name] if pair not in text]
        assert not missing
    if more:
        text, extra = _with_more(rng, names, text, extra)
        lines = "".join(f"  - {{wire: {900 + n}, from: '{a}', to: '{b}', {_WIRE}}}\n" for n, (a, b) in enumerate(extra))
        stops = f"hold: {{devices: [S2], category: 0}}, stop: {{devices: [{_STOP}], category: 0}}"
        held = f"states: {{held: {{E9: on, S2: worked}}}}\nstops: {{{stops}}}\n"
        return text.replace("parts:\n", f"{held}parts:\n{parts}") + lines
    text = text.replace("parts:\n", f"stops: {{stop: {{devices: [{_STOP}], category: 0, reset: S2}}}}\nparts:\n{parts}")
    return text + lines
