"""The command line as its user meets it: exit states, formats, width, and a word for every wrong argument."""

from __future__ import annotations

import json
import os
import re
from pathlib import Path

import jsonschema
import pytest
import yaml

from tests.commands import run

ROOT = Path(__file__).parents[1]
SPECS = sorted((ROOT / "specs").glob("*.yaml"))
FAULTY = ROOT / "specs" / "faulty"
CAUTION = FAULTY / "supply-headroom-small-dipper.yaml"
DANGER = FAULTY / "earth-missing-door.yaml"
CLEAR = ROOT / "specs" / "coil-winder.yaml"
FEEDER = ROOT / "specs" / "bench-press-feeder.yaml"
NOT_CERTIFIED = "This tool assists; it does not certify"


@pytest.mark.parametrize(("plan", "status"), [(CLEAR, 0), (CAUTION, 1), (DANGER, 1)])
def test_the_exit_status_follows_the_verdict(plan: Path, status: int) -> None:
    """0 for a clear plan alone."""
    assert run("check", plan, "--format", "brief").returncode == status


@pytest.mark.parametrize(
    ("plan", "level", "status"),
    [(CAUTION, "caution", 1), (CAUTION, "warning", 0), (CAUTION, "notice", 1), (DANGER, "danger", 1)],
)
def test_fail_on_moves_the_exit_status(plan: Path, level: str, status: int) -> None:
    assert run("check", plan, "--format", "brief", "--fail-on", level).returncode == status


def test_text_names_the_finding_its_place_the_verdict_and_the_cautions() -> None:
    out = run("check", "specs/faulty/earth-missing-door.yaml").stdout
    line = next(n for n, text in enumerate(DANGER.read_text("utf-8").splitlines(), 1) if "#!" in text)
    assert out.startswith("Verdict: STOP")
    assert "\nDANGER  " in out
    assert f"DR, line {line}\n" in out
    for word in ("earth-missing", "Harm", "Mend", "Supplies", "Verdict: STOP", "does not certify"):
        assert word in out


@pytest.mark.parametrize("plan", [DANGER, *SPECS], ids=lambda path: path.stem)
def test_text_keeps_to_80_columns(plan: Path) -> None:
    wide = [line for line in run("check", plan.relative_to(ROOT)).stdout.splitlines() if len(line) > 80]
    assert wide == []


def test_brief_is_one_line_a_finding() -> None:
    lines = run("check", DANGER.relative_to(ROOT), "--format", "brief").stdout.splitlines()
    assert ": DANGER earth-missing: " in lines[0]
    assert all(line.startswith("specs/faulty/earth-missing-door.yaml:") for line in lines)
    assert "STOP" in lines[-1]
    assert NOT_CERTIFIED in lines[-1]


REPORT_KEYS = ["format", "plan", "rulebook", "verdict", "findings", "not_judged", "figures"]
FINDING_KEYS = [
    "rule", "signal", "subjects", "file", "line", "column", "summary", "numbers", "limit", "harm", "mend", "accepted",
]  # fmt: skip


def test_json_has_the_keys_of_its_format_in_their_order() -> None:
    report = json.loads(run("check", CAUTION.relative_to(ROOT), "--format", "json").stdout)
    assert list(report) == REPORT_KEYS
    assert (report["format"], report["rulebook"], report["verdict"]) == (1, "iec", "mend")
    finding = next(entry for entry in report["findings"] if entry["rule"] == "supply-headroom-small")
    assert all(list(entry) == FINDING_KEYS for entry in report["findings"])
    assert list(finding["numbers"][0])[:3] == ["name", "value", "unit"]
    assert list(finding["limit"]) == ["value", "unit", "source", "standing"]
    assert finding["accepted"] is False
    assert list(report["figures"])[:5] == ["supplies", "conductors", "protection", "stops", "enclosure"]
    figure = report["figures"]["supplies"]["G1"]["warming"]
    assert list(figure)[:3] == ["current_a", "available_a", "headroom"]
    conductor = report["figures"]["conductors"]["100"]
    assert list(conductor) == ["current_a", "ampacity_a", "drop_v", "temperature_c"]
    stop = report["figures"]["stops"]["emergency"]
    assert list(stop)[:5] == ["removed", "left", "single_faults", "dangerous", "hidden"]
    assert list(stop)[5:] == ["unseen"]
    assert {"heat_w", "rise_k", "inside_c"} <= set(report["figures"]["enclosure"])


