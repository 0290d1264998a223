"""What commands print speaks the words of --words: with every word of the catalogue marked, no English is left."""

from __future__ import annotations

import io
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
import yaml
from rich.console import Console, RenderableType
from typer.testing import CliRunner

from linesim.cards import tool_cards
from linesim.cli.main import app
from linesim.records.reading import Record, Records
from linesim.report.terminal.advice import advice_text
from linesim.report.terminal.approvals import approvals_text
from linesim.report.terminal.brief import brief_text
from linesim.report.terminal.cards import cards_text
from linesim.report.terminal.coming import coming_text
from linesim.report.terminal.toolroom import toolroom_text
from linesim.report.terminal.trial import answered_text, trial_text
from linesim.store.approvals import Approval
from linesim.study.advice.brief import Brief
from linesim.study.advice.study import AdviceStudy
from linesim.study.coming.study import ForecastStudy
from linesim.study.options import StudyOptions
from linesim.study.toolroom.study import ToolRoomStudy
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.study import TrialStudy
from linesim.words import reading
from linesim.works import Works, changed, load_works
from tests.unit.test_words_of_sheets import SCENARIOS, TODAY, english_left, nameless, translation

OPTIONS = {"html", "pdf", "FILE", "state", "out", "NAME", "by", "approvals", "propose"}
"""What is typed stays as it is typed."""


def short_works() -> Works:
    short = {"calendar": {"shift": "60 min", "shifts_per_day": 1}, "run": {"length": "2 shifts", "warm_up": "1 shift"}}
    return changed(nameless("smallest.yaml"), short)


def coming(works: Works) -> RenderableType:
    return coming_text(ForecastStudy(works, shifts=2, options=StudyOptions(replications=39)).run())


def tool_room(works: Works) -> RenderableType:
    return toolroom_text(ToolRoomStudy(works, None, 2, StudyOptions(replications=3)).run())


def cards(works: Works) -> RenderableType:
    return cards_text(tool_cards(works, None, list(works.policies)[-1]))


def _first_set(works: Works) -> tuple[str, str]:
    card = next(card for card in tool_cards(works).cards if card.sets)
    return card.operation, card.sets[0].cutter


def _trial(works: Works) -> TrialStudy:
    return TrialStudy(works, " / ".join(_first_set(works)), 300, None, 2, True, StudyOptions(replications=3))


def trial(works: Works) -> RenderableType:
    return trial_text(_trial(works).run())


def answered(works: Works) -> RenderableType:
    operation, cutter = _first_set(works)
    of = {"set": cutter, "machine": operation, "parts": 300.0, "why": "by interval"}
    rows = tuple(Record("1", at, "tool changes", of) for at in range(6))
    return answered_text(TrialAnswered(_trial(works).run(), Records(rows, (), ("1",))))


def advice(works: Works) -> RenderableType:
    return advice_text(AdviceStudy(works, 6, StudyOptions(replications=3)).run())


def brief(works: Works) -> RenderableType:
    return brief_text(Brief(AdviceStudy(works, 6, StudyOptions(replications=3)).run()))


def approvals(works: Works) -> RenderableType:
    days = (TODAY, date(2031, 9, 1))
    known = [
        Approval(at, "0" * 64, works.name, "№108", {}, "", "№1", "", "№2" if at else "", "", *days, at or None, None)
        for at in range(3)
    ]
    return approvals_text(known, TODAY, "№5")


PRINTED: dict[str, Callable[[Works], RenderableType]] = {
    "shift": coming, "toolroom": tool_room, "cards": cards, "trial": trial, "trial answered": answered,
    "advise": advice, "brief": brief, "approvals": approvals,
}  # fmt: skip


def as_printed(text: RenderableType) -> str:
    console = Console(file=io.StringIO(), width=400)
    console.print(text)
    return console.file.getvalue()  # type: ignore[attr-defined, no-any-return]


@pytest.mark.parametrize("name", list(PRINTED))
def test_with_every_word_marked_no_english_is_printed(name: str) -> None:
    works = short_works()
    with reading(translation()):
        text = as_printed(PRINTED[name](works))
    left = [word for word in english_left(text.replace("…", ""), works) if word not in OPTIONS]
    assert not left, text


def test_a_command_prints_in_the_words_of_its_file_and_in_english_without(tmp_path: Path) -> None:
    file = tmp_path / "hy.yaml"
    words = {"language": "de", "cards": {"head_changed": "gewechselt", "to_print": "Karten: --html DATEI"}}
    file.write_text(yaml.safe_dump(words, allow_unicode=True), encoding="utf-8")
    asked = ["cards", str(SCENARIOS / "smallest.yaml")]
    result = CliRunner().invoke(app, [*asked, "--words", str(file)])
    assert result.exit_code == 0
    assert "gewechselt" in result.stdout
    assert "Karten: --html DATEI" in result.stdout
    plain = CliRunner().invoke(app, asked).stdout
    assert "gewechselt" not in plain
    assert "The cards themselves: --html FILE" in plain


def test_approvals_speak_the_words_of_a_file(tmp_path: Path) -> None:
    file, store = tmp_path / "hy.yaml", str(tmp_path / "runs.sqlite")
    words = {
        "language": "de",
        "approval": {"head_policy": "Regel", "proposed": "Nur von {who} vorgeschlagen ({number})."},
    }
    file.write_text(yaml.safe_dump(words, allow_unicode=True), encoding="utf-8")
    scenario = load_works(SCENARIOS / "smallest.yaml")
    number = next(iter(tool_cards(scenario).numbers.values()))

    def asked(*arguments: str) -> str:
        return CliRunner().invoke(app, ["approvals", *arguments, "--store", store]).stdout

    assert "Proposal 1" in asked("propose", str(SCENARIOS / "smallest.yaml"), "--by", "Anna")
    assert "Regel" in asked("list", "--words", str(file))
    assert "Regel" not in asked("list")
    assert "Nur von Anna vorgeschlagen (1)." in asked("card", number, "--words", str(file))
    assert "Not approved: proposed by Anna as number 1." in asked("card", number)
