"""Whatever is done to the text of a plan, reading it ends in a plan or in faults with places inside the text."""

from __future__ import annotations

import os
import re
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from wiring.plan.listwriter import write_wires
from wiring.plan.read import read, read_text

PLAN = Path(__file__).parents[2] / "specs" / "coil-winder.yaml"
WINDER = PLAN.read_text(encoding="utf-8")
EXAMPLES = int(os.environ.get("WIRING_FUZZ_EXAMPLES", "1500"))
NOISE = st.sampled_from(
    [
        "",
        " ",
        "\n",
        "\t",
        ":",
        ": ",
        "- ",
        ",",
        "{",
        "}",
        "[",
        "]",
        "'",
        '"',
        "#",
        "&a ",
        "*a",
        "!x ",
        "|",
        ">",
        "?",
        "%",
        "@",
        "---\n",
    ]
    + [
        "\x00",
        "\ufeff",
        "\u2028",
        "\x85",
        "ß",
        "漢",
        "😀",
        "1e999",
        "0",
        "-1",
        "NaN",
        "null",
        "true",
        "<<: ",
        "w.csv",
        "9" * 400,
    ]
    + [f"{word}: " for word in ("kind", "use", "wire", "through", "join", "star", "parts")]
)


def edit(pieces: list[str], at: int, deed: str, other: int, noise: str) -> list[str]:
    """The pieces with one of them deleted, doubled, replaced, put in front, or swapped with another."""
    at, other = at % len(pieces), other % len(pieces)
    changed = list(pieces)
    if deed == "swap":
        changed[at], changed[other] = changed[other], changed[at]
        return changed
    changed[at] = {"delete": "", "double": changed[at] * 2, "replace": noise, "insert": noise + changed[at]}[deed]
    return changed


EDIT = st.tuples(
    st.sampled_from(["characters", "tokens", "lines"]),
    st.integers(0, 1 << 20),
    st.sampled_from(["delete", "double", "replace", "insert", "swap"]),
    st.integers(0, 1 << 20),
    NOISE,
)


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(EDIT, min_size=1, max_size=4))
def test_reading_never_raises(edits: list[tuple[str, int, str, int, str]]) -> None:
    text = WINDER
    for unit, at, deed, other, noise in edits:
        if unit == "characters":
            text = "".join(edit(list(text), at, deed, other, noise))
        elif unit == "tokens":
            text = "".join(edit(re.findall(r"\s+|[\w.+-]+|.", text) or [""], at, deed, other, noise))
        else:
            text = "\n".join(edit(text.split("\n"), at, deed, other, noise))
        text = text or " "
    reading = read_text(text)
    assert (reading.plan is None) == bool(reading.faults)
    for fault in reading.faults:
        assert fault.summary
        if fault.place is not None and fault.place.file == "plan":
            assert 1 <= fault.place.line <= len(reading.source.lines)
            assert 1 <= fault.place.column <= len(reading.source.lines[fault.place.line - 1]) + 1


def list_bytes(suffix: str) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"w{suffix}"
        write_wires(path, read(PLAN).plan_or_raise().wires)
        return path.read_bytes()


LISTS = {suffix: list_bytes(suffix) for suffix in (".csv", ".xlsx")}
HEAD, TAIL = WINDER[: WINDER.index("\nwires:")], WINDER[WINDER.index("\ncables:") :]


@settings(max_examples=max(200, EXAMPLES // 10), suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sampled_from(sorted(LISTS)),
    st.lists(st.tuples(st.integers(0, 1 << 20), st.integers(0, 40), st.binary(max_size=12)), min_size=1, max_size=4),
)
def test_reading_a_damaged_list_never_raises(suffix: str, cuts: list[tuple[int, int, bytes]]) -> None:
    data = LISTS[suffix]
    for at, length, filling in cuts:
        start = at % (len(data) + 1)
        data = data[:start] + filling + data[start + length :]
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / f"w{suffix}").write_bytes(data)
        reading = read_text(f"{HEAD}\nwires: w{suffix}\n{TAIL}", "plan", Path(folder))
    assert (reading.plan is None) == bool(reading.faults)
