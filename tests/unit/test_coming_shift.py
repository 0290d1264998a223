"""The coming shift, foretold from how a line stands now."""

from __future__ import annotations

import csv
import io
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy import stats
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.errors import ScenarioError, StudyError
from linesim.fast.run import FastFloor
from linesim.study.coming.followed import Following
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.reading import rows_from_cells, rows_from_content
from linesim.study.coming.standing import DONE, SHARP, WAITING, as_table, standing_rows
from linesim.study.coming.study import ForecastStudy
from linesim.study.coming.surviving import survivors
from linesim.study.options import StudyOptions
from linesim.works import Works, load_works
from tests.floors import a_blade, a_cut, a_shop, a_tool

FEATURES = {"features": {"face": {"size": {"limits": [99.0, 101.0]}}}}


def foretold(works: Works, runs: int = 39, **asked: Any) -> Forecast:
    return ForecastStudy(works, options=StudyOptions(replications=runs), **asked).run()


def a_worn_blade(parts: int, rule: Any, shift: int, **edge: Any) -> Works:
    """One machine that cuts a minute of each part, with a blade that has done some; 100 min are an average life."""
    cut = {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}}
    now = {"lines": {"line": {"Op 10": {"edges": {"blade": parts}}}}}
    return a_shop(
        cut, cutters={"blade": a_blade(sets=9, **edge)}, now=now, rule=rule, line=FEATURES,
        calendar={"shift": shift, "shifts_per_day": 1},
    )  # fmt: skip


def chance_of(works: Works, runs: int) -> float:
    due = foretold(works, runs).due
    return float(due.loc[due["nth"] == 1, "chance"].iloc[0])


@pytest.mark.parametrize(
    ("parts", "minutes", "rule", "edge", "share_left"),
    [
        # Weibull: R(x + r) / R(x) = exp((x / scale)**shape - ((x + r) / scale)**shape), in life shares.
        (120, 15, "run out", {"breaking": {"shape": 3.0, "scale": 1.2}},
         lambda x, r: math.exp((x / 1.2) ** 3 - ((x + r) / 1.2) ** 3)),
        # Lognormal of mean 1: the land reads the limit at life share 1, and every part is looked at.
        (90, 20, {"check": {"every": 1, "past_share": 1.0, "minutes": 0}}, {"life_cv": 0.4},
         lambda x, r: _lognormal(0.4).sf(x + r) / _lognormal(0.4).sf(x)),
        # Nobody has looked at it yet: that it has come to 0.9 says nothing of its life.
        (90, 20, {"check": {"every": 1, "first": 95, "past_share": 1.0, "minutes": 0}}, {"life_cv": 0.4},
         lambda x, r: _lognormal(0.4).sf(x + r)),
        # Looked at since 0.8 of the mean life.
        (90, 20, {"check": {"every": 1, "first": 80, "past_share": 1.0, "minutes": 0}}, {"life_cv": 0.4},
         lambda x, r: _lognormal(0.4).sf(x + r) / _lognormal(0.4).sf(x)),
    ],
    ids=["Weibull", "lognormal", "before the first look", "past the first look"],
)  # fmt: skip
def test_the_remaining_life_is_that_of_edges_that_have_lasted_so_long(
    parts: int, minutes: int, rule: Any, edge: Any, share_left: Any
) -> None:
    """Against the closed form, at life share 1.2 and 0.9; false alarms one in 15,000 (4 standard errors)."""
    runs = 600
    chance = 1.0 - share_left(parts / 100.0, minutes / 100.0)
    seen = chance_of(a_worn_blade(parts, rule, minutes, **edge), runs)
    # A run that is over just as the last part leaves does not see what is due then: one part of the life less.
    fewer = 1.0 - share_left(parts / 100.0, (minutes - 1) / 100.0)
    error = math.sqrt(chance * (1.0 - chance) / runs)
    assert fewer - 4 * error <= seen <= chance + 4 * error


def _lognormal(cv: float) -> Any:
    """Of mean 1."""
    sigma = math.sqrt(math.log1p(cv * cv))
    return stats.lognorm(sigma, scale=math.exp(-sigma * sigma / 2.0))


def test_what_no_edge_comes_to_is_said() -> None:
    forecast = foretold(a_worn_blade(300, "run out", 20, breaking={"shape": 8.0, "scale": 1.0}))
    assert "By the scenario's figures hardly any blade at Op 10 comes to 300 parts" in " ".join(forecast.sentences)


