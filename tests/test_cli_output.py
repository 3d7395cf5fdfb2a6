"""What the commands say to the person on the error stream."""

from __future__ import annotations

import io

import pytest

from wiring.cli_output import tell


class _Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("columns", [40, 80])
def test_a_long_message_folds_between_words_at_the_width_of_a_terminal(
    columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    screen = _Terminal()
    monkeypatch.setenv("COLUMNS", str(columns))
    monkeypatch.setattr("sys.stderr", screen)
    message = "The plan has no fault zz. Known: " + ", ".join(f"open:{n}" for n in range(100, 130)) + "."
    tell(message)
    lines = screen.getvalue().splitlines()
    assert max(map(len, lines)) <= columns
    assert " ".join(lines) == message


def test_a_pipe_gets_a_message_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    pipe = io.StringIO()
    monkeypatch.setattr("sys.stderr", pipe)
    tell("word " * 60)
    assert pipe.getvalue().count("\n") == 1