@pytest.mark.parametrize(("plan", "verdict"), [(CLEAR, "clear"), (CAUTION, "mend"), (DANGER, "stop")])
def test_json_says_the_verdict(plan: Path, verdict: str) -> None:
    assert json.loads(run("check", plan, "--format", "json").stdout)["verdict"] == verdict


def test_a_state_alone_is_judged() -> None:
    report = json.loads(run("check", FEEDER, "--format", "json", "--state", "run").stdout)
    assert list(report["figures"]["supplies"]["G1"]) == ["run"]


def test_an_unknown_state_names_the_known_ones() -> None:
    done = run("check", FEEDER, "--state", "runing")
    assert done.returncode == 2
    assert "idle, run, fast" in done.stderr
    assert done.stdout == ""


def test_a_relative_path_is_printed_as_it_was_given() -> None:
    out = run("check", "faulty/earth-missing-door.yaml", "--format", "brief", cwd=ROOT / "specs").stdout
    assert out.startswith("faulty/earth-missing-door.yaml:")


def test_no_colour_where_it_is_not_wanted_or_not_a_terminal() -> None:
    assert "\x1b" not in run("check", DANGER).stdout
    assert "\x1b" not in run("check", DANGER, NO_COLOR="1", FORCE_COLOR="1", TERM="xterm-256color").stdout


def test_a_terminal_that_cannot_print_a_sign_gets_another() -> None:
    done = run("check", DANGER, PYTHONIOENCODING="ascii")
    assert done.returncode == 1
    assert done.stdout.isascii()


@pytest.mark.parametrize(
    ("name", "content", "style"),
    [
        ("absent.yaml", None, "text"),
        ("absent.yaml", None, "brief"),
        ("absent.yaml", None, "json"),
        ("absent.yaml", None, "sarif"),
        ("empty.yaml", b"", "text"),
        ("binary.yaml", bytes(range(256)), "text"),
        ("binary.yaml", bytes(range(256)), "json"),
        ("list.yaml", b"- 1\n- 2\n", "text"),
    ],
)
def test_a_file_that_is_no_plan_ends_with_2_and_a_word(
    tmp_path: Path, name: str, content: bytes | None, style: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    done = run("check", name, "--format", style, cwd=tmp_path)
    assert done.returncode == 2
    assert name in done.stdout
    if style in ("json", "sarif"):
        json.loads(done.stdout)


def test_a_folder_is_no_plan_where_one_is_wanted(tmp_path: Path) -> None:
    """`check` takes it for the plans in it."""
    done = run("budget", tmp_path)
    assert done.returncode == 2
    assert "this is a folder" in " ".join(done.stdout.split())
    empty = run("check", tmp_path)
    assert empty.returncode == 2
    assert "There is no plan in" in empty.stderr


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read every file")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\n", encoding="utf-8")
    plan.chmod(0)
    assert run("check", plan).returncode == 2


