"""A safe trial: weeks that add up to the run, the rule to stop, weeks to see a difference, the records read back."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.power import TTestIndPower
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.cutting.life import wear_land_mm
from linesim.errors import StudyError
from linesim.plan.build import make_plan
from linesim.records.reading import Record, Records
from linesim.study import StudyOptions
from linesim.study.one.tryout import run
from linesim.study.trial.answer import Trial
from linesim.study.trial.answered import TrialAnswered
from linesim.study.trial.seeing import power_of_weeks, weeks_to_see
from linesim.study.trial.stopping import most_in_window, stop_rule
from linesim.study.trial.study import TrialStudy
from linesim.works import Works, changed, load_works

SMALLEST = Path(__file__).resolve().parents[2] / "scenarios" / "smallest.yaml"
SET, TODAY, INTERVAL, WEEKS, RUNS = "Op 20 / finish mill", "every 60 parts", 15, 3, 3
SHORT = {"calendar": {"shift": "60 min", "shifts_per_day": 1, "days_per_week": 5}, "run": {"warm_up": "1 shift"}}


def works() -> Works:
    """The smallest line in weeks of 300 minutes."""
    return changed(load_works(SMALLEST), SHORT)


@cache
def trial() -> Trial:
    return TrialStudy(works(), SET, INTERVAL, TODAY, WEEKS, options=StudyOptions(replications=RUNS)).run()


def test_weeks_add_up_to_one_long_run_and_readings_are_those_of_the_last_part_before_a_change() -> None:
    one = works()
    week = one.calendar.minutes_per()["week"]
    rules = {"on trial": {"default": {"parts": 60}, "exceptions": {SET: {"parts": INTERVAL}}}}
    whole = changed(one, {"run": {"length": WEEKS * week}, "policies": rules})
    answer, plan = trial(), make_plan(whole, "on trial")
    for replication in (0, 2):
        weeks, long = answer.during[replication], run(whole, "on trial", one.run.seed, replication, trace=True)
        assert long.trace is not None
        line = long.lines.iloc[0]
        assert sum(each.shipped for each in weeks) == line["shipped"]
        assert sum(each.scrap for each in weeks) == line["scrapped"]
        hours = WEEKS * week / 60.0
        assert sum(each.money for each in weeks) == pytest.approx(line["contribution_per_hour"] * hours, abs=0.5)
        loss = line["quality_loss_per_good_part"] * line["shipped"]
        assert sum(each.loss for each in weeks) == pytest.approx(loss, abs=0.05)  # weeks are rounded to hundredths
        changes, parts = long.trace.changes, long.trace.parts
        own = changes[(changes["cutter"] == "finish mill") & (changes["now_min"] > plan.warm_up_min)]
        cut = parts[parts["operation"] == "Op 20"].dropna(subset=["complete_min"]).sort_values("complete_min")
        seen = [each for week in weeks for each in week.seen]
        assert len(seen) == len(own) > 8
        kind = plan.names.kinds.index("finish mill")
        curve = [
            float(getattr(plan.kinds, name)[kind]) for name in ("wear_limit_mm", "wear_b", "wear_tau", "wear_gamma")
        ]
        for each, row in zip(seen, own.to_dict(orient="records"), strict=True):
            last = cut[cut["complete_min"] <= row["now_min"]].iloc[-1]
            assert (each.size_um, each.ra_um) == (
                last["face error_um"],
                last["face ra_um"],
            )  # a face reads what is left
            assert each.wear_mm == wear_land_mm(row["life_share"], *curve)
            assert (each.parts, each.is_broken) == (row["parts"], row["why"].startswith("broken"))


def test_the_trial_is_set_against_todays_practice_under_the_same_chance() -> None:
    answer = trial()
    table = answer.table.set_index("name")
    gaps = [sum(w.money for w in a) / WEEKS - sum(w.money for w in b) / WEEKS
            for a, b in zip(answer.during, answer.before, strict=True)]  # fmt: skip
    half = stats.t.ppf(0.975, RUNS - 1) * np.std(gaps, ddof=1) / np.sqrt(RUNS)
    assert table.loc["money", "change"] == pytest.approx(np.mean(gaps), rel=1e-9)
    assert table.loc["money", "half_width"] == pytest.approx(half, rel=1e-9)
    assert table.loc["parts", "trial"] == pytest.approx(INTERVAL, abs=1.0)
    assert table.loc["changes", "trial"] > 3.0 * table.loc["changes", "today"]
    totals = answer.weeks[(answer.weeks["name"] == "changes")]["total"].tolist()
    every = [[len(week.seen) for week in each] for each in answer.during]
    assert totals == pytest.approx(np.cumsum(every, axis=1).mean(axis=0).tolist())
    mean, low, high = answer.total("changes", WEEKS)
    assert (low, high) == (min(map(sum, every)), max(map(sum, every)))  # three runs hold no more
    assert low <= mean <= high


@pytest.mark.parametrize("effect", [0.3, 0.8, 1.5, 4.0])
def test_weeks_to_see_a_difference_against_the_power_of_another_package(effect: float) -> None:
    oracle = TTestIndPower()
    for weeks in (3, 8, 25):
        assert power_of_weeks(weeks, effect * 7.0, 7.0) == pytest.approx(oracle.power(effect, weeks, 0.05), abs=1e-6)
    needed = weeks_to_see(-effect * 7.0, 7.0)
    assert needed == int(np.ceil(oracle.solve_power(effect, alpha=0.05, power=0.8)))


def test_the_rule_to_stop_is_the_soonest_with_one_false_alarm_in_a_hundred() -> None:
    # Eight changes in a trial are fewer than the window, so that broken edges in it are binomial; p = 0.1 gives
    # P(at least 4) = 0.0050 and P(at least 3) = 0.0381. The seed was fixed before the result was seen.
    chance = np.random.default_rng(20_260)
    runs = [[chance.random(4) < 0.1 for _ in range(2)] for _ in range(4000)]
    rule = stop_rule(runs, 7)
    assert (rule.broken, rule.within) == (4, 8)
    assert rule.false_alarm == pytest.approx(stats.binom.sf(3, 8, 0.1), abs=4.0 * np.sqrt(0.005 / 10_000))
    assert rule.notices == pytest.approx(stats.binom.sf(3, 8, 0.3), abs=4.0 * np.sqrt(0.15 / 10_000))
    fresh = chance.random((20_000, 8)) < 0.1
    alarms = np.mean([rule.fires(each.tolist()) for each in fresh])
    assert alarms <= 0.01
    assert most_in_window(np.array([1, 0, 0, 1, 1, 0, 1], dtype=np.bool_), 3) == 2
    # Runs in which nothing broke say little if they are few: no rule that stops at the first one.
    assert stop_rule([[np.zeros(3, dtype=np.bool_)] * 2] * 2, 7).broken > 1
    assert stop_rule([[np.zeros(3, dtype=np.bool_)] * 2] * 400, 7).broken == 1


def written(run_at: int, why: str = "by interval", parts: float | None = None, weeks: int = WEEKS) -> Records:
    """Records as a shop would write them down of one run of the trial."""
    rows: list[Record] = []
    start = datetime(2026, 3, 2, 8)  # noqa: DTZ001 - a shop's clock
    for number, week in enumerate(trial().during[run_at][:weeks]):
        for at, each in enumerate(week.seen):
            when = start + timedelta(days=7 * number, hours=at)
            is_broken = each.is_broken or why == "broken"
            change = {"set": "finish mill", "machine": "Op 20", "when": when, "parts": parts or each.parts}
            rows.append(Record("book", len(rows), "tool changes", change | {"why": "broken" if is_broken else why}))
            read = {"set": "finish mill", "when": when, "parts": each.parts, "wear land": each.wear_mm}
            read |= {"size error": each.size_um, "roughness": each.ra_um}
            rows.append(Record("readings", len(rows), "gauge readings", read))
        day = {"when": start + timedelta(days=7 * number + 4), "good": int(week.shipped), "scrap": int(week.scrap)}
        rows.append(Record("counts", len(rows), "counts", day))
    return Records(tuple(rows), (), ("book",))


def names(judged: Sequence[object], where: str) -> set[str]:
    return {each.of.name for each in judged if each.where == where}  # type: ignore[attr-defined]


@pytest.mark.longer
def test_a_trial_that_did_what_was_foretold_is_told_from_one_that_did_not() -> None:
    answer = TrialAnswered(trial(), written(1))
    assert names(answer.judged, "inside") == {
        "changes",
        "broken",
        "parts",
        "wear land",
        "size error",
        "roughness",
        "scrap",
    }
    gain = trial().difference("money")
    whole = "undecided" if not gain.is_apart else "keep" if gain.mean > 0.0 else "back"
    assert (answer.verdict, answer.weeks_done, answer.left_out) == (whole, WEEKS, 0)
    assert TrialAnswered(trial(), written(1, weeks=2)).verdict == "go on"
    broken = TrialAnswered(trial(), written(1, "broken"))
    assert (broken.verdict, broken.was_stopped) == ("back", True)
    assert TrialAnswered(trial(), written(1, parts=30)).verdict == "not carried out"
    base = written(1)
    rough = [Record(r.file, r.row, r.kind, {**r.values, "roughness": 9.0} if "roughness" in r.values else r.values)
             for r in base.rows]  # fmt: skip
    worse = TrialAnswered(trial(), Records(tuple(rough), (), ("book",)))
    assert worse.verdict == "find out"
    assert "roughness Ra before the change" in worse.sentences[0]
    later = TrialAnswered(trial(), base, datetime(2026, 3, 9).date())  # noqa: DTZ001
    assert later.weeks_done == 2
    assert later.left_out > 0
    other = [Record(r.file, r.row, r.kind, {**r.values, "set": "rough mill"}) for r in base.rows if r.kind != "counts"]
    assert TrialAnswered(trial(), Records(tuple(other), (), ("book",))).verdict == "no records"


def short_file(folder: Path) -> Path:
    """The smallest line, with short weeks and a hostile name, as a file."""
    text = SMALLEST.read_text(encoding="utf-8").replace("name: Rocker-cover flange", f"name: {json.dumps(HOSTILE)}")
    head = f"calendar: {json.dumps(SHORT['calendar'])}\nrun: {{length: 1 week"
    text = text.replace("run: {length: 2 weeks", head)
    file = folder / "line.yaml"
    file.write_text(text, encoding="utf-8")
    return file


HOSTILE = "<script>alert(1)</script> a line with a very long name for a sheet of paper"


def test_the_sheet_asks_for_nothing_and_the_records_are_read_from_files(tmp_path: Path) -> None:
    file, page = short_file(tmp_path), tmp_path / "trial.html"
    asked = [str(file), "--policy", TODAY, "--set", SET, "--interval", "15", "--weeks", "1", "--replications", "2"]
    done = CliRunner().invoke(app, ["trial", *asked, "--html", str(page)])
    assert done.exit_code == 0, done.output
    html = page.read_text(encoding="utf-8")
    assert "<script>alert" not in html
    assert not re.search(r"(src|href)=|url\(|@import", html)
    assert html.count('<td class="hand"></td>') >= 5
    assert "go back to the old interval, if" in html
    again = CliRunner().invoke(app, ["rerun", str(page)])
    assert again.exit_code == 0, again.output
    book = "set,when,machine,parts,why\n" + "".join(
        f"finish mill,2026-03-02 0{hour}:00,Op 20,15,by interval\n" for hour in range(1, 7)
    )
    (tmp_path / "book.csv").write_text(book, encoding="utf-8")
    mapping = tmp_path / "mapping.yaml"
    guess = CliRunner().invoke(app, ["records", str(tmp_path / "book.csv"), "--guess", str(mapping)])
    assert guess.exit_code == 0, guess.output
    answered = CliRunner().invoke(app, ["trial", *asked, "--answer", str(mapping), "--json"])
    assert answered.exit_code == 0, answered.output
    content = json.loads(answered.stdout)
    assert {row["name"]: row["seen"] for row in content["answered"]} == {"changes": 6, "broken": 0, "parts": 15}
    assert "wear land" in content["sentences"][-1]


def test_what_cannot_be_tried_is_refused_in_words() -> None:
    def refused(interval: int, weeks: int = 2, key: str = SET, past_limit: bool = False) -> str:
        study = TrialStudy(works(), key, interval, TODAY, weeks, past_limit, StudyOptions(replications=2))
        with pytest.raises(StudyError) as error:
            next(study.steps())
        return str(error.value)

    assert "already" in refused(60)
    assert "1 to 104" in refused(15, weeks=0)
    assert "1 or more" in refused(0)
    assert 'did you mean "Op 20 / finish mill"?' in refused(15, key="Op 20 / finish mil")
    assert "--past-limit" in refused(500)
    past = TrialStudy(works(), SET, 500, TODAY, 1, True, StudyOptions(replications=2)).run()
    assert past.sentences[0].startswith("Caution: 500 parts go past the wear limit")
