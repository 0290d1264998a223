"""One file translates the full report of a study: with every word marked, no English is left in what it tells."""

from __future__ import annotations

import csv
import html
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.records.reading import Record, Records
from linesim.report.page import (
    frontier_page,
    practice_page,
    proof_page,
    regret_page,
    search_pages,
    watch_page,
    worth_page,
)
from linesim.report.page.page import Page
from linesim.report.theme.pieces import Bullets, Drawing, Folded, Paragraph, Piece, Sketch, Table
from linesim.study.doubt.answer import Regret
from linesim.study.doubt.study import RegretStudy
from linesim.study.options import StudyOptions
from linesim.study.practice import Practices
from linesim.study.practice.answer import Record as Practised
from linesim.study.practice.study import CLAIMS, PracticeStudy
from linesim.study.proof.judged import Word
from linesim.study.proof.proof import Proof
from linesim.study.proof.study import ProofStudy
from linesim.study.questions.frontier import Frontier, FrontierStudy
from linesim.study.questions.frontier_grid import grid_of
from linesim.study.questions.worth import Worth, WorthStudy
from linesim.study.search import (
    BestIntervals,
    Circulation,
    Drivers,
    DriverStudy,
    Holding,
    IntervalStudy,
    NumberStudy,
    SearchPlan,
    goal_of,
)
from linesim.study.search.common.goal import Goal
from linesim.study.search.numbers.items import items_of
from linesim.study.search.sensitivity.inputs import inputs_of, together
from linesim.study.watching.watch import Watching, watch
from linesim.words import ENGLISH, Words, reading, retell
from linesim.works import Works, changed
from tests.unit.test_proof import book as ninety_edges
from tests.unit.test_watching import book
from tests.unit.test_words_of_sheets import SCENARIOS, english_left, nameless, translation

SHORT = {"run": {"length": "2 shifts", "warm_up": "1 shift"}}
_NAMES = r"EN-GJL-\d+|(three|two)-cylinder|operators|inspectors"
"""Of materials, and names of the demonstration that the schema has as well."""
_IN_PICTURES = ("text", "name", "title", "hovertext", "hovertemplate", "ticktext", "annotation_text")


@cache
def in_the_catalogue() -> frozenset[str]:
    """Figures that stand in texts of the catalogue themselves, which whoever translates these writes in his own way."""
    texts = [
        text for entry in ENGLISH.entries.values() for text in ([entry] if isinstance(entry, str) else entry.values())
    ]
    return frozenset(re.findall(r"\d+\.\d+", " ".join(texts)))


def left_in(text: str, works: Works) -> list[str]:
    """What a report says in English."""
    left = english_left(re.sub(_NAMES, "", text), works)
    return [each for each in left if each not in in_the_catalogue()]


def short(file: str) -> Works:
    """A nameless scenario with a run of two shifts."""
    return changed(nameless(file), SHORT)


def shown_by(page: Page, own_sections: int) -> str:
    """All that a page says, but for what every page has: title block, scenario, assumptions, sources, cautions."""
    texts = [page.lettering, page.question, *page.sentences]
    for section in list(page.sections)[:own_sections]:
        texts += [section.title, *(text for piece in section.pieces for text in _texts(piece))]
    plain = re.sub(r"%\{.*?\}|<br>|<extra></extra>|</?b>", " ", html.unescape(" ".join(texts)))
    return html.escape(plain)


def _texts(piece: Piece) -> Iterator[str]:
    match piece:
        case Paragraph(text=text):
            yield text
        case Bullets(texts=texts):
            yield from texts
        case Table(caption=caption, heads=heads, rows=rows, foot=foot):
            cells = [cell for row in (heads, *rows, foot) for cell in row]
            yield from (caption, *(cell if isinstance(cell, str) else cell[0] for cell in cells))
        case Drawing(figure=figure, caption=caption):
            yield caption
            yield from _of_picture(figure.to_plotly_json())
        case Folded(summary=summary, pieces=pieces):
            yield from (summary, *(text for each in pieces for text in _texts(each)))
        case Sketch():
            yield from (str(piece.svg), piece.caption)


