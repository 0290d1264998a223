"""Watching a study: its answer comes back, and on a terminal one sees how far it is and what it says so far."""

from __future__ import annotations

import io
import sys
import time
from collections.abc import Iterator

import pytest

from linesim.cli import progress
from linesim.cli.carrying import last_step
from linesim.errors import StudyError
from linesim.study import Interim


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


STEPS = [Interim(1, 3, 0.1, None, "first runs"), Interim(2, 3, 0.2, "two"), Interim(3, 3, 0.3, "three", "", True)]


def test_the_last_answer_comes_back() -> None:
    assert last_step(iter(STEPS), "searching")[0] == "three"


def test_a_study_without_an_answer_says_so() -> None:
    with pytest.raises(StudyError, match="ended without an answer"):
        last_step(iter(STEPS[:1]), "searching")


def test_a_terminal_sees_the_bar_and_the_words(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setattr(progress, "_PATIENCE_S", -1.0)
    monkeypatch.setenv("TERM", "xterm")

    def slowly() -> Iterator[Interim[str]]:
        yield Interim(1, 3, 0.1, "one", "early blades lead so far " + "x" * 200)
        time.sleep(0.3)  # the terminal is painted ten times a second
        yield STEPS[-1]

    assert last_step(slowly(), "searching")[0] == "three"
    shown = terminal.getvalue()
    assert "searching" in shown
    assert "early blades lead so far" in shown
    assert "x" * 97 not in shown


def test_nothing_is_shown_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    last_step(iter(STEPS), "searching")
    assert capsys.readouterr().err == ""
