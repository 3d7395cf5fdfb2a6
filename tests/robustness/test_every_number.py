"""Every number of every spec at values that it never has: refused at its place, or judged without a failure.

CI tries a sample drawn by the hash of each plan's text; `WIRING_NUMBERS=all` tries every number.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from wiring.design.load import load_text
from wiring.rules.run import judge

SPECS = Path(__file__).parents[2] / "specs"
NAMES = sorted(path.name for path in SPECS.glob("*.yaml"))
#: A number with its unit behind it, as a value of a plan has it; names such as `200.1` and terminals have none.
UNITS = "mm2|mm|m|in|AWG|A|V|W|VA|ohm|kA|mA|kW|°C|°F|%|Hz|rpm|N·m|mH|µF|oz·in|lb·in|hp|ms|s|kg"
NUMBER = re.compile(rf"(?<![\w.:/+-])(\d+\.?\d*)(?= (?:{UNITS})(?!\w))")
WAYS = {
    "zero": lambda text: "0",
    "negative": lambda text: f"-{text}",
    "million times": lambda text: f"{float(text) * 1e6:.15g}",
    "1e300": lambda text: "1e300",
}
SAMPLE = 5


def _is_words(text: str, at: int) -> bool:
    """Whether a number stands in a comment or in a text for people."""
    before = text[text.rfind("\n", 0, at) + 1 : at]
    return "#" in before or "contact_rating" in before[-40:] or "title:" in before.rsplit(",", 1)[-1]


def places(name: str, way: str) -> list[re.Match[str]]:
    """The numbers of a plan that are tried."""
    text = (SPECS / name).read_text("utf-8")
    found = [one for one in NUMBER.finditer(text) if not _is_words(text, one.start())]
    if os.environ.get("WIRING_NUMBERS") == "all":
        return found
    seed = sha256(f"{text}{way}".encode()).digest()
    return Random(seed).sample(found, min(SAMPLE, len(found)))


def tried(name: str, way: str) -> Iterator[tuple[int, str, list[str]]]:
    """Line and value of every number tried, with what is wrong with the answer."""
    text = (SPECS / name).read_text("utf-8")
    for number in places(name, way):
        value = WAYS[way](number[1])
        line = text.count("\n", 0, number.start()) + 1
        loaded = load_text(text[: number.start()] + value + text[number.end() :], name, SPECS)
        if loaded.design is None:
            wrong = [] if any(f.place and f.place.line == line for f in loaded.faults) else ["no fault at its place"]
            wrong += [str(fault) for fault in loaded.faults if not (fault.expected or fault.mend or fault.near)]
        else:
            wrong = list(judge(loaded.design).crashed)
        yield line, value, wrong


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", NAMES)
def test_a_number_of_no_sense_is_refused_at_its_place_or_judged(name: str, way: str) -> None:
    assert [row for row in tried(name, way) if row[2]] == []


@pytest.mark.parametrize("name", NAMES)
def test_nothing_at_1e300_is_taken_for_a_number(name: str) -> None:
    """No quantity of a machine reaches 1e300: each is refused."""
    text = (SPECS / name).read_text("utf-8")
    for number in places(name, "1e300"):
        changed = text[: number.start()] + "1e300" + text[number.end() :]
        assert load_text(changed, name, SPECS).design is None, text[number.start() - 30 : number.end() + 10]
