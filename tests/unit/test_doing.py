"""What an operation is called: by its name and what it does, worked out by hand."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.desk import desk_figures
from linesim.report.terminal.called import operations_key
from linesim.report.views.routing_picture import constraint_words, routing_picture
from linesim.study.advice.moves import moves_of
from linesim.works import Works, changed
from linesim.works.doing import called, called_anywhere, called_at, machine_called, set_called, what_it_does
from linesim.works.load import load_works
from linesim.works.operations import Operation
from tests.dashboard_server import ROOT


@pytest.fixture(scope="module")
def block() -> Works:
    return load_works(ROOT / "scenarios/block-line.yaml")


def _cut(process: str, feature: str) -> dict[str, object]:
    return {"feature": feature, "cutter": "any", "process": process, "depth": 1.0}


def _strokes(*cuts: tuple[str, str]) -> Operation:
    return Operation.model_validate(
        {"strokes": {str(at): {"cuts": {str(at): _cut(*cut)}} for at, cut in enumerate(cuts)}}
    )


def test_the_scenario_s_own_words_come_first() -> None:
    operation = Operation(does="bore cylinders", about="Honed", minutes=1.0)
    assert called("Op 60", operation) == "Op 60 (bore cylinders)"
    assert called("bores", operation) == "bores (bore cylinders)"


def test_a_name_that_says_what_is_done_stays_alone() -> None:
    assert called("60 Bore cylinders", Operation(does="bore cylinders", minutes=1.0)) == "60 Bore cylinders"
    assert called("wash", Operation(about="Four at a time", minutes=1.0)) == "wash"


@pytest.mark.parametrize("name", ["Op 60", "60", "OP60", "op. 60", "Operation 60", "60a", "10/20"])
def test_a_bare_number_is_followed_by_what_the_cuts_do(name: str) -> None:
    operation = _strokes(("milling", "top face"), ("milling", "top face"), ("boring", "bores"), ("boring", "seats"))
    assert called(name, operation) == f"{name} (mill top face, bore bores and seats)"


def test_of_many_features_the_first_is_named() -> None:
    assert what_it_does("Op 1", _strokes(*(("drilling", f"hole {at}") for at in range(4)))) == "drill hole 0 and 3 more"


def test_without_cuts_the_first_clause_of_the_remarks_serves_if_it_is_short() -> None:
    assert what_it_does("Op 9", Operation(about="Washed, then dried", minutes=1.0)) == "washed"
    assert what_it_does("Op 9", Operation(about="CNC deburring", minutes=1.0)) == "CNC deburring"
    assert what_it_does("Op 9", Operation(about="x" * 41, minutes=1.0)) == ""
    assert called("Op 9", Operation(minutes=1.0)) == "Op 9"


def test_tables_of_results_are_read_by_line_and_name(block: Works) -> None:
    assert called_at(block, "block", "Op 60") == "Op 60 (bore cylinders)"
    assert called_at(block, "block", "everywhere") == called_at(block, "nowhere", "everywhere") == "everywhere"
    assert machine_called(block, "block", "Op 60", "Op 60 no. 2") == "Op 60 no. 2 (bore cylinders)"
    assert set_called(block, "Op 60 / finish blade") == "finish blade at Op 60 (bore cylinders)"
    assert set_called(block, "finish blade") == "finish blade"


def test_lines_that_share_a_name_for_unlike_work_leave_it_alone() -> None:
    works = load_works(ROOT / "scenarios/works.yaml")
    assert called_anywhere(works, "Op 50") == "Op 50"
    assert called_at(works, "block", "Op 50") == "Op 50 (drill and tap holes)"


def test_an_action_names_the_operation_by_what_it_does(block: Works) -> None:
    moves = moves_of(block)
    assert any("finish blade at Op 60 (bore cylinders) after" in move.words for move in moves)
    assert {move.key for move in moves if move.entry == "exceptions"} >= {"Op 60 / finish blade"}


def test_the_drawing_says_what_is_done_and_is_clicked_by_the_whole_name(block: Works) -> None:
    desk = desk_figures(block)
    picture = routing_picture(block, desk, "block")
    beneath = list(picture.figure.layout.xaxis2.ticktext)
    assert beneath[5] == "<b>Op 60</b><span style='font-size:11px'><br>bore<br>cylinders</span>"
    assert len(set(beneath)) == 12
    machines = next(trace for trace in picture.figure.data if trace.name == "machines")
    assert machines.customdata[5] == "Op 60"
    assert constraint_words(block, desk).startswith("Op 60 (bore cylinders) holds the line back")


def test_long_and_like_names_are_told_apart_on_the_drawing(block: Works) -> None:
    like = {
        name: {"does": f"mill the long upper face of side {at:02d}"}
        for at, name in enumerate(block.lines["block"].operations)
    }
    works = changed(block, {"lines": {"block": {"operations": like}}}, "like names")
    beneath = list(routing_picture(works, desk_figures(works), "block").figure.layout.xaxis2.ticktext)
    assert len(set(beneath)) == 12


def test_markup_in_what_is_done_is_shown_as_it_stands(block: Works) -> None:
    works = changed(block, {"lines": {"block": {"operations": {"Op 60": {"does": "<b>$x$</b>"}}}}}, "markup")
    beneath = routing_picture(works, desk_figures(works), "block").figure.layout.xaxis2.ticktext[5]
    assert "&lt;b&gt;&#36;x&#36;&lt;/b&gt;" in beneath


def test_a_works_without_the_words_keeps_its_fingerprint(block: Works) -> None:
    bare = Operation(minutes=1.0)
    assert "does" not in bare.model_dump()


def test_tables_that_have_room_for_numbers_alone_stand_under_what_the_operations_do(block: Works) -> None:
    (text,) = operations_key(block, [("block", "Op 60"), ("block", "Op 90"), ("block", "Op 60")])
    assert text.plain == "Operations: Op 60 bore cylinders; Op 90 hone cylinders."
    result = CliRunner().invoke(app, ["check", str(ROOT / "scenarios/block-line.yaml")])
    assert "Op 60 bore cylinders" in " ".join(result.output.split())
    assert "Op 60 (bore cylinders) holds the line back" in result.output
