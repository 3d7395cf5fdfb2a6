"""What is kept from one version of a plan to the next equals what is laid out afresh: a law over random edits."""

from __future__ import annotations

import os
import re
from random import Random

import pytest

from tests.rehearsal.served import SPECS
from wiring.changes.outcome import Unreadable, outcome_of
from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.drawing.screen import KeptBlocks, cabinet_on_screen, screen_sheets
from wiring.drawing.svg import svg_of
from wiring.rehearsal.kept_proof import Kept, with_kept
from wiring.reports.json_report import render_json
from wiring.rules.run import judge

EDITS = int(os.environ.get("WIRING_KEPT_EDITS", "4"))


def edited(text: str, random: Random) -> str:
    """One edit as a person makes it: a comment, a swap of ends, a wire away, a size, a colour, a title, a rating, any
    other quantity."""
    lines = text.split("\n")
    wires = [n for n, line in enumerate(lines) if re.match(r"\s+- \{wire: \S+, from: \S+, to: \S+", line)]
    n = random.choice(wires)

    def one_with(words: str) -> int:
        return random.choice([k for k, line in enumerate(lines) if re.search(words, line)] or [n])

    match random.randrange(12):
        case 0:
            lines.insert(n, "  # a remark")
        case 1:
            lines[n] = re.sub(r"from: (\S+), to: ([^,}]+)", r"from: \2, to: \1", lines[n])
        case 2:
            del lines[n]
        case 3:
            lines[n] = (
                lines[n].replace("}", f", size: {random.choice(['4', '6', '10'])} mm2}}")
                if "size:" not in lines[n]
                else lines[n]
            )
        case 4:
            lines[n] = lines[n].replace("}", ", colour: RD}") if "colour:" not in lines[n] else lines[n]
        case 5:
            n = one_with(r"(?=.*kind:).*title: ")
            lines[n] = re.sub(r"title: [^,}]+", f"title: a name of {random.randrange(99)}", lines[n], count=1)
        case 6:
            n = one_with("rating: ")
            lines[n] = re.sub(r"rating: \d+ A", f"rating: {random.choice([2, 4, 6, 10])} A", lines[n], count=1)
        case 7:
            n = one_with(r"(?=.*kind:).*\d+ (A|W)\b")
            lines[n] = re.sub(r"(\d+) (A|W)\b", lambda found: f"{int(found[1]) + 1} {found[2]}", lines[n], count=1)
        case 8:
            n = one_with("NC|NO")
            lines[n] = lines[n].replace("NC", "N?").replace("NO", "NC").replace("N?", "NO")
        case _:
            n, place = random.choice(
                [(k, found.span(1)) for k, line in enumerate(lines) for found in re.finditer(r": (\d+(\.\d+)?) ", line)]
            )
            value = float(lines[n][slice(*place)]) * random.choice([0.5, 0.9, 1.1, 2.0])
            lines[n] = f"{lines[n][: place[0]]}{value:.4g}{lines[n][place[1] :]}"
    return "\n".join(lines)


def drawn(design: Design, kept: KeptBlocks) -> list[str]:
    """The circuits and the cabinet on the screen."""
    return [svg_of(one, live=True) for one in (*screen_sheets(design, kept), *cabinet_on_screen(design, 99, kept))]


@pytest.mark.parametrize("name", ["coil-winder", "bench-press-feeder"])
def test_kept_sheets_are_those_of_a_fresh_layout(name: str) -> None:
    random, kept = Random(name), KeptBlocks()
    whole = text = (SPECS / f"{name}.yaml").read_text("utf-8")
    compared = 0
    while compared < EDITS:
        text = edited(text if random.random() < 0.8 else whole, random)
        design = load_text(text, f"{name}.yaml", SPECS).design
        if design is None:
            text = whole
            continue
        assert drawn(design, kept) == drawn(design, KeptBlocks())
        compared += 1


@pytest.mark.parametrize("name", ["coil-winder", "drum-sander"])
def test_a_kept_proof_tells_what_a_fresh_one_does(name: str) -> None:
    """Every finding, question and figure of the report, byte for byte, with proofs kept over all the edits before."""
    random, kept = Random(f"{name} proof"), Kept()
    whole = text = (SPECS / f"{name}.yaml").read_text("utf-8")
    compared = 0
    while compared < EDITS:
        text = edited(text if random.random() < 0.7 else whole, random)
        try:
            outcome = outcome_of(text, f"{name}.yaml", SPECS)
        except Unreadable:
            text = whole
            continue
        again = outcome_of(text, f"{name}.yaml", SPECS)
        assert render_json(judge(with_kept(outcome, kept).design)) == render_json(judge(again.design))
        compared += 1
    assert kept


def test_a_remark_in_the_file_lays_nothing_out_anew() -> None:
    text = (SPECS / "coil-winder.yaml").read_text("utf-8")
    kept = KeptBlocks()
    for version in (text, "# a remark\n" + text):
        design = load_text(version, "winder.yaml", SPECS).design
        assert design is not None
        screen_sheets(design, kept)
    assert len(kept._found) == len(screen_sheets(design, KeptBlocks()))
