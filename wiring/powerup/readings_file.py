"""The sheet as a CSV with an empty column for readings, and the same file read back."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from io import StringIO
from math import inf
from pathlib import Path

from wiring.circuit.model import named
from wiring.plan.fault import nearest
from wiring.powerup.next_place import extra_line
from wiring.powerup.predict import Predictor
from wiring.powerup.reading import Reading
from wiring.powerup.step import Line, Meter, Sheet
from wiring.powerup.survey import Survey
from wiring.powerup.words import NoReadingError, expected_words, node_of, parse_reading, probe_words, setting_words
from wiring.wording import spreadsheet_text

COLUMNS = (
    "line",
    "stage",
    "who",
    "set",
    "action",
    "meter",
    "category",
    "red",
    "black",
    "at",
    "expected",
    "low",
    "high",
    "unit",
    "if wrong",
    "test",
    "reading",
)
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?(e[+-]?\d+)?")
_LARGEST_BYTES = 4_000_000


@dataclass(frozen=True, slots=True)
class ReadFaults(Exception):  # noqa: N818 - names what the file has
    """Everything that is wrong with a file of readings, a sentence each."""

    sentences: tuple[str, ...]


def sheet_csv(
    sheet: Sheet,
    survey: Survey,
    *,
    full: bool = False,
    readings: Mapping[str, str] | None = None,
    further: Iterable[Mapping[str, str]] = (),
) -> str:
    """The sheet, with `full` its annex too: one row a line, the column `reading` as in `readings` by line, else empty;
    behind them `further` rows by column.

    Cells that a spreadsheet would run are marked.
    """
    stream = StringIO()
    out = csv.writer(stream, lineterminator="\n")
    out.writerow(COLUMNS)
    for line in sheet.lines if full else sheet.main:
        cells = row_of(line, survey) | {"reading": (readings or {}).get(line.id, "")}
        out.writerow([_guarded(cells[column]) for column in COLUMNS])
    for row in further:
        out.writerow([_guarded(row.get(column, "")) for column in COLUMNS])
    for name in sheet.failed:
        cells = {"action": f"{name} failed, and what it judges stays unchecked"}
        out.writerow([cells.get(column, "") for column in COLUMNS])
    return stream.getvalue()


def row_of(line: Line, survey: Survey) -> dict[str, str]:
    """The cells of a line by their columns, without a reading."""
    low, high = line.expected.low, line.expected.high
    cells = [
        line.id,
        line.stage.title,
        line.who.value,
        setting_words(survey, line.setting) if line.setting else "",
        line.action,
        line.meter.value,
        line.access.category if line.access else "",
        named(line.red) if line.red else "",
        named(line.black) if line.black else "",
        probe_words(line, survey),
        expected_words(line),
        "" if low == -inf else f"{low:.6g}",
        "" if high == inf else f"{high:.6g}",
        line.meter.unit,
        line.wrong,
        str(line.test) if line.test else "",
        "",
    ]
    return dict(zip(COLUMNS, cells, strict=True))


def _guarded(cell: str) -> str:
    """A cell that a spreadsheet would run is marked; a number with a sign is none."""
    return cell if _NUMBER.fullmatch(cell) else spreadsheet_text(cell)


def read_readings(path: Path, predictor: Predictor) -> list[Reading]:
    """The readings of a filled sheet; rows without one are left out. Raises ReadFaults with every fault of the file.

    A row whose line ends with a plus is a further measurement in the position of that line: its red, black and meter
    say where.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise ReadFaults((f"{path} is larger than {_LARGEST_BYTES // 1_000_000} MB; this is no file of readings.",))
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeError) as problem:
        why = problem.strerror if isinstance(problem, OSError) else "it is no UTF-8 text"
        raise ReadFaults((f"{path} cannot be read: {why}. Expected the CSV that `wiring power-up` writes.",)) from None
    return _parsed(text, path.name, predictor)


def _parsed(text: str, name: str, predictor: Predictor) -> list[Reading]:
    try:
        rows = list(csv.DictReader(StringIO(text), restkey="beyond"))
    except csv.Error as problem:
        raise ReadFaults((f"{name} is no CSV: {problem}.",)) from None
    header = set(rows[0]) if rows else set()
    missing = {"line", "reading"} - header
    if missing:
        columns = " and ".join(sorted(missing))
        raise ReadFaults((f"{name} has no column {columns}. Expected the CSV that `wiring power-up` writes.",))
    known = {line.id: line for line in predictor.to.lines}
    readings, faults = [], []
    for number, row in enumerate(rows, 2):
        if not (row.get("reading") or "").strip():
            continue
        try:
            readings.append(_reading(row, known, predictor))
        except NoReadingError as problem:
            faults.append(f"{name}, row {number}: {problem}")
    if faults:
        raise ReadFaults(tuple(faults))
    return readings


def _reading(row: dict[str, str], known: dict[str, Line], predictor: Predictor) -> Reading:
    name = (row["line"] or "").strip().lstrip("'")
    line = known.get(name.rstrip("+"))
    if line is None:
        near = nearest(name, list(known))
        hint = f" Nearest: {', '.join(near)}." if near else ""
        raise NoReadingError(f"the sheet has no line {name[:20]!r}.{hint}")
    if name.endswith("+"):
        line = _further(row, line, predictor)
    return Reading(line, parse_reading(row["reading"], line.meter))


def _further(row: dict[str, str], like: Line, predictor: Predictor) -> Line:
    nodes = predictor.survey.circuit.nodes
    ends = []
    for column in ("red", "black"):
        text = (row.get(column) or "").lstrip("'")
        node = node_of(text, nodes)
        if node is None:
            raise NoReadingError(f"{column} {text[:30]!r} is no terminal of the plan. Expected PART:TERMINAL.")
        ends.append(node)
    meter = (row.get("meter") or "").strip()
    if meter not in (Meter.OHM, Meter.DC_V, Meter.AC_V):
        raise NoReadingError(f"meter {meter[:20]!r} is none. Expected ohm, V DC or V AC.")
    if like.setting is None:
        raise NoReadingError(f"line {like.id} has no position of the machine. Name a line with a reading.")
    return extra_line(predictor, like, Meter(meter), ends[0], ends[1])
