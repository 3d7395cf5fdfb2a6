"""What is written is there whole or not at all, keeps its mode, and is never something that the command reads."""

from __future__ import annotations

import os
import shutil
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from tests.commands import run_command
from wiring.design.load import load
from wiring.outputs import CannotSaveError, check_destination, save, save_all

ROOT = Path(__file__).parents[1]
WINDER = ROOT / "specs" / "coil-winder.yaml"


def run(*arguments: object, **options: object) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, started anew where its streams are no ordinary ones."""
    if set(options) <= {"input"}:
        done = run_command(*arguments, text=str(options.get("input", "")))
        return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "wiring", *map(str, arguments)],
        **{"capture_output": True, "text": True, "timeout": 60, "cwd": ROOT, **options},
    )


# One file.


def test_a_file_is_replaced_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("old")
    save(path, "new ö")
    assert path.read_bytes() == "new ö".encode()
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664])
def test_a_file_keeps_the_mode_that_it_had(tmp_path: Path, mode: int) -> None:
    path = tmp_path / "list.csv"
    path.write_text("old")
    path.chmod(mode)
    save(path, "new")
    assert stat.S_IMODE(path.stat().st_mode) == mode


@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_a_new_file_follows_the_umask(tmp_path: Path, mask: int, mode: int) -> None:
    before = os.umask(mask)
    try:
        save(tmp_path / "list.csv", "new")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "list.csv").stat().st_mode) == mode


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(CannotSaveError, match="There is no folder"):
        save(tmp_path / "absent" / "list.csv", "x")


def test_what_is_no_ordinary_file_is_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "aim").write_text("old")
    (tmp_path / "link").symlink_to(tmp_path / "aim")
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "locked").write_text("old")
    (tmp_path / "locked").chmod(0o444)
    for name, words in (("link", "a link"), ("pipe", "no ordinary file"), ("locked", "write-protected")):
        with pytest.raises(CannotSaveError, match=words):
            save(tmp_path / name, "x")
    for path, words in ((tmp_path, "is a folder"), (Path("/dev/null"), "no ordinary file")):
        with pytest.raises(CannotSaveError, match=words):
            save(path, "x")
    assert (tmp_path / "aim").read_text() == (tmp_path / "locked").read_text() == "old"
    assert (tmp_path / "link").is_symlink()
    assert stat.S_ISFIFO((tmp_path / "pipe").stat().st_mode)


@pytest.mark.parametrize("alias", ["{0}/list.csv", "{0}/../{1}/list.csv", "{0}/hard.csv"])
def test_an_input_is_refused_by_whatever_name(tmp_path: Path, alias: str) -> None:
    path = tmp_path / "list.csv"
    path.write_text("old")
    os.link(path, tmp_path / "hard.csv")
    with pytest.raises(CannotSaveError, match="would be lost"):
        save(Path(alias.format(tmp_path, tmp_path.name)), "x", [path])
    assert path.read_text() == "old"


# A set of files.


@pytest.mark.parametrize("step", range(4))
def test_a_set_that_fails_half_way_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    """The disk refuses at each rename and at the removal of an older file; all that was done is undone."""
    old = {name: f"old {name}" for name in ("a", "b", "stale")}
    for name, text in old.items():
        (tmp_path / name).write_text(text)
    left = iter(range(step))
    real, remove = os.replace, Path.unlink

    def replace(source: Path, target: Path) -> None:
        if next(left, None) is None:
            raise OSError(28, "No space left on device")
        real(source, target)

    def unlink(path: Path, missing_ok: bool = False) -> None:
        if path.name == "stale":
            raise OSError(1, "Operation not permitted")
        remove(path, missing_ok)

    monkeypatch.setattr(os, "replace", replace)
    monkeypatch.setattr(Path, "unlink", unlink)
    with pytest.raises(CannotSaveError, match="cannot be written"):
        save_all({tmp_path / name: f"new {name}" for name in ("a", "b", "c")}, stale=[tmp_path / "stale"])
    assert {path.name: path.read_text() for path in tmp_path.iterdir()} == old


# A kill at every step of a write.

_KILLED = """
import os, signal, sys
from pathlib import Path
from wiring.outputs import end_on_signals, save_all
folder, step, number = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
end_on_signals()
names = ["one"] if sys.argv[4] == "single" else ["one", "two", "three"]
stale = [] if sys.argv[4] == "single" else [folder / "stale"]
seen = 0
def count(event, arguments):
    global seen
    if event in ("open", "os.rename", "os.remove", "os.chmod", "os.listdir") or event.startswith("tempfile"):
        if str(folder) in str(arguments):
            if seen == step:
                os.kill(os.getpid(), number)
            seen += 1
