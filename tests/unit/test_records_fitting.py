"""From rows to figures: lives, breakdowns, gauges, changes; and from figures to a scenario."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from typer.testing import CliRunner

from linesim.cli import app
from linesim.records.coefficient import UNKNOWN
from linesim.records.fitted import fit_records
from linesim.records.gauge_study import gauge_study
from linesim.records.lives import lives_from_book, lives_from_wear
from linesim.records.reading import Record, Records
from linesim.records.spreads import first_part_figures, trend_figures
from linesim.records.stoppages import times_between
from linesim.works import load_works
from tests.benchmarks.recovery import Truth, covered

BOOK = """set,when,minutes,why,speed,feed,depth,change minutes,first part error
rough mill,2026-01-02,31,worn,100,0.15,3,6,4
rough mill,2026-01-03,35,worn,105,0.15,3,7,-2
rough mill,2026-01-04,25,by interval,105,0.15,3,5,1
rough mill,2026-01-05,12,broken,105,0.15,3,19,3
rough mill,2026-01-06,40,worn,100,0.15,3,6.5,0
file,2026-01-06,40,worn,100,0.15,3,6.5,0
"""


def rows(kind: str, *values: dict[str, Any]) -> list[Record]:
    return [Record("book.csv", at, kind, value) for at, value in enumerate(values, start=2)]


def test_how_an_edge_ended_says_what_is_known_of_its_life() -> None:
    """Worn: ended, after the last good look; broken or by interval: longer; by parts where minutes are not there."""
    lives = lives_from_book(
        "mill",
        rows(
            "tool changes",
            {"why": "worn", "minutes": 30.0, "last good": 24.0},
            {"why": "worn", "parts": 50, "minutes per part": 0.5},
            {"why": "broken", "minutes": 7.0},
            {"why": "broken", "minutes": 30.0, "last good": 24.0},
            {"why": "by interval", "minutes": 20.0},
            {"why": "worn", "parts": 50},
            {"why": "worn", "minutes": 10.0, "last good": 12.0},
        ),
    )
    assert lives is not None
    assert lives.lives.lower.tolist() == [24.0, 25.0, 7.0, 24.0, 20.0]
    assert lives.lives.upper.tolist() == [30.0, 25.0, np.inf, np.inf, np.inf]
    assert lives.broken.tolist() == [False, False, True, True, False]
    assert [each.row for each in lives.asides] == [7, 8]


def test_a_wear_land_passes_its_limit_between_two_readings() -> None:
    readings = [("a", 10.0, 0.1), ("a", 20.0, 0.25), ("a", 30.0, 0.31), ("b", 10.0, 0.12), ("b", 25.0, 0.2)]
    values = [{"edge": edge, "minutes": minutes, "wear land": land} for edge, minutes, land in readings]
    lives = lives_from_wear("mill", rows("gauge readings", *values), 0.3)
    assert lives is not None
    assert lives.lives.lower.tolist() == [20.0, 25.0]
    assert lives.lives.upper.tolist() == [30.0, np.inf]


def test_times_between_breakdowns_count_running_time_alone() -> None:
    """100 min run, planned stop of 30, 50 min run: 150; the last 40 min are not over; two rows cannot be."""
    at = datetime.fromisoformat("2026-01-01T06:00")

    def stop(start: int, end: int, reason: str) -> dict[str, Any]:
        return {"start": at + timedelta(minutes=start), "end": at + timedelta(minutes=end), "reason": reason}

    stops = rows(
        "stoppages", stop(0, 20, "breakdown"), stop(120, 150, "planned"), stop(200, 215, "breakdown"),
        stop(210, 220, "planned"), stop(240, 230, "planned"),
    )  # fmt: skip
    between, repairs, asides = times_between(stops, at + timedelta(minutes=255))
    assert between.tolist() == [[150.0, 150.0], [40.0, np.inf]]
    assert repairs[:, 0].tolist() == [20.0, 15.0]
    assert [each.row for each in asides] == [5, 6]


def test_bias_and_drift_of_a_gauge() -> None:
    """Readings 2 µm too large, and 1 µm more each hour; the mean of three hours is 3 µm."""
    at = datetime.fromisoformat("2026-01-01T06:00")
    values = [
        {
            "part": str(hour),
            "reading": 10.0 + (2.0 + hour + wiggle) / 1000.0,
            "reference": 10.0,
            "when": at + timedelta(hours=hour),
        }
        for hour, wiggle in ((0, 0.1), (1, -0.1), (2, 0.0), (0, -0.1), (1, 0.1), (2, 0.0))
    ]
    figures, sentences = gauge_study("gauge", rows("gauge study", *values))
    assert {each.name: each.interval.value for each in figures} == {
        "bias": pytest.approx(3.0),
        "drift": pytest.approx(1.0),
    }
    assert "two parts or more" in sentences[0]


def test_first_parts_and_trends_by_hand() -> None:
    """Errors 4, -2, 1: mean 1, spread 3. Roughness 1.0, 1.2, 1.4 at 0, 50, 100 parts: 1.0 and 0.4 by 100 parts."""
    errors = rows("tool changes", *({"first part error": error} for error in (4.0, -2.0, 1.0)))
    setting, lean = first_part_figures("mill", errors)
    assert (setting.interval.value, lean.interval.value, lean.state) == (
        pytest.approx(3.0),
        pytest.approx(1.0),
        UNKNOWN,
    )
    readings = rows("gauge readings", *({"parts": parts, "roughness": 1.0 + 0.004 * parts} for parts in (0, 50, 100)))
    fresh, growth = trend_figures("mill", readings, "roughness", "µm")
    assert (fresh.interval.value, growth.interval.value) == (pytest.approx(1.0), pytest.approx(0.4))


def test_few_edges_lean_on_the_handbook_and_say_how_far() -> None:
    """With one worn edge nearly all is the handbook; without a scenario nothing is established."""
    own = Records(
        tuple(
            Record("b.csv", 2, "tool changes", {"set": "rough mill", "minutes": 30.0, "why": "worn"}) for _ in range(1)
        )
    )
    alone = fit_records(own)
    assert not alone.coefficients
    assert "not established" in alone.sentences[1]
    leaning = fit_records(own, load_works("scenarios/smallest.yaml")).lives["rough mill"]
    assert leaning.best is not None
    shares = leaning.best.prior_shares
    assert 0.1 < shares[0] < 0.6
    assert shares[1] > 0.8


def test_figures_go_into_a_scenario_with_their_origin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copy("scenarios/smallest.yaml", tmp_path)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "book.csv").write_text(BOOK)

    def called(*words: str) -> Any:
        answer = CliRunner().invoke(app, ["records", *words])
        assert answer.exit_code == 0, (answer.stderr, answer.exception)
        return answer

    called("book.csv", "--guess", "records.yaml")
    shown = called("records.yaml", "--scenario", "smallest.yaml", "--write", "own.yaml", "--html", "own.html").stdout
    words = " ".join(shown.split())
    assert "rough: its speed of 110 lies outside the records (100 to 105)" in words
    assert '"file" is in the records, and no cut of this scenario uses a set of that name' in words
    text = (tmp_path / "own.yaml").read_text()
    assert "book.csv rows 2-6, 2026-01-02 to 2026-01-06" in text
    own, base = load_works("own.yaml"), load_works("smallest.yaml")
    mill = own.cutters["rough mill"]
    assert mill.grade == "rough mill, from records"
    assert own.handbook.grades[mill.grade]["ref_speed_m_min"] == 105.0
    assert mill.change.lognormal is not None
    assert mill.change.lognormal.mean == pytest.approx(6.125)
    assert mill.setting.error == pytest.approx(np.std([4, -2, 1, 3, 0], ddof=1), rel=1e-3)
    assert own.cutters["finish mill"] == base.cutters["finish mill"]
    page = (tmp_path / "own.html").read_text()
    assert "records-0" in page
    assert "handbook alone" in page


@pytest.mark.late
def test_what_the_floor_s_laws_write_is_fitted_back() -> None:
    """Twenty-five logs of known truth: each interval of 95 % holds it in 19 or more (less: 1 time in 1,500)."""
    counts = covered(Truth(), logs=25, seed=11)
    assert counts.without_estimate == 0
    assert all(holds >= 19 for holds in counts.holds.values()), counts
