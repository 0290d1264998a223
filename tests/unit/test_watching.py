"""Watching: charts by hand, a figure that has moved is seen and dated, and the command says so."""

from __future__ import annotations

import json
import shutil
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from linesim.cli import app
from linesim.records.reading import Record, Records
from linesim.study.watching.chart import APART, FURTHEST, Error, charted
from linesim.study.watching.watch import watch
from linesim.works import load_works

START = datetime.fromisoformat("2026-01-05T07:00")
LIFE_MIN, CV = 206.60454, 0.3


def book(drop: float, weeks: int = 16, moved_at: int = 8, edges: int = 5) -> str:
    """Edges changed at nine tenths of a mean life, or when worn; from a week on they live shorter."""
    chance = np.random.default_rng(3)
    sigma = float(np.sqrt(np.log1p(CV**2)))
    lines = ["set,when,minutes,why,change minutes"]
    for week in range(weeks):
        for day in range(edges):
            factor = drop if week >= moved_at else 1.0
            life = factor * LIFE_MIN * float(np.exp(sigma * chance.standard_normal() - 0.5 * sigma**2))
            why = "worn" if life < 0.9 * LIFE_MIN else "by interval"
            minutes = 7.0 + 0.5 * float(chance.standard_normal())
            when = START + timedelta(weeks=week, days=day)
            lines.append(f"finish mill,{when:%Y-%m-%d},{min(life, 0.9 * LIFE_MIN):.2f},{why},{minutes:.3f}")
    return "\n".join(lines)


def test_weeks_by_hand() -> None:
    """Two records of 1 in the first week: 2 / sqrt 2; weighted 0.2 of it; limit 2.86 x 0.2. Then a week of 4: out."""
    errors = [(0, 1.0, 1.0), (6, 1.0, 1.0), (7, 4.0, 4.0), (14, 0.5, np.inf)]
    chart = charted([Error(START + timedelta(days=day), low, high) for day, low, high in errors])
    first, second, third = chart.weeks
    assert (first.count, first.error, first.mean, first.limit) == (
        2, pytest.approx(2**0.5), pytest.approx(0.2 * 2**0.5), pytest.approx(0.2 * APART),
    )  # fmt: skip
    assert (first.is_out, second.is_out) == (False, True)
    assert second.mean == pytest.approx(0.8 * 0.2 * 2**0.5 + 0.8)
    assert second.limit == pytest.approx(APART * (0.04 * (1 + 0.64)) ** 0.5)
    assert chart.since == second.monday
    assert third.error > 0.5


def test_false_alarms_come_as_seldom_as_stated() -> None:
    """Edges cut off at random: weeks are standard normal. 4 standard errors of 2000 weeks (6 in 100,000)."""
    chance = np.random.default_rng(5)
    values, cuts = chance.standard_normal((2, 10_000))
    errors = [
        Error(START + timedelta(weeks=at // 5), min(value, cut), value if value < cut else np.inf)
        for at, (value, cut) in enumerate(zip(values, cuts, strict=True))
    ]
    weeks = np.array([week.error for week in charted(errors).weeks])
    assert abs(weeks.mean()) < 4.0 / 2000**0.5
    assert abs(weeks.var() - 1.0) < 4.0 * (2.0 / 2000) ** 0.5
    out = np.array([week.is_out for week in charted(errors).weeks])
    assert np.mean(np.abs(weeks) > FURTHEST) < 0.0027 + 4.0 * (0.0027 / 2000) ** 0.5
    assert out.mean() < 0.03  # weeks out in a row count each; some 1 in 60


def test_the_week_of_a_change_is_held_as_often_as_is_said() -> None:
    """400 logs of five records a week that fall by one standard deviation in the ninth; 4 standard errors from 95 %."""
    chance, moved_in, held = np.random.default_rng(11), (START + timedelta(weeks=8)).date(), []
    fall = np.repeat([0.0, 1.0], 8)[:, None]
    for drawn in chance.standard_normal((400, 16, 5)):
        values = drawn - fall
        errors = [
            Error(START + timedelta(weeks=week, days=day), value, value)
            for week, row in enumerate(values)
            for day, value in enumerate(row)
        ]
        chart = charted(errors)
        if chart.since_low is not None and chart.since_high is not None:
            held.append(chart.since_low <= moved_in <= chart.since_high)
    assert len(held) > 390
    assert np.mean(held) > 0.95 - 4.0 * (0.95 * 0.05 / 400) ** 0.5


def test_a_life_that_fell_is_seen_dated_and_judged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copy("scenarios/smallest.yaml", tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "book.csv").write_text(book(0.7) + "\nfinish mill,2026-02-31,9,worn,7\n")

    def called(*words: str) -> str:
        answer = CliRunner().invoke(app, words)
        assert answer.exit_code == 0, (answer.stderr, answer.exception)
        return answer.stdout

    called("records", "book.csv", "--guess", "records.yaml")
    asked = ("watch", "records.yaml", "smallest.yaml", "--replications", "2", "--html", "watch.html", "--json")
    answer = json.loads(called(*asked))
    (moved,) = answer["moved"]
    assert (moved["of"], moved["what"]) == ("finish mill", "edge life")
    assert "2026-02-16" <= moved["since"] <= "2026-03-16"  # it moved in the week of 2 March
    assert moved["standing"] == pytest.approx(LIFE_MIN)
    assert moved["now"] == pytest.approx(0.7 * LIFE_MIN, rel=0.1)
    assert moved["best_after"] <= moved["best_before"]
    assert "1 of 2 figures have moved" in answer["sentences"][0]
    assert any("Op 20 / finish mill: " in sentence for sentence in answer["sentences"])
    assert answer["aside"][0]["reason"].startswith("when:")
    assert "watch-0" in (tmp_path / "watch.html").read_text()
    assert f"has moved, most likely in the week of {moved['since']}" in " ".join(
        called("watch", "records.yaml", "smallest.yaml", "--no-runs").split()
    )


def test_nothing_that_is_foretold_is_said() -> None:
    works = load_works("scenarios/smallest.yaml")
    rows = (Record("b", 2, "tool changes", {"set": "drill", "when": START, "minutes": 5.0, "why": "worn"}),)
    assert "names of sets and dates are needed" in watch(works, Records(rows)).sentences[0]