def test_bands_hold_what_happens_in_shifts_that_begin_from_the_same_state() -> None:
    """Bands of 95 % of 399 runs, held against 1,000 shifts with other luck.

    The share held scatters by 1.3 %, and whole parts miss 95 % by up to half of what one end holds, here 1 %: outside
    of 90 to 98 % comes once in some 100 draws. With equal tails of 2.5 % at most the output's band held 99.1 %.
    """
    works = load_works(Path("scenarios/smallest.yaml"))
    rows = [(1, {"what": DONE, "operation": "Op 20", "cutter": "finish mill", "figure": "25"})]
    forecast = foretold(works, 399, rows=rows)
    band, plan = forecast.output.iloc[0], forecast.of.plan
    mount = forecast.due[forecast.due["cutter"] == "finish mill"].iloc[0]
    held = []
    for replication in range(1000):
        floor = FastFloor(plan, 77, replication)
        floor.run_until(forecast.of.end_min)
        shipped = int(floor.finish().shipped[0])
        held.append(band["low"] <= shipped <= band["high"])
    assert band["low"] < band["high"]
    assert mount["from_min"] < mount["to_min"]
    assert 0.90 <= sum(held) / len(held) <= 0.98


def test_leaving_a_set_in_is_priced_against_the_same_shift() -> None:
    """Changed after 5 parts of 10 min each, which takes 10 min; 3 are done. Up to 200 min 16 parts are out as planned:
    at 10, 20, 40 to 80 and so on; left in until 100 min it is 10 by then and 17 in all, each worth 7."""
    works = a_shop(
        {"Op 10": {"minutes": 10, "sets": ["tool"]}}, rule={"parts": 5}, line={"worth": 7},
        cutters={"tool": a_tool(change=10, sets=9)}, calendar={"shift": 100, "shifts_per_day": 2},
        now={"lines": {"line": {"Op 10": {"edges": {"tool": 3}}}}},
    )  # fmt: skip
    forecast = foretold(works, leave="Op 10 / Tool")
    of = forecast.left_in
    assert of is not None
    assert (of.shipped.mean, of.money.mean, of.due, of.broken, of.past_limit) == (
        1.0,
        pytest.approx(7.0),
        1.0,
        0.0,
        0.0,
    )
    assert [forecast.of.clock.words(minute) for minute in forecast.due["due_min"][:2]] == ["06:20", "07:20"]
    assert "brings EUR 7 (7 to 7)" in " ".join(forecast.sentences)
    with pytest.raises(StudyError, match=r'"toll" is not mounted here.* Did you mean "tool"'):
        foretold(works, leave="toll")


def test_a_line_is_carried_on_from_the_end_of_a_forecast() -> None:
    """What nobody chances comes out as it must: after 100 min the edge has done one part of its next five."""
    works = a_shop(
        {"Op 10": {"minutes": 10, "sets": ["tool"]}}, rule={"parts": 5}, cutters={"tool": a_tool(change=10, sets=9)},
        calendar={"shift": 105, "shifts_per_day": 2}, now={"lines": {"line": {"Op 10": {"edges": {"tool": 3}}}}},
    )  # fmt: skip
    report = json.dumps(foretold(works).as_dict()).encode()
    rows = rows_from_content(report, "report.json", works)
    assert {row.what: row.figure for row in rows if row.cutter}[DONE] == 1.0
    assert foretold(works, rows=rows, shift=2).due["due_min"].iloc[0] == 40.0


def test_a_table_that_cannot_be_is_refused_row_by_row() -> None:
    works = load_works(Path("scenarios/block-line.yaml"))
    cells = [
        (2, {"what": DONE, "operation": "Op 6", "cutter": "rough blade", "figure": "3"}),
        (3, {"what": DONE, "operation": "op 60", "cutter": "rough blade", "figure": "-3"}),
        (4, {"what": "sharp", "cutter": "rough blade", "figure": "1"}),
        (5, {"what": DONE, "cutter": "rough mill", "figure": "1"}),
        (6, {"what": WAITING, "operation": "Op 60", "figure": "2,5"}),
        (7, {"what": SHARP, "cutter": "rough blade", "figure": "=1+1"}),
        (8, {"what": SHARP, "cutter": "rough blade", "figure": ""}),
    ]
    with pytest.raises(ScenarioError) as refused:
        rows_from_cells(cells, "state.csv", works)
    told = [str(problem) for problem in refused.value.problems]
    assert [text.split(":")[0] for text in told] == [f"state.csv, line {row}" for row in range(2, 8)]
    for text, word in zip(told, ("Did you mean", "cannot be", "Did you mean", "name the operation", "whole number",
                                 "no figure"), strict=True):  # fmt: skip
        assert word in text
    with pytest.raises(ScenarioError, match="which leaves 4; found 9 sharp"):
        foretold(works, rows=[(2, {"what": SHARP, "cutter": "rough blade", "figure": 9})])


