"""Frontier, worth and warm-up as people meet them: on the terminal, as a page, from the command line."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console
from typer.testing import CliRunner, Result

from linesim.ask import compare, worth
from linesim.cli.main import app
from linesim.cli.spans import spans_of, until_of
from linesim.desk import desk_figures
from linesim.errors import ScenarioError, StudyError
from linesim.report.charts.minute_value import minute_value_figure
from linesim.report.charts.output_loss import output_loss_figure
from linesim.report.charts.warm_up import warm_up_figure
from linesim.report.page.comparison_page import comparison_page
from linesim.report.page.frontier_page import frontier_page
from linesim.report.page.worth_page import worth_page
from linesim.report.terminal.frontier import frontier_text
from linesim.report.terminal.worth import worth_text
from linesim.study import BestKnown, HalfWidth
from linesim.study.questions.frontier import Frontier, FrontierStudy
from linesim.study.questions.frontier_grid import grid_of
from linesim.study.questions.worth import Worth
from linesim.works import Works, works_from_dict
from tests.builders import a_scenario_text, a_works, flow_line

HOSTILE = "<script>alert(1)</script>"


def a_block() -> Works:
    """The small block line, run for a few shifts."""
    run = {"length": "3 shifts", "warm_up": "1 shift", "replications": 3}
    return a_works(run=run, policies={HOSTILE: {"default": {"life": 0.6}}})


@pytest.fixture(scope="module")
def points() -> Frontier:
    return FrontierStudy(grid_of(a_block(), ("life",), (0.5, 1.0))).run()


@pytest.fixture(scope="module")
def priced() -> Worth:
    return worth(a_block(), "by parts", replications=3)


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    file = tmp_path / "a-block.yaml"
    short = 'run: {length: "2 shifts", warm_up: "1 shift", replications: 3}\n'
    text = "".join(line for line in a_scenario_text().splitlines(keepends=True) if not line.startswith("run:"))
    file.write_text(text + short, encoding="utf-8")
    return file


def printed(page: Any) -> str:
    """A page as a terminal of 100 columns shows it."""
    console = Console(width=100, record=True, file=None, quiet=False)
    with console.capture() as capture:
        console.print(page)
    return capture.get()


def call(*arguments: Any) -> Result:
    return CliRunner().invoke(app, [str(argument) for argument in arguments])


def test_tables_fit_a_hundred_columns_and_carry_intervals(points: Frontier, priced: Worth) -> None:
    for page, words in ((frontier_text(points), "Policies by rising output"), (worth_text(priced), "a minute less")):
        text = printed(page)
        assert words in text
        assert "±" in text
        assert max(map(len, text.splitlines())) <= 100


def test_pages_need_nothing_from_outside_and_escape_every_name(points: Frontier, priced: Worth) -> None:
    for page in (frontier_page(points, "linesim frontier"), worth_page(priced, "linesim worth")):
        assert HOSTILE not in page
        assert "default-src 'none'" in page
        assert "Cautions" in page
    assert "&lt;script&gt;" in frontier_page(points)


def test_the_picture_of_a_frontier_has_every_policy_with_bars_both_ways(points: Frontier) -> None:
    figure = output_loss_figure(points)
    shown = [trace for trace in figure.data if trace.mode == "markers" and trace.hovertext]
    assert sum(len(trace.x) for trace in shown) == len(points.names)
    assert all(len(trace.error_x.array) == len(trace.error_y.array) == len(trace.x) for trace in shown)


def test_the_picture_of_worth_has_every_operation_and_its_load(priced: Worth) -> None:
    (trace,) = minute_value_figure(priced).data
    assert list(trace.y) == list(range(len(priced.table)))
    assert list(trace.x) == pytest.approx(priced.table["worth"].to_list(), nan_ok=True)
    loads = [each.text for each in minute_value_figure(priced).layout.annotations]
    assert loads == [f"{100.0 * load:.0f} % busy" for load in priced.table["utilisation"]]
    assert list(trace.error_x.array) == pytest.approx(priced.table["worth_half_width"].to_list(), nan_ok=True)


def test_a_comparison_shows_how_its_warm_up_was_chosen() -> None:
    found = compare(a_block(), replications=2, warm_up="auto")
    page = comparison_page(found, desk_figures(found.works))
    assert "Welch&#39;s moving average" in page
    assert "by MSER-5" in page
    figure = warm_up_figure(found, "parts shipped")
    assert len(figure.data) == len(found.names)
    tame = compare(a_block(), replications=2)
    plain = comparison_page(tame, desk_figures(tame.works))
    assert "moving average; what stands" not in plain
    assert "as the scenario says" in plain


def test_frontier_answers_and_writes_page_and_table(scenario: Path, tmp_path: Path) -> None:
    page, folder = tmp_path / "f.html", tmp_path / "tables"
    done = call("frontier", scenario, "--kind", "life", "--share", 0.5, "--share", 1, "--html", page, "--csv", folder)
    assert done.exit_code == 0, done.output
    assert "Policies by rising output" in done.output
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert (folder / "policies.csv").exists()


def test_frontier_gives_json(scenario: Path) -> None:
    done = call("frontier", scenario, "--kind", "life", "--share", 0.5, "--grid-only", "--replications", 2, "--json")
    content = json.loads(done.stdout)
    assert [row["policy"] for row in content["policies"]] == ["0.5 of life"]
    assert content["provenance"]["replications"] == 2


def test_worth_answers_and_gives_json_and_a_page(scenario: Path, tmp_path: Path) -> None:
    page = tmp_path / "w.html"
    done = call("worth", scenario, "--replications", 2, "--html", page)
    assert done.exit_code == 0, done.output
    assert "Value of one bottleneck minute an hour" in done.output
    assert page.exists()
    content = json.loads(call("worth", scenario, "--replications", 2, "--json").stdout)
    assert {row["operation"] for row in content["worth"]} == {"Op 10", "Op 20", "Op 40", "Op 50"}


def test_compare_can_go_on_until_the_best_is_known(scenario: Path) -> None:
    content = json.loads(call("compare", scenario, "--zone", 5, "--replications", 3, "--most", 6, "--json").stdout)
    assert content["selection"]["zone"] == 5.0
    assert content["selection"]["first"] == 3
    told = call(
        "compare", scenario, "--half-width", "50%", "--replications", 3, "--warm-up", "4 h", "--length", "1 shift"
    )
    assert "Warm-up, not counted: 240 min" in told.output
    assert "as asked for" in told.output


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["compare", "--zone", "1", "--half-width", "2"], "ends by one of the two"),
        (["compare", "--half-width", "narrow"], "cannot be read"),
        (["compare", "--warm-up", "3 kg"], "is a mass"),
        (["compare", "--zone", "-1"], "zone of -1 cannot be"),
        (["frontier", "--kind", "hourly"], "no kind of rule"),
        (["frontier", "--set", "finish blades"], "did you mean"),
        (["worth", "--policy", "weekly"], "no policy"),
    ],
)
def test_what_cannot_be_asked_ends_with_two_and_one_text(scenario: Path, arguments: list[str], words: str) -> None:
    command, *options = arguments
    done = call(command, scenario, *options)
    assert done.exit_code == 2
    assert words in " ".join(done.output.split())


def test_options_are_read_as_a_scenario_would_read_them() -> None:
    works = flow_line([2.0], warm_up=100)
    assert spans_of(works, None, None) == (None, None)
    assert spans_of(works, "2 days", "auto") == (1920.0, "auto")
    assert spans_of(works, "90", None) == (90.0, None)
    with pytest.raises(ScenarioError):
        spans_of(works, None, "soon")


def test_a_scenario_that_says_nothing_of_its_warm_up_gets_one_by_rule() -> None:
    lines = {"l": {"operations": {"Op 10": {"minutes": 2}}}}
    content = {"name": "n", "lines": lines, "policies": {"p": {"default": "run out"}}}
    assert spans_of(works_from_dict(content, "n"), None, None) == ("auto", None)


def test_ends_are_read_from_options() -> None:
    assert until_of(None, None, 5, 200) is None
    assert until_of(2.5, None, None, 200) == BestKnown(2.5, 10, 200)
    assert until_of(None, "2%", 4, 50) == HalfWidth(None, 0.02, 4, 50)
    assert until_of(None, "3.5", None, 50) == HalfWidth(3.5, None, 10, 50)
    with pytest.raises(StudyError):
        until_of(1.0, "2", None, 50)
