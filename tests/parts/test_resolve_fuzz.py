"""Slips of the pen in a plan's parts and in a library file: every one is read or said, and none breaks the resolver."""

from __future__ import annotations

import os
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from wiring.parts.resolve import resolve_parts
from wiring.plan.read import read, read_text

EXAMPLES = int(os.environ.get("WIRING_FUZZ_EXAMPLES", "300"))
_TEXT = Path("specs/bench-press-feeder.yaml").read_text(encoding="utf-8")
HEAD = "format: 1\nmachine: x\nrulebook: na\n"
PARTS = _TEXT[_TEXT.index("parts:") : _TEXT.index("# Colours:")]
LIBRARY = Path("wiring/parts/library/switching.yaml").read_text(encoding="utf-8")
PIECES = (
    *("", " ", "\n", ":", ",", "{", "}", "[", "]", "'", '"', "-", "#", "&a", "*a", "!x", "\x00", "é", "~"),
    *("0", "1e999", "13-14", "A1", "kind", "use", "terminals", "{A1: X}", "contacts", "relay", "NO", "NC mirror"),
    *("V", "5 V DC", "0 A", "-3 W", "24 V DC 0 W"),
)


@st.composite
def slips(draw, text: str) -> str:
    """The text with one to three pieces deleted, put in, or moved."""
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 12)))
        text = text[:start] + draw(st.sampled_from(PIECES)) + text[end:]
    return text


@settings(max_examples=EXAMPLES)
@given(slips(PARTS))
def test_no_slip_in_the_parts_breaks_the_resolver(text):
    reading = read_text(HEAD + text)
    faults = list(reading.faults)
    parts = resolve_parts(reading, faults)
    assert faults or len(parts) == len(reading.parts)
    assert all(fault.place is not None for fault in faults)


@settings(max_examples=EXAMPLES // 3)
@given(slips(LIBRARY))
def test_no_slip_in_a_library_file_breaks_the_resolver(tmp_path_factory, text):
    folder = tmp_path_factory.mktemp("bench")
    (folder / "parts").mkdir()
    (folder / "parts" / "own.yaml").write_text(text, encoding="utf-8")
    plan = folder / "plan.yaml"
    plan.write_text(
        HEAD + "library: [parts]\nparts:\n  K1: {use: contactor-9a-24v-dc}\n  K0: {use: safety-relay-24v-dc}\n",
        encoding="utf-8",
    )
    reading = read(plan)
    faults = list(reading.faults)
    parts = resolve_parts(reading, faults)
    assert faults or list(parts) == ["K1", "K0"]