def _of_picture(value: Any, name: str = "") -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _of_picture(inner, key if key in _IN_PICTURES or not isinstance(inner, str) else "")
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from _of_picture(inner, name)
    elif isinstance(value, str) and name in _IN_PICTURES:
        yield value


Caught = list[Page]


@pytest.fixture
def pages(monkeypatch: pytest.MonkeyPatch) -> Caught:
    """Pages as they are before they become HTML."""
    caught: Caught = []
    for module in (frontier_page, practice_page, proof_page, regret_page, search_pages, watch_page, worth_page):
        monkeypatch.setattr(module, "page_html", lambda page: caught.append(page) or "")
    return caught


@cache
def found() -> BestIntervals:
    """A search with caps."""
    works = short("smallest.yaml")
    goal = goal_of(works, "cost", 3.0, 0.5, 5.0)
    plan = SearchPlan(50, 4, 2, ranges=True, over_lives=True)
    return IntervalStudy(works, goal, None, plan, StudyOptions(4)).run()


def intervals() -> Iterator[BestIntervals]:
    """What a search has found, and the same with what else may be said of it."""
    answer, verdict = found(), found().verdict
    assert verdict is not None
    yield answer
    goal, output = answer.goal, Goal("output", answer.goal.caps)
    yield answer.but(verdict=None, is_settled=True)
    for mean, half_width in ((0.0, 0.0), (1.0, 2.0), (-3.0, 1.0), (3.0, 1.0)):
        apart = {
            name: each._replace(mean=mean, half_width=half_width, p_value=0.5)
            for name, each in verdict.differences.items()
        }
        told = replace(verdict, differences=apart)
        for sought in (goal, output):
            yield answer.but(verdict=told, goal=sought, setting=replace(answer.setting, parts=(9999,) * 2))


@cache
def tried() -> Frontier:
    """All kinds of points that this works has."""
    works = short("smallest.yaml")
    kinds = ("life", "grouped", "parts", "check", "shift", "run out", "aimed")
    return FrontierStudy(grid_of(works, kinds, [0.5]), StudyOptions(4)).run()


def frontiers() -> Iterator[Frontier]:
    """Output against quality loss: many policies, what one run says, one that beats all, and none."""
    answer = tried()
    yield answer
    works = answer.comparison.works
    yield FrontierStudy(grid_of(works, ("life",), [0.5, 1.0]), StudyOptions(1)).run()
    yield FrontierStudy(grid_of(works, ("run out",), None, None, None, False), StudyOptions(2)).run()


def worths() -> Iterator[Worth]:
    """A minute at each operation of lines of which one is slow, and in one run."""
    works = short("smallest.yaml")
    yield WorthStudy(works, None, StudyOptions(6)).run()
    yield WorthStudy(works, None, StudyOptions(1)).run()


def numbers() -> Iterator[Circulation]:
    """Sets and people, what is best as it is, and what is not."""
    answer = NumberStudy(short("smallest.yaml"), most_runs=60, fresh=2, options=StudyOptions(4)).run()
    yield answer
    gain, more = answer.steps[0].gain, tuple(item.now + 1 for item in answer.items)
    for mean, half_width in ((0.1, 1.0), (2.0, 1.0)):
        apart = gain._replace(mean=mean, half_width=half_width)
        steps = tuple(replace(each, gain=gain._replace(mean=-mean, half_width=half_width)) for each in answer.steps)
        yield answer.but(counts=more, verdict=apart, steps=steps, is_settled=True)
    yield answer.but(counts=more, verdict=None)


def sensitivities() -> Iterator[Drivers]:
    """Every input alone, all together, and where none or all of them matter."""
    works = short("smallest.yaml")
    answer = DriverStudy(works, trajectories=2, options=StudyOptions(2)).run()
    yield answer
    yield answer.but(screened={name: replace(each, mu_star=9.0, half_width=5.0, sigma=99.0)
                               for name, each in answer.screened.items()})  # fmt: skip
    yield answer.but(inputs=together(answer.inputs), screened={}, alone={})
    for p_value in (1e-9, 1.0):
        apart = {
            name: (low._replace(p_value=1.0), high._replace(mean=at, half_width=0.1, p_value=p_value if at else 1.0))
            for at, (name, (low, high)) in enumerate(answer.alone.items())
        }
        yield answer.but(screened={}, alone=apart)


