"""Rows held back, foretold and judged: what is right is called right, and each way of being wrong by its name."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from scipy import stats
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.records.lives import lives_from_book
from linesim.records.predictive import draw_lives
from linesim.records.reading import Record, Records
from linesim.study import run
from linesim.study.proof.judged import Foretold, verdict_of
from linesim.study.proof.study import ProofStudy
from linesim.works import load_works
from tests.benchmarks.recovery import Truth, log_of

SMALLEST = Path("scenarios/smallest.yaml")
FIRST = datetime(2031, 3, 3, 7)  # noqa: DTZ001 - a shop's book knows no zones


def book(late_by: float = 1.0) -> Records:
    """Ninety edges of two machines over thirty weeks, those of the last third with their lives times a factor."""
    rows = []
    for at, row in enumerate(log_of(Truth(edges=90, interval_min=70.0), np.random.default_rng(20310))):
        factor = late_by if at >= 60 else 1.0
        own = {"set": "rough mill", "when": FIRST + timedelta(hours=56 * at), "machine": f"Op {10 + 10 * (at % 2)}"}
        rows.append(Record("log", at + 2, row.kind, {**row.values, **own, "minutes": factor * row.values["minutes"]}))
    return Records(tuple(rows), files=("log",))


@pytest.mark.parametrize(
    ("late_by", "word"),
    [
        (1.0, "foretells"),
        pytest.param(0.5, "too high", marks=pytest.mark.longer),
        pytest.param(1.8, "too low", marks=pytest.mark.longer),
    ],
)
def test_lives_by_time(late_by: float, word: str) -> None:
    """Edges that go on as before are foretold; edges of half or nearly twice the life are told as a lean."""
    answer = ProofStudy(load_works(SMALLEST), book(late_by)).run()
    by = {(each.quantity, each.way): each for each in answer.proven}
    assert by["edge life", "by time"].verdict.word == word
    assert by["edge life", "by time"].verdict.count == 30
    if word == "foretells":
        assert {each.verdict.word for each in answer.proven} == {"foretells"}
        assert {each.way for each in answer.proven} == {"by time", "by cutter", "by machine"}
        assert by["changes a week", "by time"].verdict.count == 8
        assert any("90 lives inside their 95 % band: the fit foretells lives." in each for each in answer.sentences)
        assert answer.sentences[-1].startswith("No counts")


def test_each_way_of_being_wrong() -> None:
    """A thousand draws of 40 things; what is seen has the right scatter, twice it, or a third; or leans to one side."""
    chance = np.random.default_rng(20310)
    draws = chance.normal(size=(1000, 40))
    for scatter, word in ((1.0, "foretells"), (2.0, "too narrow"), (0.35, "too wide")):
        seen = scatter * chance.normal(size=40)
        assert verdict_of(Foretold(("",) * 40, draws, seen, seen)).word == word
    for lean, word in ((-0.8, "too high"), (0.8, "too low")):
        seen = lean + chance.normal(size=40)
        assert verdict_of(Foretold(("",) * 40, draws, seen, seen)).word == word


def test_bands_of_few_lives_are_those_of_student() -> None:
    """Six whole lives: the next lies within mean ± t s sqrt(1 + 1/6) of the logarithms, where they are lognormal."""
    logs = np.random.default_rng(3).normal(3.0, 0.3, size=6)
    rows = [
        Record("log", at, "tool changes", {"minutes": float(np.exp(each)), "why": "worn"})
        for at, each in enumerate(logs)
    ]
    data = lives_from_book("mill", rows)
    assert data is not None
    drawn = draw_lives(data, None, np.random.default_rng(4), 20_000)
    assert drawn is not None
    next_one = np.log(drawn.lives(np.zeros((1, 0)), [""], np.random.default_rng(5))[~drawn.is_weibull, 0])
    exact = stats.t(5, logs.mean(), logs.std(ddof=1) * (7.0 / 6.0) ** 0.5).ppf([0.1, 0.5, 0.9])
    assert np.quantile(next_one, [0.1, 0.5, 0.9]) == pytest.approx(exact, abs=0.04)


@pytest.mark.longer
def test_output_and_scrap_from_the_command_line(tmp_path: Path) -> None:
    """Counts of 20 shifts as the works gives them by its own runs; then of a third more, which no run explains."""
    works = load_works(SMALLEST)
    short = works.model_copy(update={"run": works.run.model_copy(update={"length": 480.0})})
    good = [int(run(short, replication=number + 500, engine="fast").lines["shipped"].sum()) for number in range(20)]
    mapping = tmp_path / "records.yaml"
    for factor, word in ((1.0, "foretells"), (1.6, "too low")):
        days = [f"2031-03-{at + 3:02d},{round(factor * each)},0,480" for at, each in enumerate(good)]
        (tmp_path / "counts.csv").write_text("\n".join(["when,good,scrap,running minutes", *days]))
        CliRunner().invoke(app, ["records", str(tmp_path / "counts.csv"), "--guess", str(mapping), "--force"])
        page = tmp_path / "proof.html"
        answer = CliRunner().invoke(
            app, ["prove", str(mapping), str(SMALLEST), "--html", str(page), "--csv", "-", "--force"]
        )
        assert answer.exit_code == 0, answer.output
        row = next(each for each in answer.output.splitlines() if "shift output" in each)
        assert row.split(",")[-2] == word
        assert "proof" in page.read_text()


@pytest.mark.late
def test_each_line_s_output_is_foretold_by_itself() -> None:
    """Two dozen shifts of each line as the works gives them by its own runs, those of one half as many again.

    A verdict speaks against counts that are right in 2 of 100 cases at most, for three lines with two quantities each.
    """
    works = load_works(SMALLEST.with_name("works.yaml"))
    short = works.model_copy(update={"run": works.run.model_copy(update={"length": 480.0})})
    rows, wrong = [], "head"
    for at in range(24):
        shipped = run(short, replication=at + 500, engine="fast").lines.set_index("line")["shipped"]
        for line, good in shipped.items():
            said = round(1.5 * good) if line == wrong else int(good)
            counted = {"when": FIRST + timedelta(days=at), "machine": line, "good": said, "running minutes": 480.0}
            rows.append(Record("counts", len(rows), "counts", counted))
    unknown = Record("counts", 99, "counts", rows[0].values | {"machine": "Op 1"})
    proof = ProofStudy(works, Records((*rows, unknown))).run()
    assert {each.of: each.verdict.word for each in proof.proven if each.quantity == "shift output"} == {
        line: "too low" if line == wrong else "foretells" for line in works.lines
    }
