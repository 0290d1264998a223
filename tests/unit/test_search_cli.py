"""The commands of the searches: what they print, write and refuse."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from markupsafe import escape
from rich.console import Console
from typer.testing import CliRunner, Result

from linesim.ask import drivers, intervals, sets
from linesim.cli import app
from linesim.cli.carrying import last_step
from linesim.errors import StudyError
from linesim.report.charts.intervals import best_intervals_figure
from linesim.report.charts.sensitivity import screening_figure, sensitivity_figure
from linesim.report.files.overlay import check_overlay, write_overlay
from linesim.report.terminal.search import circulation_text, drivers_text, intervals_text
from linesim.study.interim import Interim
from linesim.study.search import BestIntervals, Circulation, Drivers, SearchPlan
from linesim.study.search.intervals.best import BEST
from linesim.works import changed, load_works, to_yaml
from linesim.works.doing import called_anywhere

LITTLE = ["--runs", "50", "--replications", "4", "--fresh", "2"]


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """The smallest line for two days."""
    path = tmp_path / "flange.yaml"
    path.write_text(to_yaml(changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "2 days"}})), "utf-8")
    return path


def call(*arguments: Any) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def printed(page: Any) -> list[str]:
    console = Console(width=100, record=True, file=io.StringIO())
    console.print(page)
    return console.export_text().splitlines()


def test_intervals_as_json_and_as_an_overlay_that_runs(scenario: Path) -> None:
    best = scenario.parent / "best.yaml"
    done = call("intervals", scenario, *LITTLE, "--json", "--write", best)
    assert done.exit_code == 0, done.stderr
    found = json.loads(done.stdout)
    assert {row["cutter"] for row in found["intervals"]} == {"rough mill", "finish mill"}
    assert found["provenance"]["runs"] > 0
    assert load_works(best).policies[BEST]
    ran = call("run", best, "--policy", BEST, "--json")
    assert ran.exit_code == 0, ran.stderr


def test_sets_and_drivers_as_json(scenario: Path) -> None:
    done = call("sets", scenario, "--replications", 3, "--fresh", 2, "--policy", "every 60 parts", "--json")
    assert done.exit_code == 0, done.stderr
    assert {row["kind"] for row in json.loads(done.stdout)["numbers"]} == {"set", "setter"}
    done = call("drivers", scenario, "--replications", 2, "--together", "--trajectories", 2, "--json")
    assert done.exit_code == 0, done.stderr
    found = json.loads(done.stdout)
    assert len(found["screening"]) == len(found["one_at_a_time"])
    assert all(row["reason"] for row in found["one_at_a_time"])


def test_tables_as_csv(scenario: Path, tmp_path: Path) -> None:
    done = call("drivers", scenario, "--replications", 2, "--together", "--csv", tmp_path / "out")
    assert done.exit_code == 0, done.stderr
    assert (tmp_path / "out" / "one_at_a_time.csv").read_text(encoding="utf-8").startswith("input,words,low,high")


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("intervals", "--goal", "profit"), '"profit" is no goal; one of cost, contribution, output was expected'),
        (("intervals", "--by", "hours"), 'intervals by "hours" are not known; parts or life was expected'),
        (("intervals", "--policy", "none such"), 'there is no policy "none such"'),
        (
            ("intervals", "--write", "/elsewhere/best.yaml"),
            "a scenario extends only files in its own folder or below it",
        ),
        (("sets", "--idle-share", "2"), "an idle share of 2 cannot be; a share from 0 to 1 was expected"),
        (("drivers", "--range", "life"), '"life" is no range; one such as "life of finish blade=0.7:1.5" was expected'),
        (("drivers", "--measure", "speed"), '"speed" is no measure; one of good_per_hour'),
    ],
)
def test_what_cannot_be_is_refused_before_anything_runs(scenario: Path, arguments: tuple[str, ...], told: str) -> None:
    command, *options = arguments
    done = call(command, scenario, *options)
    assert done.exit_code == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_an_overlay_never_takes_the_place_of_another_file(scenario: Path) -> None:
    other = scenario.parent / "other.yaml"
    other.write_text("name: mine\n", encoding="utf-8")
    with pytest.raises(StudyError, match="was not written by linesim"):
        check_overlay(other, scenario)
    with pytest.raises(StudyError, match="this is the scenario itself"):
        check_overlay(scenario, scenario)
    with pytest.raises(StudyError, match=r"a scenario file such as best\.yaml was expected"):
        check_overlay(scenario.parent / "best.txt", scenario)
    assert check_overlay(other, scenario, is_forced=True) == "flange.yaml"
    write_overlay(other, "name: ours\n")
    assert check_overlay(other, scenario) == "flange.yaml"


def test_what_was_found_so_far_is_kept_when_stopped() -> None:
    def steps() -> Any:
        yield Interim(0, 3, 0.0)
        yield Interim(1, 3, 0.1, "first")
        raise KeyboardInterrupt

    assert last_step(steps(), "trying", False, True) == ("first", True)
    with pytest.raises(KeyboardInterrupt):
        last_step(steps(), "trying", False, False)
    with pytest.raises(StudyError, match="ended without an answer"):
        last_step(iter([Interim(0, 3, 0.0)]), "trying", False, True)


@pytest.fixture(scope="module")
def small() -> tuple[BestIntervals, Circulation, Drivers]:
    """What little searches of the smallest line find."""
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "1 day"}})
    policy = "every 60 parts"
    return (
        intervals(works, policy=policy, plan=SearchPlan(runs=50, replications=4, fresh=2)),
        sets(works, policy, replications=3, fresh=2, most_runs=20),
        drivers(works, policy, replications=2, trajectories=2, are_together=True),
    )


def test_pictures_show_every_set_and_input_with_units(small: tuple[BestIntervals, Circulation, Drivers]) -> None:
    found, _, told = small
    flat = best_intervals_figure(found)
    counted = [None if found.setting.way(at) else parts for at, parts in enumerate(found.setting.parts)]
    assert list(flat.data[-1].x) == counted
    assert list(flat.data[-1].y) == list(range(len(found.sets_at)))
    sets = [f"{called_anywhere(found.works, each.operation)}: {each.cutter}" for each in found.sets_at]
    assert list(flat.layout.yaxis.ticktext) == sets
    assert flat.layout.xaxis.type == "log"
    swing, screened = sensitivity_figure(told), screening_figure(told)
    assert list(swing.data[0].x) == told.one_at_a_time["at_low"].tolist()
    assert "EUR/h" in swing.layout.xaxis.title.text
    assert list(screened.data[0].x) == told.screening["mu_star"].tolist()


def test_pages_stay_within_100_columns(small: tuple[BestIntervals, Circulation, Drivers]) -> None:
    pages = (intervals_text(small[0]), circulation_text(small[1]), drivers_text(small[2]))
    for page in pages:
        lines = printed(page)
        assert max(map(len, lines)) <= 100
        assert lines[0].strip() == small[0].works.name


@pytest.mark.parametrize(
    ("command", "title"),
    [("intervals", "The intervals"), ("sets", "Numbers"), ("drivers", "One at a time")],
)
def test_a_search_is_written_as_a_page_with_its_answer(
    command: str, title: str, scenario: Path, tmp_path: Path
) -> None:
    page = tmp_path / "page.html"
    few = ["--replications", "3"] if command == "drivers" else ["--runs", "60", "--replications", "4", "--fresh", "2"]
    done = CliRunner().invoke(app, [command, str(scenario), *few, "--html", str(page), "--json"])
    assert done.exit_code == 0, done.stderr
    text = page.read_text(encoding="utf-8")
    assert title in text
    assert str(escape(json.loads(done.stdout)["sentences"][0][:40])) in text.replace("\N{NO-BREAK SPACE}", " ")