def test_the_command_writes_a_table_and_reads_it_and_a_sheet_that_can_be_hung_up(tmp_path: Path) -> None:
    scenario = tmp_path / "line.yaml"
    scenario.write_text(
        "name: <b>&\ncalendar: {shift: 100, shifts_per_day: 2}\npolicies: {p: {default: {parts: 5}}}\n"
        "cutters: {'=x<i>': {sets: 9, renewal: {bought: {}}, change: 10}}\n"
        "lines: {line: {operations: {Op 10: {minutes: 10, sets: ['=x<i>']}}}}\n"
    )
    table, sheet = tmp_path / "state.csv", tmp_path / "sheet.html"
    run = CliRunner()
    assert run.invoke(app, ["shift", str(scenario), "--template", str(table)]).exit_code == 0
    rows = list(csv.reader(io.StringIO(table.read_text())))
    assert rows[1][:6] == [DONE, "line", "Op 10", "Op 10", "'=x<i>", ""]
    rows[1][5] = "3"
    table.write_text("\n".join(",".join(row) for row in rows))
    asked = ["shift", str(scenario), "--from", str(table), "--replications", "39", "--clock", "22:00", "--shift", "2"]
    told = run.invoke(app, [*asked, "--html", str(sheet)])
    assert told.exit_code == 0, told.output
    assert "=x<i>" in told.output
    assert "Read the counters" not in told.output
    page = sheet.read_text()
    assert "=x&lt;i&gt;" in page
    assert "<i>" not in page
    assert "src=" not in page
    assert "Tue 00:00" in page
    assert "at 5 parts" in page
    assert "lock" in page.casefold()
    assert as_table(standing_rows(load_works(scenario))).shape[0] == len(rows) - 1
    wrong = run.invoke(app, ["shift", str(scenario), "--from", str(scenario)])
    assert wrong.exit_code == 2
    assert "Traceback" not in wrong.output


# --- within a shift -----------------------------------------------------------------------------------------------


def test_a_forecast_begins_at_the_time_of_day_and_ends_with_its_shift() -> None:
    """At 10:21 a shift of 8 h from 06:00 has 219 min left. The set has done 30 of 40 parts of five minutes: due in
    50 min, at 11:11, when one is wanted, and again in 210 min more, at 14:41, which is the next shift's."""
    works = a_shop(
        {"Op 10": {"minutes": 5, "sets": ["tool"], "setters": "setters"}}, rule={"parts": 40},
        cutters={"tool": a_tool(change=10, sets=9)}, people={"setters": {"by_shift": [2, 1]}},
        now={"lines": {"line": {"Op 10": {"edges": {"tool": 30}}}}},
    )  # fmt: skip
    forecast = foretold(works, day="tuesday", at="10:21")
    assert forecast.of.end_min == 219.0
    assert forecast.due["due"].tolist() == ["11:11"]
    assert forecast.output["shipped"].tolist() == [41]
    assert forecast.sentences[0].startswith("From 10:21 to 14:00: ")
    hours = forecast.hours
    assert hours["from"].tolist() == ["10:21", "11:00", "12:00", "13:00"]
    assert hours["to"].tolist() == ["11:00", "12:00", "13:00", "14:00"]
    assert hours["busy_min"].tolist() == [0.0, 10.0, 0.0, 0.0]
    assert forecast.works.now is not None
    assert forecast.works.now.at.model_dump() == {"day": "tuesday", "shift": 1, "after": 261.0}
    longer = foretold(works, at="10:21", shifts=2)
    assert longer.due["due"].tolist() == ["11:11", "14:41", "18:11", "21:41"]
    assert longer.hours["attending"].tolist() == [2] * 4 + [1] * 8
    assert foretold(works, rows=rows_from_cells([], "nothing", works), shift=2).hours["attending"].tolist() == [1] * 8