def regrets() -> Iterator[Regret]:
    """How far a policy stays right, wherever that may end, and whatever is worth knowing."""
    works = short("smallest.yaml")
    answer = RegretStudy(works, options=StudyOptions(8)).run()
    yield answer
    for ends in ((0, 0), (0, 7), (3, 4), (3, 7), (4, 4), (1, 6)):
        steps = tuple(
            replace(each, gap=each.gap._replace(mean=1.0 if ends[0] <= at < ends[1] else -9.0, half_width=1.0))
            for at, each in enumerate(answer.steps)
        )
        for policy, p_value in ((answer.losses[0].name, 0.0), (answer.losses[1].name, 1.0)):
            worths = tuple(replace(each, p_value=p_value, value=2.5) for each in answer.worths)
            yield replace(answer, chosen=policy, steps=steps, worths=worths)
    yield RegretStudy(works, list(works.policies)[-1], is_short=True, options=StudyOptions(8)).run()


def watches() -> Iterator[Watching]:
    """New records in which a life has moved, has not, or is not foretold at all."""
    works = short("smallest.yaml")
    names = list(works.cutters)
    for drop, options in ((1.0, None), (0.4, StudyOptions(2))):
        rows = [
            Record("1", at, "tool changes", {**row, "set": name})
            for name in names
            for at, row in enumerate(_changes(drop))
        ]
        yield watch(works, Records(tuple(rows)), None, options)
        yield watch(works, Records(tuple(rows)))
    yield Watching()


def _changes(drop: float) -> Iterator[dict[str, Any]]:
    for row in csv.DictReader(book(drop).splitlines()):
        figures = {name: float(row[name]) for name in ("minutes", "change minutes")}
        when = datetime.fromisoformat(row["when"])
        yield {"when": when, "why": row["why"], "first part error": figures["change minutes"], **figures}


def practices() -> Iterator[Practices]:
    """What every practitioner knows: as it is, and where the draws say the opposite, or nothing."""
    for file in ("block-line.yaml", "head-line.yaml"):
        answer = PracticeStudy(short(file), options=StudyOptions(2)).run()
        yield Practices((answer,))
        for way in (1.0, -1.0, 0.0):
            yield Practices((replace(answer, records=tuple(_apart(each, way) for each in answer.records)),))


def _apart(record: Practised, way: float) -> Practised:
    """What the draws would say if all figures differed so; where by nothing, now one way and now the other."""
    signs = [way or (-1.0) ** at for at in range(len(record.pairs))]
    pairs = [
        [replace(pair, less=5.0 - sign, more=5.0 + sign) for pair in own]
        for sign, own in zip(signs, record.pairs, strict=True)
    ]
    return replace(record, pairs=pairs)


def proofs() -> Iterator[Proof]:
    """Edges and readings foretold, one way after another, with every verdict, and records that tell nothing."""
    works = short("smallest.yaml")
    own = next(iter(works.cutters))
    rows = [replace(row, values={**row.values, "set": own, "machine": "№1"}) for row in ninety_edges(0.5).rows]
    read = [
        Record("№2", at, "gauge readings", {
            "set": own, "when": row.values["when"], "machine": "№1", "edge": str(at % 9), "parts": 10.0 * (at % 7),
            "size error": 1.0 + 0.1 * (at % 7) + at % 3, "roughness": 1.0 + 0.2 * (at % 7) + 0.1 * (at % 3),
            "wear land": 0.01 * (1 + at % 7), "minutes": 10.0 * (1 + at % 7),
        })
        for at, row in enumerate(rows)
    ]  # fmt: skip
    strange = Record("№2", 1, "tool changes", {"set": "№3", "minutes": 9.0})
    answer = ProofStudy(works, Records((*rows, *read, strange)), StudyOptions(4)).run()
    yield answer
    ways: tuple[Word, ...] = ("foretells", "too narrow", "too wide", "too high", "too low", "too few")
    for word in ways:
        yield replace(
            answer, proven=tuple(replace(each, verdict=replace(each.verdict, word=word)) for each in answer.proven)
        )
    yield ProofStudy(works, Records(()), StudyOptions(4)).run()


