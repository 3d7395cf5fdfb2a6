"""Lists that would fill the memory or never end are refused; bytes changed at random are read or refused.

CI tries 400 changed lists; `WIRING_LIST_BYTES=100000` tries as many as it says.
"""

from __future__ import annotations

import os
import subprocess
import sys
from io import BytesIO
from pathlib import Path
from random import Random
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook

from wiring.plan.listwriter import write_wires
from wiring.plan.read import read, read_text

ROOT = Path(__file__).parents[2]
WINDER = ROOT / "specs" / "coil-winder.yaml"
COUNT = int(os.environ.get("WIRING_LIST_BYTES", "400"))
TEXT = WINDER.read_text("utf-8")
HEAD, TAIL = TEXT[: TEXT.index("\nwires:")], TEXT[TEXT.index("\ncables:") :]


def plan_with(name: str) -> str:
    return f"{HEAD}\nwires: {name}\n{TAIL}"


def workbook() -> bytes:
    """A small wire list."""
    book = Workbook()
    book.active.append(["wire", "from", "to"])
    book.active.append(["1", "G1:V+", "F3:1"])
    stream = BytesIO()
    book.save(stream)
    return stream.getvalue()


def with_part(name: str, content: bytes) -> bytes:
    """The small list with one part of its archive replaced."""
    stream = BytesIO()
    with ZipFile(BytesIO(workbook())) as old, ZipFile(stream, "w", ZIP_DEFLATED) as new:
        for part in old.namelist():
            if part != name:
                new.writestr(part, old.read(part))
        new.writestr(name, content)
    return stream.getvalue()


MAIN = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def rows(count: int) -> bytes:
    return b"<worksheet %s><sheetData>%s</sheetData></worksheet>" % (MAIN, b"<row/>" * count)


def far_row(number: int) -> bytes:
    row = b'<row r="%d"><c r="A%d" t="inlineStr"><is><t>wire</t></is></c></row>' % (number, number)
    return b"<worksheet %s><sheetData>%s</sheetData></worksheet>" % (MAIN, row)


def strings(count: int) -> bytes:
    return b"<sst %s>%s</sst>" % (MAIN, b"<si><t>x</t></si>" * count)


def styles(count: int) -> bytes:
    return b"<styleSheet %s><cellXfs>%s</cellXfs></styleSheet>" % (MAIN, b"<xf/>" * count)


def laughs() -> bytes:
    entities = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 10))
    text = (
        f'<!DOCTYPE x [<!ENTITY a0 "ha">{entities}]><worksheet {MAIN.decode()}><sheetData>&a9;</sheetData></worksheet>'
    )
    return text.encode()


SHEET = "xl/worksheets/sheet1.xml"
BOMBS = {
    "30 million rows": lambda: with_part(SHEET, rows(30_000_000)),
    "a row at a billion": lambda: with_part(SHEET, far_row(1_000_000_000)),
    "50,000 rows": lambda: with_part(SHEET, rows(50_000)),
    "5 million strings": lambda: with_part("xl/sharedStrings.xml", strings(5_000_000)),
    "styles": lambda: with_part("xl/styles.xml", styles(5_000_000)),
    "styles by another name": lambda: with_part("xl/elsewhere.xml", styles(5_000_000)),
    "entities in entities": lambda: with_part(SHEET, laughs()),
    "many parts": lambda: _many_parts(),
}


def _many_parts() -> bytes:
    stream = BytesIO(workbook())
    with ZipFile(stream, "a") as archive:
        for n in range(600):
            archive.writestr(f"xl/x{n}.xml", b"<x/>")
    return stream.getvalue()


_CHILD = """
import re, resource, sys
resource.setrlimit(resource.RLIMIT_CPU, (20, 20))
from wiring.plan.read import read
found = read(sys.argv[1])
highest = re.search(r"VmHWM:\\s*(\\d+) kB", open("/proc/self/status").read())[1]
print(highest, [fault.summary for fault in found.faults if "w.xlsx" in str(fault.place)][:1])
"""


@pytest.mark.parametrize("name", BOMBS)
def test_a_spreadsheet_that_would_fill_the_memory_is_refused(tmp_path: Path, name: str) -> None:
    """Within 200 MB; the limit on processor time ends what would not end."""
    (tmp_path / "w.xlsx").write_bytes(BOMBS[name]())
    (tmp_path / "plan.yaml").write_text(plan_with("w.xlsx"), "utf-8")
    done = subprocess.run(
        [sys.executable, "-c", _CHILD, str(tmp_path / "plan.yaml")], capture_output=True, text=True, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    kilobytes, _, faults = done.stdout.partition(" ")
    assert int(kilobytes) <= 200_000
    assert faults.strip() != "[]"


def test_a_list_that_is_no_file_is_refused(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "w.csv")
    (tmp_path / "plan.yaml").write_text(plan_with("w.csv"), "utf-8")
    [fault] = [one for one in read(tmp_path / "plan.yaml").faults if "w.csv" in one.summary]
    assert "no ordinary file" in fault.summary


def list_bytes(folder: Path, suffix: str) -> bytes:
    write_wires(folder / f"w{suffix}", read(WINDER).plan_or_raise().wires)
    return (folder / f"w{suffix}").read_bytes()


def changed(random: Random, data: bytes) -> bytes:
    """The bytes with one to five pieces replaced, doubled, taken away or cut off."""
    found = bytearray(data)
    for _ in range(random.randint(1, 5)):
        at = random.randrange(len(found) + 1)
        end = min(len(found), at + random.choice((0, 1, 4, 50)))
        match random.randrange(4):
            case 0:
                found[at:end] = random.randbytes(end - at)
            case 1:
                found[at:end] = bytes(found[at:end]) * random.choice((2, 3))
            case 2:
                del found[at:end]
            case _:
                found[at:at] = random.choice((b"\x00", b'"', b";", b"\r\n", b"\x1b[31m", b"\xff\xfe", b"=1+1", b"\t"))
    return bytes(found)


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_any_bytes_for_a_list_are_read_or_refused(tmp_path: Path, suffix: str) -> None:
    sound = list_bytes(tmp_path, suffix)
    plan = plan_with(f"w{suffix}")
    path = str(tmp_path / f"w{suffix}")
    for number in range(COUNT // 2):
        data = changed(Random(number), sound)
        found = read_text(plan, "plan.yaml", tmp_path, {path: data})
        assert (found.plan is None) == bool(found.faults), number
        assert all(fault.summary and (fault.place or fault.expected) for fault in found.faults), number
