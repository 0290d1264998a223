"""Deciding under what is not known: how far a policy stays right, and what knowing a life is worth."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.errors import StudyError
from linesim.study import Crew, StudyOptions
from linesim.study.advice.move import TRIAL, moved
from linesim.study.advice.study import AdviceStudy
from linesim.study.doubt.advised import AdvisedStudy
from linesim.study.doubt.answer import action_words, still_right_words
from linesim.study.doubt.candidates import scaled_policy
from linesim.study.doubt.draws import draw_factors, lives_of, with_lives
from linesim.study.doubt.figures import losses_of, step_of, worth_of
from linesim.study.doubt.study import FACTORS, LOOKS, RegretStudy
from linesim.study.search.common.trials import Trial, Trials
from linesim.study.search.sensitivity.variations import as_minutes
from linesim.study.statistics.intervals import each_of
from linesim.works import changed, load_works
from tests.floors import a_blade, a_cut, a_shop

SMALLEST = Path("scenarios/smallest.yaml")


def test_what_knowing_is_worth_is_the_exact_figure() -> None:
    """One decision brings the log life, another nothing: to know it is worth sigma / sqrt(2 pi) (exact); another, 0.

    4,000 draws: the standard error of the mean of the positive half is 0.009 of sigma 1.
    """
    chance = np.random.default_rng(20_310)
    known, other = chance.normal(size=(2, 4000))
    brings = np.array([known, np.zeros(4000)])
    first, second = (worth_of("a life", 2.0, logs, brings) for logs in (known, other))
    assert first.value == pytest.approx(1.0 / (2.0 * np.pi) ** 0.5, abs=0.04)
    assert first.p_value < 0.01
    assert second.value < 0.02
    lost = losses_of(["runs", "stays"], brings, 0.95)
    assert {each.name: each.loses.mean for each in lost}["stays"] == pytest.approx(0.3989, abs=0.03)


def test_how_far_it_stays_right_by_hand() -> None:
    """Ahead at 1 and 0.8, 24 an hour behind at 0.5: the line says so.

    Sum of squares 10.5 over 8 pairs: standard error 0.433; Student's t with 7, one look of four: 3.34; half width 1.4.
    """
    spread = np.array([-2.0, -1.0, 0.0, 1.0, 2.0, 0.5, -0.5, 0.0])
    ahead = {0.5: -24.0, 0.8: 0.0, 1.0: 30.0, 2.0: 40.0}
    steps = tuple(
        step_of(factor, "early", {"early": gap + spread, "late": np.zeros(8)}, 0.95, 4) for factor, gap in ahead.items()
    )
    words = still_right_words("early", steps, "EUR an hour")
    assert words == (
        '"early" is still right down to 0.8 of the assumed lives and up to 2; '
        'at 0.5 it loses 24.0 ± 1.4 EUR an hour to "late".'
    )
    assert action_words(steps, "EUR a month") == (
        "Still right down to 0.8 of the assumed lives and up to 2; at 0.5 it loses 24.0 ± 1.4 EUR a month to late."
    )


def test_intervals_are_scaled_but_not_past_the_wear_limit_and_draws_are_those_of_what_is_known() -> None:
    """A life of 100 min, changed at 90: 1.25 times ends at the life; within a factor of 2 is a sigma of ln 2 / 1.96."""
    works = a_shop(
        {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}}, rule={"minutes": 90},
        cutters={"blade": a_blade(life=100, sets=9)}, line={"features": {"face": {"size": {"limits": [99.0, 101.0]}}}},
    )  # fmt: skip
    scaled = [scaled_policy(works, "as stated", factor).policies["as stated"] for factor in (0.8, 1.25)]
    assert [policy.exceptions["Op 10 / blade"].minutes for policy in scaled] == [
        pytest.approx(72.0),
        pytest.approx(100.0),
    ]
    (life,), drawn = lives_of(works), draw_factors(works, 2000, 7)
    assert draw_factors(works, 5, 7) == drawn[:5]
    logs = np.log([each[life.name] for each in drawn])
    assert logs.std() == pytest.approx(np.log(2.0) / 1.96, rel=0.07)  # 4 standard errors
    assert with_lives(works, {life.name: 0.5}).cutters["blade"].life_min == 50.0


@pytest.mark.longer
def test_a_works_is_asked() -> None:
    """Policies past the wear limit are left out unless asked for, and then it is said; scaled intervals take part."""
    works, options = load_works(SMALLEST), StudyOptions.of(replications=8, workers=1)
    answer = RegretStudy(works, options=options).run()
    assert "run until it breaks" not in {each.name for each in answer.losses}
    assert answer.sentences[-1].startswith("Left out, as they go past the wear limit of an average edge: run until it")
    assert any("intervals times 0.8" in each.name for each in answer.losses)
    assert {each.of for each in answer.worths} == {"the life of the rough mill", "the life of the finish mill"}
    assert min(each.loses.mean for each in answer.losses) >= 0.0
    past = RegretStudy(works, "run until it breaks", is_short=True, options=options).run()
    assert any("Goes past the wear limit of" in each for each in past.sentences)
    with pytest.raises(StudyError, match="two policies that stay within the wear limit"):
        RegretStudy(works, among=("full life",), options=options).run()


def test_a_comparison_carries_the_line_on_demand() -> None:
    """Beneath the table of two policies that stay within the limit; the same command without it says nothing of it."""
    asked = ["compare", str(SMALLEST), "--policy", "full life", "--policy", "check the edge", "--replications", "2"]
    asked += ["--store", "none", "--workers", "1"]
    answer = CliRunner().invoke(app, [*asked, "--still-right"])
    assert answer.exit_code in (0, 1), answer.output
    assert re.search(r'"full life" is still right (at|down to) ', " ".join(answer.output.split()))


def test_every_action_says_how_far_it_stays_right() -> None:
    """The actions and their money are those found without it; the line of one is worked out anew beside it.

    Three days of six changes; of each action the same 8 runs of today's practice and of it at half the lives.
    """
    works = changed(load_works(SMALLEST), {"run": {"length": "3 days"}})
    options = StudyOptions.of(replications=6, workers=1)
    plain, advised = (kind(works, 6, options).run() for kind in (AdviceStudy, AdvisedStudy))
    assert [each.label for each in advised.actions] == [each.label for each in plain.actions]
    assert [each.gain for each in advised.actions] == [each.gain for each in plain.actions]
    assert advised.actions
    assert all(each.still_right.startswith("Still right") for each in advised.actions)
    assert advised.together is None or advised.together.still_right
    first = advised.actions[0]
    assert first.still_right in " ".join(advised.sentences)
    half = {life.name: 0.5 for life in lives_of(works)}
    trials = Trials(advised.seed, Crew(1))
    for name, moves in (("before", ()), ("after", first.moves)):
        short = with_lives(as_minutes(moved(works, moves), TRIAL), half)
        assert len(list(trials.run([Trial(name, short, TRIAL)], range(LOOKS)))) == LOOKS
    gap = trials.difference("after", "before", "contribution_per_hour", range(LOOKS), each_of(0.95, len(FACTORS)))
    assert first.still_right.startswith("Still right down to 0.5") is not (gap.is_apart and gap.mean < 0.0)
    assert gap.mean > 0.0


@pytest.mark.longer
def test_a_search_carries_the_line_on_demand_and_regret_draws_it(tmp_path: Path) -> None:
    """In the answer of the search and on its page; the page of regret has its picture and its three tables."""
    page, own = tmp_path / "best.html", tmp_path / "regret.html"
    asked = ["--store", "none", "--workers", "1"]
    search = ["intervals", str(SMALLEST), "--runs", "60", "--fresh", "4", "--no-levers", "--still-right", *asked]
    answer = CliRunner().invoke(app, [*search, "--html", str(page), "--json"])
    assert answer.exit_code == 0, answer.output
    (first, *_) = json.loads(answer.stdout)["still_right"]
    assert first.startswith('"best intervals" is ')
    assert "of the assumed lives" in page.read_text("utf-8")
    assert (
        CliRunner().invoke(app, ["regret", str(SMALLEST), "--html", str(own), "--replications", "8", *asked]).exit_code
        == 0
    )
    text = own.read_text("utf-8")
    assert all(
        words in text for words in ("all lives, times what is assumed", "What each loses", "What to measure first")
    )