def test_every_fault_of_a_plan_is_told_at_once(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(
        "format: 1\nmachine: Test\nrulebook: iec\nparts:\n  G1: {kind: suply, rated: 5 A}\n"
        "  E1: {kind: load, rated: 24 V DC 24}\nwires:\n  - {wire: 1, from: E1:9, to: E9:1}\n",
        encoding="utf-8",
    )
    done = run("check", "p.yaml", cwd=tmp_path)
    assert done.returncode == 2
    for text in ("G1 › kind, line 5:", "E1 › rated, line 6:", "wire 1 › to, line 8:", "supply", "3 faults in p.yaml"):
        assert text in done.stdout
    assert [line for line in done.stdout.splitlines() if len(line) > 80] == []


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [(("chek", "p.yaml"), "check"), (("check", "p.yaml", "--formt", "json"), "--format"), (("check",), "PLAN")],
)
def test_a_slip_in_the_command_is_told_with_what_was_meant(arguments: tuple[str, ...], hint: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert hint in done.stderr


@pytest.mark.parametrize("option", ["--format", "--fail-on"])
def test_a_wrong_choice_names_the_right_ones(option: str) -> None:
    done = run("check", CLEAR, option, "nothing-of-the-kind")
    assert done.returncode == 2
    assert ("sarif" if option == "--format" else "caution") in done.stderr


def test_help_names_every_command() -> None:
    out = run("--help").stdout
    assert all(word in out for word in ("check", "budget", "rule", "schema"))


def test_rule_prints_the_page_of_a_rule() -> None:
    done = run("rule", "earth-missing")
    assert done.returncode == 0
    for text in ("DANGER", "IEC 60204-1:2016, 8.2.1", "A plan in which it fires", "Not judged"):
        assert text in done.stdout


def test_rule_lists_every_rule() -> None:
    from wiring.rules import SLUGS

    out = run("rule", "--all").stdout
    assert [slug for slug in SLUGS if slug not in out] == []
    assert [line for line in out.splitlines() if len(line) > 80] == []


def test_rule_with_an_unknown_name_says_the_nearest() -> None:
    done = run("rule", "earth-mising")
    assert done.returncode == 2
    assert "earth-missing" in done.stderr


def test_budget_prints_every_supply_and_state() -> None:
    out = run("budget", FEEDER).stdout
    assert all(word in out for word in ("G1", "G2", "idle", "run", "fast", "Enclosure", "Conductors"))


def test_budget_of_a_plan_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text("format: 1\nmachine: Test\nruelbook: iec\n", encoding="utf-8")
    done = run("budget", "p.yaml", cwd=tmp_path)
    assert done.returncode == 2
    assert "rulebook" in done.stdout


@pytest.fixture(scope="module")
def schema() -> dict[str, object]:
    printed: dict[str, object] = json.loads(run("schema").stdout)
    return printed


def test_the_schema_is_one(schema: dict[str, object]) -> None:
    jsonschema.Draft202012Validator.check_schema(schema)


class Core(yaml.SafeLoader):
    """YAML 1.2 with its core schema, as editors read it (yaml.org/spec/1.2.2, 10.3): NO and off stay texts."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", "-+0123456789."),
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), list(first))


def with_text_keys(value: object) -> object:
    """The document as JSON has it: the key of a cable's core, 1, is a text there."""
    if isinstance(value, dict):
        return {str(key): with_text_keys(entry) for key, entry in value.items()}
    return [with_text_keys(entry) for entry in value] if isinstance(value, list) else value


#: The unit of an inertia ends in a figure, which the schema's pattern of a quantity does not allow.
@pytest.mark.parametrize(
    "plan",
    [pytest.param(path, id=path.stem) for path in [*SPECS, *sorted(FAULTY.glob("*.yaml"))]],
)
def test_every_spec_is_valid_by_the_schema(plan: Path, schema: dict[str, object]) -> None:
    """An editor reads YAML 1.2 with its own types: numbers and truth values may be texts or not."""
    document = with_text_keys(yaml.load(plan.read_text(encoding="utf-8"), Core))
    errors = sorted(jsonschema.Draft202012Validator(schema).iter_errors(document), key=str)
    assert [f"{list(error.absolute_path)}: {error.message[:120]}" for error in errors[:5]] == []


def test_the_schema_refuses_a_key_that_no_plan_has(schema: dict[str, object]) -> None:
    document = {"format": 1, "machine": "Test", "rulebook": "iec", "ruelbook": "iec"}
    assert not jsonschema.Draft202012Validator(schema).is_valid(document)


def test_the_same_report_for_any_hash_seed() -> None:
    plan = ROOT / "specs" / "coil-winder.yaml"
    reports = {run("check", plan, "--format", "json", PYTHONHASHSEED=seed).stdout for seed in ("0", "1", "4242")}
    assert len(reports) == 1


@pytest.mark.parametrize("wanted", [False, True])
def test_a_failure_of_the_tool_itself_is_told_as_such(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], wanted: bool
) -> None:
    """Two lines and status 3, which no plan gives; the way there only for who asks."""
    from wiring import cli_start

    def fails(words: list[str]) -> None:
        raise KeyError("never")

    monkeypatch.setattr(cli_start, "_asked", fails)
    monkeypatch.setenv("WIRING_TRACEBACK", "1" if wanted else "")
    with pytest.raises(SystemExit) as left:
        cli_start.main()
    told = capsys.readouterr().err
    assert left.value.code == 3
    assert "KeyError in fails" in told
    assert ("Traceback" in told) is wanted


def test_the_readme_shows_what_check_prints() -> None:
    text = (ROOT / "README.md").read_text("utf-8")
    command, shown = re.findall(r"`wiring (check [^`]+)` begins with\n\n```text\n(.*?)\n```", text, re.DOTALL)[0]
    printed = run(*command.split(), NO_COLOR="1").stdout
    shown, printed = (re.sub(r"\d+ rules quiet", "rules quiet", one) for one in (shown, printed))
    assert printed.startswith(shown + "\n")