sys.addaudithook(count)
save_all({folder / name: "new" * 50_000 for name in names}, stale=stale)
print("done", seen)
"""


def _killed(folder: Path, step: int, number: int, kind: str) -> tuple[int, dict[str, str]]:
    """The exit status, and what lies in the folder after a write that a signal hits at a step."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for name in ("one",) if kind == "single" else ("one", "two", "stale"):
        (folder / name).write_text("old")
    words = [sys.executable, "-c", _KILLED, str(folder), str(step), str(int(number)), kind]
    done = subprocess.run(words, cwd=ROOT, preexec_fn=_hears_interrupts)
    return done.returncode, {path.name: path.read_text()[:3] for path in folder.iterdir()}


def _hears_interrupts() -> None:
    """A run in the background ignores them, and what it starts would too."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.mark.parametrize(("kind", "steps"), [("single", 8), ("set", 24)])
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT, signal.SIGKILL], ids=lambda one: one.name)
def test_a_kill_at_any_step_leaves_the_old_or_the_new(tmp_path: Path, kind: str, steps: int, number: int) -> None:
    """A signal that can be caught leaves the whole old set or the whole new one, and no temporary file."""
    whole = {
        "single": ({"one": "old"}, {"one": "new"}),
        "set": ({"one": "old", "two": "old", "stale": "old"}, {"one": "new", "two": "new", "three": "new"}),
    }[kind]
    statuses = set()
    for step in range(steps):
        status, found = _killed(tmp_path / "out", step, number, kind)
        statuses.add(status)
        if number == signal.SIGKILL:
            assert all(text in ("old", "new") for name, text in found.items() if not name.startswith("."))
            kept = {name: text for name, text in found.items() if not name.startswith(".")}
            assert kind == "set" or kept in whole
        else:
            assert found in whole, (step, found)
    assert statuses == {0, -9 if number == signal.SIGKILL else 128 + number}


# The commands.


def bench(folder: Path) -> Path:
    """The coil winder with its wires in a list that has a column for people."""
    from wiring.plan.listwriter import write_wires

    found = load(WINDER).design
    assert found is not None
    write_wires(folder / "wires.csv", found.plan.wires)
    rows = (folder / "wires.csv").read_text("utf-8").splitlines()
    rows = [f"{rows[0]},[checked by]", *(f"{row},me" for row in rows[1:])]
    (folder / "wires.csv").write_text("\n".join(rows) + "\n", "utf-8")
    lines, inside = [], False
    for line in WINDER.read_text("utf-8").splitlines():
        inside = line.startswith("wires:") or (inside and (line.startswith((" ", "#")) or not line))
        lines.append("wires: wires.csv" if line.startswith("wires:") else "" if inside else line)
    (folder / "plan.yaml").write_text("\n".join(lines) + "\n", "utf-8")
    return folder / "plan.yaml"


@pytest.mark.parametrize("target", ["plan.yaml", "wires.csv"])
@pytest.mark.parametrize(
    "words",
    [
        ["check", "{plan}", "--out", "{out}"],
        ["check", "{plan}", "--format", "html", "--out", "{out}"],
        ["list", "wires", "{plan}", "--format", "csv", "--out", "{out}"],
        ["pack", "{plan}", "--out", "{out}"],
        ["power-up", "{plan}", "--format", "csv", "--out", "{out}"],
        ["change", "{plan}", "F3.rating=4 A", "--out", "{out}"],
        ["suggest", "{plan}", "--write", "{out}"],
        ["add-motor", "{plan}", "--like", "M1", "--out", "{out}"],
    ],
    ids=lambda words: " ".join(words[:1] + words[2:4]) if isinstance(words, list) else words,
)
def test_no_command_writes_over_what_it_reads(tmp_path: Path, words: list[str], target: str) -> None:
    plan = bench(tmp_path)
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    done = run(*(word.format(plan=plan, out=tmp_path / target) for word in words))
    assert done.returncode == 2, done.stdout
    assert "Traceback" not in done.stderr
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_list_beside_the_output_is_not_overwritten(tmp_path: Path) -> None:
    plan = bench(tmp_path)
    (tmp_path / "new-wires.csv").write_text("mine")
    done = run("change", plan, "203.size=2.5 mm2", "--out", tmp_path / "new.yaml")
    assert done.returncode == 2
    assert "new-wires.csv is there already" in done.stderr
    assert (tmp_path / "new-wires.csv").read_text() == "mine"
    assert not (tmp_path / "new.yaml").exists()


def test_in_place_keeps_every_old_file_also_the_second_time(tmp_path: Path) -> None:
    plan = bench(tmp_path)
    first = (tmp_path / "wires.csv").read_bytes()
    for size in ("2.5", "4"):
        assert run("change", plan, f"203.size={size} mm2", "--in-place").returncode in (0, 1)
    assert (tmp_path / "wires.csv.old").read_bytes() == first
    assert b"2.5 mm2" in (tmp_path / "wires.csv.old1").read_bytes()
    assert "me" in (tmp_path / "wires.csv").read_text("utf-8")


def test_sheets_of_an_older_longer_set_go_and_other_files_stay(tmp_path: Path) -> None:
    for name in ("sheet-97.svg", "sheet-98.png", "notes.txt", "sheet-x.svg"):
        (tmp_path / name).write_text("old")
    assert run("draw", WINDER, "--out", tmp_path).returncode == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert "sheet-97.svg" not in names
    assert {"sheet-01.svg", "sheet-98.png", "notes.txt", "sheet-x.svg"} <= names


@pytest.mark.parametrize("command", [["check"], ["budget"], ["list", "wires"], ["stop"], ["power-up"], ["room"]])
def test_a_plan_may_come_from_the_standard_input(command: list[str]) -> None:
    text = WINDER.read_text("utf-8")
    piped, read = run(*command, "-", input=text), run(*command, WINDER)
    assert piped.returncode == read.returncode
    assert len(piped.stdout.splitlines()) == pytest.approx(len(read.stdout.splitlines()), abs=3)


def test_a_fault_of_a_piped_plan_has_its_place() -> None:
    done = run("check", "-", input="format: 1\nmachine: x\nrulebook: none\n")
    assert done.returncode == 2
    assert "rulebook, line 3:" in done.stdout
    assert "in <stdin>" in done.stdout


# Streams that take nothing.

_STREAMS = [["check"], ["list", "wires"], ["stop"], ["budget"], ["power-up"], ["suggest"]]


@pytest.mark.parametrize("command", _STREAMS, ids=" ".join)
def test_a_full_disk_is_told_in_two_lines(command: list[str]) -> None:
    with open("/dev/full", "w") as full:
        done = run(*command, WINDER, capture_output=False, stdout=full, stderr=subprocess.PIPE)
    assert done.returncode == 2
    assert done.stderr.splitlines()[0] == "The output cannot be written: no space left on device."
    assert len(done.stderr.splitlines()) == 2


def test_a_closed_output_is_told_in_two_lines() -> None:
    line = f"{sys.executable} -m wiring check {WINDER} >&-"
    done = subprocess.run(line, shell=True, capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 2
    assert len(done.stderr.splitlines()) == 2


@pytest.mark.parametrize("name", ["x" * 300, "x" * 300 + ".yaml"])
@pytest.mark.parametrize("place", ["plan", "out"])
def test_a_name_that_is_too_long_is_told(tmp_path: Path, name: str, place: str) -> None:
    words = ("check", tmp_path / name) if place == "plan" else ("check", WINDER, "--out", tmp_path / name)
    done = run(*words)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert "too long" in " ".join((done.stdout + done.stderr).split()).lower()


def test_a_folder_that_cannot_be_entered_is_told(tmp_path: Path) -> None:
    """The superuser enters every folder, so that it becomes nobody for a moment."""
    (tmp_path / "shut").mkdir(mode=0o000)
    superuser = os.geteuid() == 0
    if superuser:
        os.seteuid(65534)
    try:
        with pytest.raises(CannotSaveError, match="permission denied"):
            check_destination(tmp_path / "shut" / "list.csv")
        [fault] = load(tmp_path / "shut" / "plan.yaml").faults
    finally:
        if superuser:
            os.seteuid(0)
    assert "Permission denied" in fault.summary
