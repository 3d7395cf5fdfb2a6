"""power-up and readings from the command line: exit states, formats, faults of a file told to people."""

import csv
import json
from io import StringIO
from pathlib import Path

import pytest
from powerup_cases import builder_of
from pypdf import PdfReader
from typer.testing import CliRunner

from tests.browser import chromium
from wiring.cli import app
from wiring.powerup.arrange import minutes
from wiring.powerup.step import Stage

PLAN = str(Path(__file__).parents[2] / "specs" / "coil-winder.yaml")
run = CliRunner()
#: A point of a PDF [mm].
MM = 25.4 / 72.0


@pytest.fixture(scope="module")
def rows():
    result = run.invoke(app, ["power-up", PLAN, "--format", "csv", "--full"])
    assert result.exit_code == 0
    return list(csv.DictReader(StringIO(result.stdout)))


def written(tmp_path, rows, changed):
    """The sheet filled in: every numeric line at the middle of its limits, but the changed ones."""
    path = tmp_path / "readings.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, list(rows[0]))
        out.writeheader()
        for row in rows:
            out.writerow({**row, "reading": changed.get(row["line"], "")})
    return str(path)


def test_the_csv_has_an_empty_column_for_readings(rows):
    assert {row["reading"] for row in rows} == {""}
    assert [row["line"] for row in rows][:2] == ["1.1", "1.2"]
    without = ("Residual voltage after switching off", "Insulation")
    live = [row for row in rows if row["meter"] in ("V DC", "V AC", "ohm") and row["stage"] not in without]
    assert len(live) > 60
    assert all(row["set"] for row in live)


@pytest.mark.parametrize("width", ["40", "80", "132"])
def test_the_text_fits_the_terminal(width, monkeypatch):
    monkeypatch.setenv("COLUMNS", width)
    result = run.invoke(app, ["power-up", PLAN])
    assert result.exit_code == 0
    assert max(map(len, result.stdout.splitlines())) <= int(width)
    assert "qualified persons" in " ".join(result.stdout.split())
    assert "18.2.2" in result.stdout


@pytest.fixture(scope="module")
def paper(tmp_path_factory):
    """Every printed text with its place and page [mm], and by page the rules from edge to edge, from below."""
    pdf = tmp_path_factory.mktemp("paper") / "sheet.pdf"
    assert run.invoke(app, ["power-up", PLAN, "--format", "pdf", "--out", str(pdf)]).exit_code == 0
    texts, rules = [], []
    for n, page in enumerate(PdfReader(pdf).pages):
        found, start = set(), [0.0, 0.0]

        def operand(name, numbers, cm, _tm, found=found, start=start):
            if name in (b"m", b"l"):
                x, y = map(float, numbers)
                x, y = MM * (cm[0] * x + cm[2] * y + cm[4]), MM * (cm[1] * x + cm[3] * y + cm[5])
                if name == b"l" and abs(y - start[1]) < 0.1 and abs(x - start[0]) > 260.0:
                    found.add(round(y, 2))
                start[:] = x, y

        def text(words, cm, tm, *_font, n=n):
            if words.strip():
                x, y = (MM * (tm[4] * cm[i] + tm[5] * cm[2 + i] + cm[4 + i]) for i in (0, 1))
                texts.append((words.strip(), n, x, y))

        page.extract_text(visitor_operand_before=operand, visitor_text=text)
        rules.append(sorted(found))
    return texts, rules


def test_every_row_on_paper_is_8_mm_high_with_what_to_do_beside_it(paper):
    """By the rules above and below its number, as they are drawn in the PDF; and one signed gate a stage."""
    texts, rules = paper
    sheet = builder_of("coil-winder").sheet()
    heights, wrong = {}, {line.id: line.wrong.split()[0] for line in sheet.main}
    for words, page, x, y in texts:
        if words in wrong and x < 20.0:
            low, high = max(rule for rule in rules[page] if rule < y), min(rule for rule in rules[page] if rule > y)
            beside = [other for other, at, x, y in texts if at == page and x > 200.0 and low < y < high]
            heights[words] = high - low
            if not words[-1].isalpha() and not next(line for line in sheet.main if line.id == words).acts:
                assert any(wrong[words] in other.split() for other in beside), (words, beside)
    assert set(heights) == set(wrong)
    assert min(heights.values()) >= 8.0
    gates = [words for words, *_ in texts if "nobody goes on without it" in words]
    assert len(gates) == len({line.stage for line in sheet.main})
    assert sum("Signed" in words for words, *_ in texts) == len(gates)


