"""One file translates a full report: with every word of the catalogue marked, no English word is left on its page."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.desk import desk_figures
from linesim.report.page.comparison_page import comparison_page
from linesim.report.page.history_page import history_page
from linesim.routing import HistoryStudy
from linesim.study import PolicyStudy, StudyOptions
from linesim.words import Words, keep, reading, recognised, retell
from linesim.works import Works, changed
from tests.unit.test_words_of_sheets import SCENARIOS, english_left, nameless, translation

_SHORT = {"run": {"length": "2 shifts", "warm_up": "1 shift"}}
_OF_A_PICTURE = ("text", "name", "hovertext", "hovertemplate", "ticktext")
_COMMAND = "linesim"
_FIGURES = [
    number
    for entry in translation().entries.values()
    for text in ([entry] if isinstance(entry, str) else entry.values())
    for number in re.findall(r"\w* \d+\.\d+ \w*", text)
]
"""Figures with a point that stand in the catalogue's own texts; whoever translates them writes them his way."""


def pictured(value: Any, key: str = "") -> Iterator[str]:
    """Texts that a picture of plotly shows; what its signs in braces stand for is not one."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from pictured(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from pictured(inner, key)
    elif isinstance(value, str) and key in _OF_A_PICTURE and not value.endswith("…"):  # cut short; whole at the pointer
        yield re.sub(r"%\{[^}]*\}|<[^>]*>", " ", value)


def cited(works: Works) -> list[str]:
    """What the handbook says of its sources, and the names of its figures: these stay as they are, as books do."""
    desk = desk_figures(works)
    rows = desk.sources.to_dict(orient="records")
    names = [of.material for of in works.lines.values() if of.material is not None]
    texts = [
        *desk.sources["source"],
        *desk.assumed["source"],
        *names,
        *(f"{row['entry']}: {row['figure']}" for row in rows),
    ]
    return sorted({html.escape(str(text)).replace("&#x27;", "&#39;") for text in texts}, key=len, reverse=True)


def shown(page: str, works: Works) -> str:
    """A page with its pictures as texts, without its scripts, the scenario's file and what is cited."""
    decoder = json.JSONDecoder()
    texts = []
    for found in re.finditer(r'Plotly\.newPlot\(\s*"[^"]*",\s*', page):
        data, end = decoder.raw_decode(page, found.end())
        layout, _ = decoder.raw_decode(page, page.index("{", end))
        layout.pop("template", None)
        texts += [*pictured(data), *pictured(layout)]
    assert texts
    page = re.sub(r"<script.*?</script>|<pre>.*?</pre>", " ", page, flags=re.DOTALL)
    for text in [*cited(works), *_FIGURES, "three-cylinder", "two-cylinder", "simpy"]:
        page = page.replace(text, " ")
    return page + html.escape(" ".join(texts))


def compared(works: Works, **spans: Any) -> str:
    answer = PolicyStudy(changed(works, _SHORT), None, StudyOptions(replications=3)).but(**spans).run()
    return comparison_page(answer, desk_figures(answer.works), _COMMAND)


def followed(works: Works, of: str) -> str:
    name, line = next(iter(works.lines.items()))
    study = HistoryStudy(changed(works, _SHORT), next(iter(line.features)), name, None, StudyOptions(2), of)
    return history_page(study.run(), _COMMAND)


REPORTS: dict[str, tuple[str, Callable[[Works], str]]] = {
    "comparison": ("block-line.yaml", compared),
    "comparison of part types": ("mixed-line.yaml", compared),
    "comparison of what goes wrong": ("crankcase-line.yaml", compared),
    "comparison with pilot runs": ("smallest.yaml", lambda works: compared(works, warm_up="auto", length="auto")),
    "history of a size": ("smallest.yaml", lambda works: followed(works, "size")),
    "history of a form": ("crankcase-line.yaml", lambda works: followed(works, "form")),
}


@pytest.mark.parametrize("name", list(REPORTS))
def test_with_every_word_marked_no_english_is_left_on_a_report(name: str) -> None:
    file, make = REPORTS[name]
    works = nameless(file)
    with reading(translation()):
        page = shown(make(works), works)
    assert '<html lang="hy">' in page
    assert not english_left(page, works)


def test_english_is_found_where_a_word_of_a_report_is_left() -> None:
    works = nameless("smallest.yaml")
    some = {"measures.good_per_hour", "charts.time_share", "findings.rubbed", "policies.run_out"}
    few = Words("hy", "english", {key: entry for key, entry in translation().entries.items() if key not in some})
    with reading(few):
        page = shown(compared(works, warm_up="auto", length="auto"), works)
    assert {"parts", "machines", "rubbed", "running"} <= set(english_left(page, works))


def test_a_text_that_went_through_a_table_finds_its_key_again() -> None:
    rubbed = str(keep("findings.rubbed", cutter="№1", count=1))
    waits = '"№2" is held up; "№3" waits for a sharp "№4" that never comes'
    stuck = f'Line "№5" can never move again from minute 12.5 on: {waits}.'
    assert recognised(rubbed, "findings") is rubbed
    with reading(translation()):
        for text in (rubbed, stuck):
            assert retell(recognised(text, "findings", "states")) != text
        assert not re.search("[A-Za-z]{2}", retell(recognised(stuck, "findings", "states")))
        assert recognised("Nothing of the kind.", "findings") == "Nothing of the kind."


def test_what_a_comparison_keeps_is_english_whoever_reads() -> None:
    works = changed(nameless("smallest.yaml"), _SHORT)
    study = PolicyStudy(works, None, StudyOptions(replications=2))
    plainly = study.run()
    with reading(translation()):
        foreign = study.run()
        assert foreign.as_dict() == plainly.as_dict()
        assert foreign.sentences == plainly.sentences
        assert retell(foreign.sentences[0]) != foreign.sentences[0]


def test_the_report_of_a_command_speaks_the_words_of_a_file_and_its_data_stay_english(tmp_path: Path) -> None:
    words = tmp_path / "de.yaml"
    words.write_text("language: de\ncompare: {output: Ausstoß und Güte}\nsheet: {cautions: Vorsicht}\n", "utf-8")
    page = tmp_path / "page.html"
    asked = ["compare", str(SCENARIOS / "smallest.yaml"), "--replications", "2", "--store", "none"]
    asked += ["--html", str(page), "--words", str(words), "--csv", str(tmp_path / "tables")]
    run = CliRunner().invoke(app, asked)
    assert run.exit_code in (0, 1), run.output
    assert run.stderr.count("texts are missing") == 1
    text = page.read_text("utf-8")
    assert '<html lang="de">' in text
    assert "Ausstoß und Güte" in text
    assert "Vorsicht" in text
    plain = (tmp_path / "tables" / "policies.csv").read_text("utf-8")
    assert "good_per_hour" in plain
