"""The pack as a PDF reader sees it: pages, bookmarks, tags, faces, words; and the same bytes for the same plan."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from hashlib import sha256
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml
from pypdf import PdfReader

from tests.hostile import hostile
from wiring.design.load import Loaded, load
from wiring.documents.label_sheet import label_sheet
from wiring.documents.pack import pack_pdf
from wiring.reports.pack_words import pack_words
from wiring.rules.run import judge, rule_texts

ROOT = Path(__file__).parents[2]
GANTRY = ROOT / "specs" / "foam-gantry.yaml"
ACCEPTED = """
accepted:
  - {finding: conductor-overloaded, part: "104", reason: the duct is open here, by: A. Builder, date: 2026-03-01}
"""
#: Sides of ISO 216 and of the North American sizes [mm].
SIDES = {"A4": (210, 297), "A3": (297, 420), "letter": (215.9, 279.4), "tabloid": (279.4, 431.8)}


def pack_of(loaded: Loaded) -> bytes:
    assert loaded.design is not None, loaded.faults
    report = judge(loaded.design)
    return pack_pdf(loaded.design, report, pack_words(loaded.design, report, loaded.sources, rule_texts(report)))


@pytest.fixture(scope="module")
def gantry() -> PdfReader:
    return PdfReader(BytesIO(pack_of(load(GANTRY))))


def paper(page: Any) -> str:
    sides = sorted(float(side) / 72 * 25.4 for side in (page.mediabox.width, page.mediabox.height))
    return next(
        (name for name, size in SIDES.items() if all(abs(a - b) < 0.5 for a, b in zip(sides, size, strict=True))), ""
    )


def words(reader: PdfReader) -> str:
    """The text of all pages but the sheets of the drawing."""
    return " ".join(page.extract_text() for page in reader.pages if paper(page) not in ("A3", "tabloid"))


def titles(outline: Any) -> list[str]:
    found = []
    for entry in outline:
        found += titles(entry) if isinstance(entry, list) else [entry.title]
    return found


def test_the_pack_has_a_bookmark_for_everything_that_goes_to_the_bench(gantry: PdfReader) -> None:
    found = titles(gantry.outline)
    for title in (
        "Revisions",
        "Findings and acceptances",
        "Not judged",
        "Power budget",
        "Stop proof in short",
        "Drawing",
        "Wires",
        "Cables",
        "Terminal plan",
        "Bill of material",
        "Cut lengths",
        "Spares",
        "Inspection",
        "First power-up",
    ):
        assert title in found
    assert any(title.startswith("Sheet 3: ") for title in found)


def test_sheets_are_a3_and_the_rest_a4(gantry: PdfReader) -> None:
    papers = [paper(page) for page in gantry.pages]
    sheets = sum(title.startswith("Sheet ") for title in titles(gantry.outline))
    assert papers.count("A3") == sheets
    assert papers.count("A4") == len(papers) - sheets
    assert papers[0] == "A4"


def test_a_north_american_pack_is_on_letter_and_tabloid() -> None:
    reader = PdfReader(BytesIO(pack_of(load(ROOT / "specs" / "bench-press-feeder.yaml"))))
    assert {paper(page) for page in reader.pages} == {"letter", "tabloid"}
    assert "NFPA 79" in words(reader)
    assert_signed_below_the_last_row(reader)


def assert_signed_below_the_last_row(reader: PdfReader) -> None:
    """Each of the 18 stages of the first power-up is signed on a page that holds a row of it."""
    signed = []
    for text in (page.extract_text() for page in reader.pages):
        for gate in re.finditer(r"Stage (\d+) in order", text):
            signed.append(int(gate[1]))
            assert re.search(rf"(?m)^{gate[1]}\.\d", text[: gate.start()]), gate[0]
    assert signed == list(range(1, 19))


def test_the_pack_is_tagged_and_names_its_title_and_language(gantry: PdfReader) -> None:
    """What PDF/UA-1 (ISO 14289-1) asks for: marked content, a structure tree, a language, a title."""
    root = gantry.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in root
    assert root["/Lang"] == "en"
    assert gantry.metadata.title == "Foam-shaping gantry: wiring pack"


def test_every_face_is_embedded(gantry: PdfReader) -> None:
    seen = set()
    for page in gantry.pages:
        for font in (page["/Resources"].get("/Font") or {}).values():
            base = font.get_object()
            for below in base.get("/DescendantFonts", [base]):
                descriptor = below.get_object()["/FontDescriptor"].get_object()
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)
                seen.add(str(base["/BaseFont"]).partition("+")[2])
    assert seen


def test_cautions_stand_on_the_cover_and_at_the_end(gantry: PdfReader) -> None:
    for page in (gantry.pages[0], gantry.pages[-1]):
        text = " ".join(page.extract_text().split())
        assert "it does not certify" in text
        assert "prove every conductor dead" in text


def test_every_wire_and_cable_of_the_plan_is_in_the_pack(gantry: PdfReader) -> None:
    plan = yaml.load(GANTRY.read_text("utf-8"), Loader=yaml.BaseLoader)
    text = set(words(gantry).split())
    numbers = [wire["wire"] for wire in plan["wires"] if "through" not in wire]
    chains = [f"{w['wire']}.{n}" for w in plan["wires"] for n, _ in enumerate(pairwise(w.get("through", ())), 1)]
    cables = [cable["cable"] for cable in plan["cables"]]
    assert [name for name in numbers + chains + cables if name not in text] == []


def test_findings_and_acceptances_are_printed_with_their_reasons() -> None:
    text = (ROOT / "specs" / "faulty" / "conductor-overloaded-dipper.yaml").read_text("utf-8")
    from wiring.design.load import load_text

    text = text.replace("accepted: []", "")
    assert "accepted:" not in text
    reader = PdfReader(BytesIO(pack_of(load_text(text, "p.yaml"))))
    assert_leads_there_and_back(reader)
    open_one = " ".join(words(reader).split())
    assert "Accepted by the builder" not in open_one
    assert "conductor-overloaded" in open_one
    assert "Date not given" in open_one
    dated = PdfReader(BytesIO(pack_of(load_text("date: 2026-04-05\n" + text + ACCEPTED, "p.yaml"))))
    assert all(
        "2026-04-05" in page.extract_text() for page in dated.pages if page == dated.pages[0] or paper(page) == "A3"
    )
    accepted = " ".join(words(dated).split())
    assert "Accepted by the builder, not mended" in accepted
    assert "the duct is open here (A. Builder 2026-03-01)" in accepted


def assert_leads_there_and_back(reader: PdfReader) -> None:
    """Findings name their sheets, and their marks on those lead back to them."""
    ends: dict[str, set[str]] = {}
    for page in reader.pages:
        for link in page.get("/Annots") or ():
            ends.setdefault(paper(page), set()).add(str(link.get_object().get("/Dest")))
    findings = {end for end in ends["A3"] if end.startswith("finding-")}
    sheets = {end for end in ends["A4"] if end.startswith("sheet-")}
    assert findings
    assert sheets
    assert findings | sheets <= reader.named_destinations.keys()


def test_hostile_names_come_out_as_text() -> None:
    """Typst markup and script in names stay words; letters that the faces lack are told by their code."""
    pdf = pack_of(hostile())
    reader = PdfReader(BytesIO(pdf))
    cover = "".join(reader.pages[0].extract_text().split()).replace("\u200b", "")
    assert "<script>window.bad=1</script>" in cover
    assert "<U+202E>" in cover
    assert "<U+4E2D>" in cover
    assert b"/JavaScript" not in pdf


def test_the_same_plan_gives_the_same_bytes_for_any_hash_seed() -> None:
    script = (
        "from tests.documents.test_pack import pack_of, ROOT, load; from hashlib import sha256;"
        "print(sha256(pack_of(load(ROOT / 'specs' / 'coil-winder.yaml'))).hexdigest())"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", script],
            cwd=ROOT,
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout.strip()
        for seed in ("1", "2")
    }
    assert found == {sha256(pack_of(load(ROOT / "specs" / "coil-winder.yaml"))).hexdigest()}


@pytest.mark.parametrize(("name", "sides"), [("A4", SIDES["A4"]), ("letter", SIDES["letter"])])
def test_labels_are_printed_on_the_paper_that_was_asked_for(name: str, sides: tuple[float, float]) -> None:
    found = load(ROOT / "specs" / "coil-winder.yaml").design
    assert found is not None
    pdf = label_sheet(found, name, ("Mind the cautions.",))
    reader = PdfReader(BytesIO(pdf))
    assert {paper(page) for page in reader.pages} == {name}
    assert float(reader.pages[0].mediabox.width) / 72 * 25.4 == pytest.approx(sides[0], abs=0.5)
    text = words(reader)
    assert text.count("Mind the cautions.") == len(reader.pages)
    assert "G1:V+" in text
    assert pdf == label_sheet(found, name, ("Mind the cautions.",))


def test_no_page_of_the_pack_is_blank(tmp_path: Path) -> None:
    """Every page, painted by a second program, has ink on it."""
    if shutil.which("pdftoppm") is None:
        message = "pdftoppm (Debian package poppler-utils) is missing"
        pytest.fail(message) if os.environ.get("CI") == "true" else pytest.skip(message)
    path = tmp_path / "pack.pdf"
    path.write_bytes(pack_of(load(ROOT / "specs" / "coil-winder.yaml")))
    subprocess.run(
        ["pdftoppm", "-r", "20", "-gray", str(path), str(tmp_path / "page")], check=True, capture_output=True
    )
    pictures = sorted(tmp_path.glob("page-*.pgm"))
    assert len(pictures) == len(PdfReader(path).pages)
    for picture in pictures:
        pixels = picture.read_bytes().split(b"\n", 3)[3]
        assert sum(value < 200 for value in pixels) > 50, picture.name
