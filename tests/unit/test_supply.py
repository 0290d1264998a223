"""What linesim rests on: locked by hash, bounded, licensed; and installed as it is locked."""

from __future__ import annotations

import json
import re
import tomllib
from contextlib import nullcontext
from pathlib import Path
from unittest.mock import Mock

import pytest
from typer.testing import CliRunner

from linesim import begin
from linesim.cli.main import app
from linesim.supply import UNKNOWN, own_licence, supplied

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
LOCKS = ("run", "test")


def locked(purpose: str) -> dict[str, list[str]]:
    """Packages with their hashes, and with several versions where platforms differ."""
    text = (begin.LOCKS / f"{purpose}.txt").read_text(encoding="utf-8").replace("\\\n", " ")
    packages: dict[str, list[str]] = {}
    for line in text.splitlines():
        if line.strip() and not line.startswith("#"):
            name = re.split(r"[=\s;\[]", line)[0].lower()
            packages.setdefault(name, []).extend(re.findall(r"--hash=sha256:([0-9a-f]{64})", line))
    return packages


def needs(*extras: str) -> set[str]:
    """Names of what the project asks for."""
    asked = [*PROJECT["dependencies"], *(need for extra in extras for need in PROJECT["optional-dependencies"][extra])]
    return {re.split(r"[>=<\[;]", need)[0].strip().lower().replace("_", "-") for need in asked} - {"linesim"}


@pytest.mark.parametrize("purpose", LOCKS)
def test_every_package_is_locked_with_hashes_and_no_registry_is_named(purpose: str) -> None:
    packages = locked(purpose)
    wanted = needs("build") | (needs("test", "postgres", "cluster", "screening") if purpose == "test" else set())
    assert wanted <= set(packages)
    assert all(packages.values())
    text = (begin.LOCKS / f"{purpose}.txt").read_text(encoding="utf-8")
    assert "://" not in text
    assert "--index" not in text
    assert "find-links" not in text


def test_bounds_are_loose_and_the_licence_is_named() -> None:
    assert not [need for need in PROJECT["dependencies"] if "==" in need]
    assert PROJECT["license"] == "MIT"
    assert own_licence().startswith("MIT License")
    assert PROJECT["license-files"] == ["linesim/LICENSE"]


class Installer:
    """Notes what would be installed; what is locked fits this machine, or it does not."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, fits: bool) -> None:
        self.steps: list[list[str]] = []
        self.fits = fits
        monkeypatch.setattr(begin, "ENVIRONMENT", tmp_path / ".venv")
        monkeypatch.setattr(begin, "_make", lambda folder, python: python.parent.mkdir(parents=True))
        monkeypatch.setattr(begin, "_compiling", lambda python, scenarios: nullcontext(Mock(poll=lambda: 0)))
        monkeypatch.setattr(begin, "_installer", lambda python: [python.parent.parent.name])
        monkeypatch.setattr(begin, "_hand_over", lambda _: 0)
        monkeypatch.setattr(begin, "_have_for_tests", lambda: None)
        monkeypatch.setattr(begin.subprocess, "run", self.run)
        monkeypatch.setattr(begin.os, "chdir", lambda _: None)

    def run(self, words: list[object], **_: object) -> Installer:
        self.steps.append([str(word) for word in words])
        return self

    @property
    def returncode(self) -> int:
        return int(not self.fits and "--require-hashes" in self.steps[-1])


@pytest.mark.parametrize("purpose", LOCKS)
def test_what_is_installed_is_what_is_locked(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, purpose: str) -> None:
    installer = Installer(monkeypatch, tmp_path, fits=True)
    assert begin.main(["--tests"] if purpose == "test" else ["check"]) == 0
    lock = str(begin.LOCKS / f"{purpose}.txt")
    exactly = [".venv", "install", "--quiet", "--no-compile", "--no-deps", "--require-hashes", "--requirement"]
    assert [step[:-1] for step in installer.steps[:3]] == [exactly] * 3  # pip, what the engine rests on, all
    assert installer.steps[2:] == [
        [*exactly, lock],
        [".venv", "install", "--quiet", "--no-deps", "--no-build-isolation", "--editable", str(ROOT)],
    ]


def test_where_the_lock_does_not_fit_the_bounds_serve_and_a_line_says_so(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    installer = Installer(monkeypatch, tmp_path, fits=False)
    assert begin.main(["check"]) == 0
    assert installer.steps[-1] == [".venv", "install", "--quiet", "--editable", str(ROOT), "pip"]
    assert "what is locked does not fit this machine" in capsys.readouterr().err


def test_the_newest_of_everything_is_tried_in_an_environment_of_its_own(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    installer = Installer(monkeypatch, tmp_path, fits=True)
    assert begin.main(["--newest", "--tests", "-k", "crib"]) == 0
    (step,) = installer.steps
    assert step[0] == ".venv-newest"
    assert step[2:] == ["--quiet", "--upgrade", "--upgrade-strategy", "eager", "--editable", f"{ROOT}[test]", "pip"]


def test_a_changed_lock_is_installed_anew(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(begin, "LOCKS", tmp_path)
    before = begin._state("run")
    (tmp_path / "run.txt").write_text("numpy==2.0\n", encoding="utf-8")
    assert begin._state("run") != before
    assert begin._state("test") == before


def test_the_licences_of_all_that_is_needed_are_listed() -> None:
    rows = {row.name.lower().replace("_", "-"): row for row in supplied()}
    assert needs() <= set(rows)
    assert rows["numpy"].needed_by != ""
    assert not [name for name in needs() if rows[name].licence == UNKNOWN]
    told = CliRunner().invoke(app, ["licences", "--json"])
    assert {row["name"] for row in json.loads(told.stdout)["packages"]} == {row.name for row in supplied()}
    shown = CliRunner().invoke(app, ["licences"]).stdout
    assert max(map(len, shown.splitlines())) <= 100
    assert CliRunner().invoke(app, ["licences", "--text"]).stdout == own_licence()