def test_pdf_and_html(tmp_path):
    page = tmp_path / "sheet.html"
    assert run.invoke(app, ["power-up", PLAN, "--format", "html", "--out", str(page)]).exit_code == 0
    text = page.read_text(encoding="utf-8")
    assert "src=" not in text  # one file: nothing comes from outside
    assert "href=" not in text
    assert "G1:V+" in text
    refused = run.invoke(app, ["power-up", PLAN, "--format", "pdf"])
    assert refused.exit_code == 2


def test_readings_in_order_and_one_that_is_not(tmp_path, rows):
    bond = next(row for row in rows if row["black"] == "BED:1")
    good = run.invoke(app, ["readings", PLAN, written(tmp_path, rows, {bond["line"]: "24.5 mohm"})])
    assert good.exit_code == 0
    assert "every one within its limits" in good.stdout
    bad = run.invoke(app, ["readings", PLAN, written(tmp_path, rows, {bond["line"]: "OL"})])
    assert bad.exit_code == 1
    assert "PE6" in bad.stdout


def test_a_sheet_without_a_reading_is_not_in_order(tmp_path, rows):
    """Nothing was held against the plan, so nothing may be called in order."""
    result = run.invoke(app, ["readings", PLAN, written(tmp_path, rows, {})])
    assert result.exit_code == 2
    assert "nothing was judged" in result.stdout
    assert "within its limits" not in result.stdout


def test_the_answer_as_json_names_the_cause_and_the_next_place(tmp_path, rows):
    line = next(row for row in rows if row["red"] == "K0:A1" and row["meter"] == "V DC")
    result = run.invoke(app, ["readings", PLAN, written(tmp_path, rows, {line["line"]: "0.0"}), "--format", "json"])
    data = json.loads(result.stdout)
    assert result.exit_code == 1
    ids = [cause["id"] for group in data["groups"] for cause in group["causes"]]
    assert {"open:304", "blown:F5:1-2"} <= set(ids)
    assert data["next"]["red"]
    assert len(data["next"]["outcomes"]) > 1


def test_a_further_measurement_is_read_from_a_row_of_its_own(tmp_path, rows):
    line = next(row for row in rows if row["red"] == "K0:A1" and row["meter"] == "V DC")
    extra = {"line": f"{line['line']}+", "meter": "V DC", "red": "X1:2", "black": "X2:2", "reading": "24.0"}
    path = tmp_path / "more.csv"
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.DictWriter(file, list(rows[0]))
        out.writeheader()
        out.writerow({**line, "reading": "0.0"})
        out.writerow(extra)
    data = json.loads(run.invoke(app, ["readings", PLAN, str(path), "--format", "json"]).stdout)
    first = [cause["id"] for cause in data["groups"][0]["causes"]]
    assert "open:304" in first
    assert "blown:F5:1-2" not in first


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "no column"),
        ("a,b\n1,2\n", "no column"),
        ("line,reading\n99.9,3\n", "no line"),
        ("line,reading\n1.3a,about right\n", "no reading"),
        ("line,reading,meter,red,black\n8.1+,3,V DC,NOPE:1,K0:A2\n", "no terminal"),
        ("line,reading,meter,red,black\n8.1+,3,kg,K0:A1,K0:A2\n", "is none"),
    ],
)
def test_faults_of_a_file_are_told(tmp_path, text, told):
    path = tmp_path / "bad.csv"
    path.write_text(text, encoding="utf-8")
    result = run.invoke(app, ["readings", PLAN, str(path)])
    assert result.exit_code == 2
    assert told in result.stderr
    assert "Traceback" not in result.stderr


def test_bytes_that_are_no_text_and_a_file_that_is_not_there(tmp_path):
    path = tmp_path / "bytes.csv"
    path.write_bytes(b"\xff\xfe\x00\x81")
    assert run.invoke(app, ["readings", PLAN, str(path)]).exit_code == 2
    assert run.invoke(app, ["readings", PLAN, str(tmp_path / "none.csv")]).exit_code == 2
    assert run.invoke(app, ["readings", PLAN]).exit_code == 2


