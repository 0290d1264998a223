"""The command that serves the dashboard: on this machine alone unless told otherwise."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from linesim import begin
from linesim.cli.dashboard import HOME, server_command
from linesim.cli.main import app
from tests.dashboard_server import ROOT
from tests.unit.dashboard_app import SCENARIOS


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """Commands that would have been run, with their surroundings."""
    seen: list[dict[str, Any]] = []

    def run(command: list[str], **options: Any) -> subprocess.CompletedProcess[str]:
        seen.append({"command": command, **options})
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr(subprocess, "run", run)
    return seen


def test_it_listens_on_this_machine_alone_and_says_nothing_more(started: list[dict[str, Any]]) -> None:
    result = CliRunner().invoke(app, ["dashboard", "--no-browser", "--port", "9000"])
    assert result.exit_code == 0
    assert "--server.address=localhost" in started[0]["command"]
    assert "--server.port=9000" in started[0]["command"]
    assert "without" not in result.stderr


def test_opening_it_to_a_network_is_told_what_it_means(started: list[dict[str, Any]]) -> None:
    told = CliRunner().invoke(app, ["dashboard", "--host", "0.0.0.0"]).stderr
    assert "It asks nobody who he is" in told.replace("\n", " ")
    assert "put a proxy before it that speaks HTTPS, and have people sign in" in told.replace("\n", " ")
    assert "--server.address=0.0.0.0" in started[0]["command"]


def test_a_file_is_checked_before_anything_is_started(started: list[dict[str, Any]]) -> None:
    assert CliRunner().invoke(app, ["dashboard", "nowhere.yaml"]).exit_code == 2
    assert started == []
    file = SCENARIOS / "smallest.yaml"
    assert CliRunner().invoke(app, ["dashboard", str(file)]).exit_code == 0
    assert started[0]["env"]["LINESIM_DASHBOARD_FILE"] == str(file)


def test_it_answers_to_the_names_it_was_given_and_to_no_other(started: list[dict[str, Any]]) -> None:
    CliRunner().invoke(app, ["dashboard"])
    CliRunner().invoke(app, ["dashboard", "--served-as", "Line.example", "--host", "10.1.2.3"])
    hosts = [[word.split("=")[1] for word in each["command"] if "allowedHosts" in word] for each in started]
    assert hosts == [[*HOME], [*HOME, "10.1.2.3", "line.example"]]


def test_what_lies_in_the_current_folder_has_no_say_in_the_server(
    started: list[dict[str, Any]], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A file of Streamlit's settings that came with a colleague's folder could open what is closed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("LINESIM_STORE", "runs.sqlite")
    (tmp_path / "line.yaml").write_bytes((SCENARIOS / "smallest.yaml").read_bytes())
    CliRunner().invoke(app, ["dashboard", "line.yaml"])
    assert started[0]["cwd"] == ROOT / "dashboard"
    assert started[0]["env"]["LINESIM_STORE"] == str(tmp_path / "runs.sqlite")
    assert started[0]["env"]["LINESIM_DASHBOARD_FILE"] == str(tmp_path / "line.yaml")


@pytest.mark.parametrize(
    "wanted",
    [
        "--client.showErrorDetails=none",
        "--server.enableXsrfProtection=true",
        "--server.enableStaticServing=false",
        "--browser.gatherUsageStats=false",
        "--logger.hideWelcomeMessage=true",
        "--server.maxUploadSize=2",
    ],
)
def test_nothing_is_open_that_need_not_be(wanted: str) -> None:
    assert wanted in server_command(8765, "localhost")


def test_without_a_browser_the_tests_say_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(begin.shutil, "which", lambda _: None)
    begin._have_for_tests()
    assert (
        "there is no chromium on this machine, so that the tests in tests/browser will fail" in capsys.readouterr().err
    )