@pytest.mark.parametrize("file", ["block-line.yaml", "crankcase-line.yaml", "centres.yaml"])
def test_what_may_be_counted_or_varied_is_told_whatever_it_is_of(file: str) -> None:
    works = short(file)
    with reading(translation()):
        inputs = [*inputs_of(works), *together(inputs_of(works))]
        told = [retell(text) for one in inputs for text in (one.words, one.reason)]
        told += [retell(text) for of in CLAIMS for text in (of.words, of.rests_on, of.otherwise, of.absent(works))]
        told += [retell(item.counted(count)) for item in items_of(works, Holding()) for count in (1, 2)]
    assert not left_in(" ".join(told), works)


@pytest.mark.parametrize(
    ("file", "kinds"),
    [("centres.yaml", ("half corrected", "overhauls", "people")), ("mixed-line.yaml", ("shift", "batches"))],
)
def test_points_of_a_frontier_are_told_whatever_they_change(file: str, kinds: tuple[str, ...]) -> None:
    works, ages = (
        short(file),
        {"ages": {"shape": 2, "scale": 500}, "repair": 10, "overhaul": {"every": 300, "minutes": 20}},
    )
    line, at = next((name, next(iter(of.operations))) for name, of in works.lines.items())
    works = changed(works, {"lines": {line: {"operations": {at: {"breakdowns": ages}}}}})
    points = grid_of(works, kinds, [0.5], None, None, False)
    with reading(translation()):
        told = " ".join(retell(point.name) for point in points)
    assert len(points) > 4
    assert not left_in(told, works)


PAGES: dict[str, tuple[Callable[[], Iterator[Any]], Callable[[Any], str], int]] = {
    "intervals": (intervals, search_pages.intervals_page, -2),
    "frontier": (frontiers, frontier_page.frontier_page, -2),
    "numbers": (numbers, search_pages.circulation_page, -2),
    "drivers": (sensitivities, search_pages.drivers_page, -2),
    "regret": (regrets, regret_page.regret_page, -2),
    "watch": (watches, lambda answer: watch_page.watch_page(answer, {}, None), 99),
    "practice": (practices, practice_page.practice_page, 99),
    "proof": (proofs, proof_page.proof_page, 99),
    "worth": (worths, worth_page.worth_page, -2),
}
"""Answers of a study, the page that shows them, and up to which of its sections it is the study's own."""


def works_of(answer: Any) -> Works:
    """What was asked about."""
    if isinstance(answer, Practices):
        return answer.answers[0].works
    if isinstance(answer, Watching):
        return short("smallest.yaml")
    return answer.comparison.works if isinstance(answer, Frontier) else answer.works


@pytest.mark.parametrize("name", list(PAGES))
def test_with_every_word_marked_no_english_is_left_in_a_report(name: str, pages: Caught) -> None:
    study, page, own_sections = PAGES[name]
    for answer in study():
        with reading(translation()):
            page(answer)
        assert not left_in(shown_by(pages[-1], own_sections), works_of(answer))


def test_english_is_found_where_a_report_has_it(pages: Caught) -> None:
    few = {key: entry for key, entry in translation().entries.items() if key not in ("search.by_itself", "lever.aim")}
    with reading(Words("hy", "english", few)):
        search_pages.intervals_page(found())
    assert {"itself", "aim"} <= set(left_in(shown_by(pages[-1], -2), found().works))


def test_a_report_is_written_in_the_words_of_a_file_and_its_data_stay_english(tmp_path: Path) -> None:
    words, page = tmp_path / "xx.yaml", tmp_path / "worth.html"
    words.write_text("language: xx\nworth:\n  kind: Minutenwert\n  picture: Engpass\n", encoding="utf-8")
    asked = ["worth", str(SCENARIOS / "smallest.yaml"), "--replications", "2", "--words", str(words)]
    result = CliRunner().invoke(app, [*asked, "--html", str(page), "--json"])
    assert result.exit_code == 0
    text = page.read_text(encoding="utf-8")
    assert '<html lang="xx">' in text
    assert "linesim / Minutenwert" in text
    assert "Engpass" in text
    assert "Engpass" not in result.stdout
    again = CliRunner().invoke(app, ["rerun", str(page)])
    assert again.exit_code == 0, again.output