def test_a_wrong_reading_that_no_network_answers_says_what_it_may_mean(tmp_path, rows):
    """A hot cabinet, a charged bus and a long loop: no single fault of the wiring is held against these lines."""
    path = tmp_path / "warm.csv"
    air = next(row["line"] for row in rows if row["meter"] == "°C")
    bus = next(row["line"] for row in rows if row["stage"].startswith("Residual"))
    path.write_text(f"line,reading\n{air},90\n{bus},not ok\n", encoding="utf-8")
    told = run.invoke(app, ["readings", PLAN, str(path)])
    words = " ".join(told.stdout.split())
    assert told.exit_code == 1
    assert "It may mean: fan, filter" in words
    assert "It may mean: wait, use a resistor" in words
    assert "None of the single faults" not in words
    data = json.loads(run.invoke(app, ["readings", PLAN, str(path), "--format", "json"]).stdout)
    assert data["groups"] == []


def test_the_csv_gives_limits_as_plain_numbers(rows):
    low = next(row["low"] for row in rows if row["expected"] == "below 500 mV")
    assert float(low) == -0.5


def test_asked_line_by_line_stops_at_the_first_wrong_one(rows):
    """Every line is left out but the bond of G1, and the input goes on behind it."""
    bond = next(row for row in rows if row["black"] == "G1:PE" and row["meter"].startswith("milliohm"))
    asked = [row["line"] for row in rows if row["red"] or "Read the value" in row["action"]]
    answers = "\n" * asked.index(bond["line"]) + "0.4 ohm\n" + "ok\n" * 3
    result = run.invoke(app, ["readings", PLAN, "--ask"], input=answers)
    assert result.exit_code == 1
    assert "G1" in result.stdout


def test_symptoms_name_parts_of_this_plan():
    listed = run.invoke(app, ["readings", PLAN, "--symptoms"])
    assert listed.exit_code == 0
    assert "hums-does-not-turn" in listed.stdout
    told = run.invoke(app, ["readings", PLAN, "--symptom", "motor hums but does not turn"])
    assert told.exit_code == 0
    assert "M1" in told.stdout
    assert "848 mohm" in told.stdout
    assert run.invoke(app, ["readings", PLAN, "--symptom", "xyzzy"]).exit_code == 2


def test_the_form_saves_on_a_phone_what_readings_reads(tmp_path):
    """390 px wide, nothing beyond the edge; what is typed comes back after a reload and as a CSV for `readings`."""
    page_file = tmp_path / "sheet.html"
    assert run.invoke(app, ["power-up", PLAN, "--format", "html", "--out", str(page_file)]).exit_code == 0
    with chromium() as browser:
        page = browser.new_page(viewport={"width": 390, "height": 844})
        failed = []
        page.on("pageerror", lambda problem: failed.append(problem))
        page.goto(page_file.as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        low = page.evaluate("[...document.querySelectorAll('input,select')].map(e => e.getBoundingClientRect().height)")
        assert min(low) >= 28
        page.locator("[data-line='1.3a']").fill("230 V")
        page.wait_for_timeout(300)  # the browser writes down what it keeps a moment later
        page.reload()
        assert page.locator("[data-line='1.3a']").input_value() == "230 V"
        with page.expect_download() as download:
            page.locator("#save").click()
        download.value.save_as(tmp_path / "readings.csv")
        assert failed == []
    told = run.invoke(app, ["readings", PLAN, str(tmp_path / "readings.csv")])
    assert told.exit_code == 1
    assert "230 V; expected below 500 mV" in " ".join(told.stdout.split())


@pytest.mark.parametrize("more", [(), ("--full",)])
def test_the_text_counts_its_rows_and_hours(more):
    told = run.invoke(app, ["power-up", PLAN, *more], env={"COLUMNS": "80"}).stdout
    hours, left = divmod(round(minutes(builder_of("coil-winder").sheet().main)), 60)
    assert f" rows, about {hours} h {left:02d} min" in " ".join(told.split())
    assert ("Asked for when something is wrong" in told) == bool(more)
    assert told.count("Every row in order: name") == len(Stage)