def test_people_who_have_had_their_break_stay_at_work() -> None:
    """The only setter has his break from 10:00 to 10:30: at 10:20 a change that is due waits for ten minutes."""
    works = a_shop(
        {"Op 10": {"minutes": 5, "sets": ["tool"], "setters": "setters"}}, rule={"parts": 40},
        cutters={"tool": a_tool(change=10, sets=9)}, people={"setters": {"breaks": [{"after": 240, "minutes": 30}]}},
        now={"lines": {"line": {"Op 10": {"edges": {"tool": 40}}}}},
    )  # fmt: skip
    waits = {at: foretold(works, at=at).standstill["no_setter_min"].tolist() for at in ("10:05", "10:20", "10:30")}
    assert waits == {"10:05": [25.0], "10:20": [10.0], "10:30": [0.0]}


def test_the_scenario_says_when_it_stands_so_unless_the_forecast_does() -> None:
    now = {"at": {"day": "friday", "shift": 2, "after": 30}}
    works = a_shop({"Op 10": {"minutes": 5}}, now=now)
    assert foretold(works).of.clock.beginning == "Friday, shift 2 of 2, from 14:30"
    assert foretold(works, shift=1).of.clock.beginning == "Monday, shift 1 of 2, from 06:00"
    assert foretold(works, at="15:00").of.clock.beginning == "Monday, shift 2 of 2, from 15:00"
    assert (
        foretold(works, at="01:00", first="18:00", day="fri").of.clock.beginning
        == "Friday, shift 1 of 2, from Sat 01:00"
    )


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (
            {"at": "23:30"},
            "at 23:30 nothing is worked; a time within the shifts of a day, 06:00 to 22:00, was expected",
        ),
        ({"at": "15:00", "shift": 1}, "15:00 does not lie in shift 1, from 06:00 to 14:00, but in shift 2"),
        ({"at": "25:00"}, '"25:00" is no time of day'),
        ({"at": "10:20", "day": "sunday"}, '"sunday" is not a day that is worked'),
        ({"shift": 3}, "shift 3 of the day cannot be"),
    ],
)
def test_a_time_that_is_not_worked_is_refused(asked: dict[str, Any], told: str) -> None:
    with pytest.raises(StudyError, match=told):
        foretold(a_shop({"Op 10": {"minutes": 5}}), **asked)


@pytest.mark.longer
@pytest.mark.parametrize(("line", "at"), [("block-line", "10:20"), ("head-line", "12:05")])
def test_bands_hold_what_happens_in_what_is_left_of_a_shift(line: str, at: str) -> None:
    """Bands of 95 % of 399 runs from a moment within a shift, against 300 runs with other luck that begin from there.

    300 runs show a share with a standard error of 1.3 %, and 399 runs place the band to within as much, so that one
    of 95 % is seen between 90 and 99 % but in one of some 200 draws; a band of numbers on steps is wider by what one
    of its ends holds. Seeds were fixed before. First changes: the share over all sets together, which is steadier.
    """
    works = load_works(Path(f"scenarios/{line}.yaml"))
    cells = [(row, {"what": each.what, "operation": each.operation, "machine": each.machine, "cutter": each.cutter,
                    "figure": str(5 + 3 * row % 40)})
             for row, each in enumerate(standing_rows(works)) if each.what == DONE]  # fmt: skip
    forecast = foretold(works, 399, rows=rows_from_cells(cells, "counts", works), at=at)
    plan, of = forecast.of.plan, forecast.of
    assert of.end_min == 840.0 - 60.0 * int(at[:2]) - int(at[3:])
    band = forecast.output.iloc[0]
    first = forecast.due[(forecast.due["nth"] == 1) & (forecast.due["mount"] >= 0)].set_index("mount")
    held, sets = [], []
    for replication in survivors(plan, 79, 300).replications:
        floor = Following(plan, 79, replication)
        floor.run_until(of.end_min)
        run = floor.followed()
        held.append(band["low"] <= run.shipped[0] <= band["high"])
        due = dict(zip(reversed(run.mounts.tolist()), reversed(run.minutes.tolist()), strict=True))
        sets += [row["from_min"] <= due.get(mount, math.inf) <= row["to_min"] for mount, row in first.iterrows()]
    assert 0.90 <= np.mean(held) <= 0.99
    assert np.mean(sets) >= 0.93
