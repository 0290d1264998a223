"""Reports: nothing of a scenario gets out unescaped, no figure is cut, pictures show the tables."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from rich.console import Console

from linesim.ask import compare
from linesim.desk import desk_figures
from linesim.errors import StudyError
from linesim.plan.tally import State
from linesim.report.charts.output_loss import output_loss_figure
from linesim.report.charts.shares import constraint_time_figure, cost_figure
from linesim.report.files.page_file import check_page, write_page
from linesim.report.files.sheets import CONTENTS, check_folder, write_csv
from linesim.report.page.comparison_page import comparison_page
from linesim.report.terminal.check import desk_text
from linesim.report.terminal.compare import comparison_text
from linesim.report.terminal.run import run_text
from linesim.report.theme.cautions import CAUTIONS
from linesim.report.theme.colours import DAY, NIGHT, PALETTE, STATE_COLOURS, Light
from linesim.report.theme.csv_text import as_csv, harmless
from linesim.report.theme.grid import WIDTH, Column, chunks, grid
from linesim.report.theme.markup import table
from linesim.study import Comparison, run
from linesim.study.questions.frontier import Frontier
from linesim.works import Works, changed
from tests.builders import a_works
from tests.printed import Printed, html_tables, terminal_tables

HOSTILE = '<script>alert("1")</script> & <img src=x onerror=alert(1)>'


def a_short_works(**changes: Any) -> Works:
    """The small block line for a few shifts, with blades enough."""
    blades = {"rough blade": {"sets": 12, "lead_time": "1 h", "change": 5}}
    return changed(a_works(run={"length": "3 shifts", "warm_up": "1 shift"}, cutters=blades), changes)


@pytest.fixture(scope="module")
def found() -> Comparison:
    return compare(a_short_works(), replications=3, workers=1)


@pytest.fixture(scope="module")
def page(found: Comparison) -> str:
    return comparison_page(found, desk_figures(found.works), "linesim compare a-block.yaml --html page.html")


class Reader(HTMLParser):
    """Collects the elements and the visible text of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self._silent = 0
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        self._silent += tag in ("script", "style")

    def handle_endtag(self, tag: str) -> None:
        self._silent -= tag in ("script", "style")

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.texts.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.texts).split())


def rendered(page: Any, width: int = WIDTH) -> list[str]:
    """Lines of a page for the terminal."""
    console = Console(width=width, record=True, file=io.StringIO())
    console.print(page)
    return console.export_text().splitlines()


# the page


def test_the_page_asks_nothing_of_a_network_or_of_other_files(page: str) -> None:
    reader = Reader(page)
    for tag, attributes in reader.elements:
        assert tag not in ("link", "iframe", "object", "embed", "base", "form"), tag
        assert not {"src", "href", "action", "srcset", "data"} & attributes.keys(), (tag, attributes)
    assert "@import" not in page.split("<script>", maxsplit=1)[0]
    assert "url(" not in page.split("<script>", maxsplit=1)[0]
    policy = next(a["content"] for _, a in reader.elements if a.get("http-equiv") == "Content-Security-Policy")
    assert policy is not None
    assert "default-src 'none'" in policy
    assert "connect-src" not in policy


def test_the_page_answers_on_top_and_tells_how_to_make_it_again(found: Comparison, page: str) -> None:
    text = Reader(page).text
    plain = text.replace("\N{NO-BREAK SPACE}", " ")
    assert found.sentences[0] in plain
    assert plain.index(found.sentences[0]) < plain.index("Output and quality")
    for piece in (
        "linesim compare a-block.yaml --html page.html",
        found.provenance["digest"],
        "replications 3",
    ):
        assert piece in text
    for caution in CAUTIONS:
        assert caution in text
    assert "29 CFR 1910.147" in text


def test_names_that_are_code_stay_names() -> None:
    works = a_short_works(
        name=HOSTILE,
        about=HOSTILE,
        policies={HOSTILE: {"default": {"life": 0.5}}},
        lines={"block": {"operations": {"Op 20": {"about": HOSTILE}}}},
    )
    ours = compare(works, ["run out", HOSTILE], replications=2, workers=1)
    other = compare(a_short_works(), replications=2, workers=1)
    hostile, tame = (comparison_page(each, desk_figures(each.works), HOSTILE) for each in (ours, other))
    counts = [[tag for tag, _ in Reader(page).elements].count("script") for page in (hostile, tame)]
    assert counts[0] == counts[1]
    assert "img" not in {tag for tag, _ in Reader(hostile).elements}
    assert HOSTILE in Reader(hostile).text
    assert '<script>alert("1")' not in hostile
    pictures = re.sub(r'<script type="application/json".*?</script>', "", hostile, flags=re.DOTALL)
    assert "\\u003cimg src" not in pictures  # nor in the data of the pictures, whose texts are read as markup
    assert "<img src=x" not in hostile


def test_signs_that_hide_in_texts_are_shown_on_a_page() -> None:
    shown = table("a\x1bb", ["c\u200bd"], [["Block\u202eenil", ("1\N{NARROW NO-BREAK SPACE}234", "n")]])
    assert not {"\x1b", "\u200b", "\u202e"} & set(shown)
    assert html_tables(shown) == [Printed("a\ufffdb", ["c\ufffdd"], [["Block\ufffdenil", "1 234"]])]


def test_the_title_block_says_where_every_figure_comes_from(found: Comparison, page: str) -> None:
    block = page[page.index('<dl class="block">') :]
    entries = dict(re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", block))
    made = found.provenance
    assert entries["seed"] == str(made["seed"])
    assert entries["replications"] == "3"
    assert entries["counted"] == f"{made['counted_min']:g} min"
    assert entries["warm-up"] == f"{made['warm_up_min']:g} min"
    assert entries["digest of the scenario"] == made["digest"]
    assert entries["policies"] == ", ".join(made["policies"])


def test_a_page_of_one_policy_and_one_replication_can_be_made() -> None:
    single = compare(a_short_works(), ["run out"], replications=1, workers=1)
    text = Reader(comparison_page(single, desk_figures(single.works))).text
    assert "there is no other policy to set it against" in text
    assert "one replication, no intervals" in text
    assert "nan" not in text.lower().split()


def test_a_page_overwrites_a_page_but_nothing_else(tmp_path: Path, found: Comparison) -> None:
    path, page = tmp_path / "page.html", comparison_page(found, desk_figures(found.works))
    write_page(path, page)
    write_page(path, page)
    path.write_text("my notes", encoding="utf-8")
    with pytest.raises(StudyError, match="is not a report of linesim"):
        write_page(path, page)
    assert path.read_text(encoding="utf-8") == "my notes"
    write_page(path, page, is_forced=True)
    assert path.read_text(encoding="utf-8").startswith("<!doctype html>")


def test_a_page_needs_a_file_name_in_a_folder_that_is_there(tmp_path: Path) -> None:
    with pytest.raises(StudyError, match=r"this is a folder; a file name such as report\.html was expected"):
        check_page(tmp_path, False)
    with pytest.raises(StudyError, match="there is no such folder for the report"):
        check_page(tmp_path / "none" / "page.html", False)


# pictures


def test_points_and_bars_stand_where_the_table_has_them(found: Comparison) -> None:
    points = [trace for trace in output_loss_figure(Frontier(found)).data if trace.hovertext is not None]
    assert sorted(name for trace in points for name in trace.hovertext) == sorted(found.names)
    for trace in points:
        for axis, bar, measure in (
            ("x", "error_x", "good_per_hour"),
            ("y", "error_y", "quality_loss_per_good_part"),
        ):
            for at, name in enumerate(trace.hovertext):
                assert (trace[axis][at], trace[bar].array[at]) == found.mean(name, measure)


def test_the_line_joins_the_policies_not_beaten_in_both(found: Comparison) -> None:
    joined = [trace for trace in output_loss_figure(Frontier(found)).data if trace.mode == "lines"]
    outputs = [found.mean(name, "good_per_hour")[0] for name in found.frontier]
    assert [list(trace.x) for trace in joined] == ([outputs] if len(outputs) > 1 else [])


def test_bars_of_time_fill_the_hundred(found: Comparison) -> None:
    sums = np.sum([trace.x for trace in constraint_time_figure(found, "block").data], axis=0)
    assert sums == pytest.approx(100.0, abs=0.01)


def test_bars_of_the_ledger_reach_the_cost_per_good_part(found: Comparison) -> None:
    sums = np.sum([trace.x for trace in cost_figure(found).data], axis=0)
    assert sums == pytest.approx([found.mean(name, "cost_per_good_part")[0] for name in found.names], abs=0.01)


def test_axes_carry_their_units(found: Comparison) -> None:
    assert output_loss_figure(Frontier(found)).layout.yaxis.title.text == "quality loss per good part, EUR"
    assert cost_figure(found).layout.xaxis.title.text == "EUR per good part"
    assert constraint_time_figure(found, "block").layout.xaxis.title.text.endswith("%")


def test_colours_are_those_of_the_published_palette_and_every_state_has_its_own() -> None:
    # Okabe and Ito (2002), as red, green and blue.
    published = {
        "black": (0, 0, 0),
        "orange": (230, 159, 0),
        "sky blue": (86, 180, 233),
        "bluish green": (0, 158, 115),
        "yellow": (240, 228, 66),
        "blue": (0, 114, 178),
        "vermilion": (213, 94, 0),
        "reddish purple": (204, 121, 167),
    }
    assert {name: rgb(colour) for name, colour in PALETTE.items()} == published
    assert len(set(STATE_COLOURS.values())) == len(STATE_COLOURS) == len(State)


def rgb(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5))


@pytest.mark.parametrize("light", [DAY, NIGHT])
@pytest.mark.parametrize("ink", ["ink", "faint", "accent", "good", "caution"])
def test_texts_stand_out_by_day_and_by_night(light: Light, ink: str) -> None:
    # W3C, Web Content Accessibility Guidelines 2.1, success criterion 1.4.3: at least 4.5 to 1.
    first, second = sorted((luminance(getattr(light, ink)), luminance(light.sheet)), reverse=True)
    assert (first + 0.05) / (second + 0.05) >= 4.5


def luminance(colour: str) -> float:
    """Relative luminance as the guidelines define it."""
    parts = [value / 255 for value in rgb(colour)]
    red, green, blue = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


# the terminal


LONG = "a name that goes on and on until nobody remembers how it began, "


def long_works() -> Works:
    return a_short_works(
        name=3 * LONG,
        policies={LONG + "first": {"default": {"life": 0.5}}, LONG + "second": {"default": {"life": 0.9}}},
        lines={LONG: {"operations": {LONG: {"minutes": 2}}, "worth": 10}},
    )


def test_every_page_fits_a_hundred_columns_with_its_figures_whole(found: Comparison) -> None:
    run_page = run_text(run(a_short_works(), engine="simpy"))
    for shown in (run_page, comparison_text(found), desk_text(desk_figures(a_short_works()))):
        lines = rendered(shown)
        assert max(map(len, lines)) <= WIDTH
        for printed in terminal_tables(shown):
            for figure in {text for row in printed.rows for cell in row[1:] for text in cell.split("\n")}:
                assert any(figure in line for line in lines) or not figure[-1:].isdigit(), figure


def test_long_names_are_cut_and_never_push_figures_out() -> None:
    works = long_works()
    for shown in (run_text(run(works, engine="simpy")), desk_text(desk_figures(works))):
        lines = rendered(shown)
        assert max(map(len, lines)) <= WIDTH
        assert any("…" in line for line in lines)
    compared = rendered(comparison_text(compare(works, replications=2, workers=1)))
    assert max(map(len, compared)) <= WIDTH


def test_a_row_of_the_run_stands_on_one_line() -> None:
    result = run(a_short_works(), engine="simpy")
    lines = rendered(run_text(result))
    for machine in result.machines["machine"]:
        shares = [line for line in lines if line.startswith(f"{machine} ") and len(re.findall(r"\d+\.\d", line)) >= 6]
        assert len(shares) == 1, machine


def test_signs_that_a_terminal_obeys_are_not_passed_on() -> None:
    printed = grid("Block\x1b[31m", [Column("head\x07", True), Column("n")], [["cell\x1b]0;owned\x07", "1\n2"]])
    text = "\n".join(rendered(printed))
    assert "\x1b" not in text
    assert "\x07" not in text
    assert "cell�]0;owned�" in text


def test_words_in_square_brackets_are_shown_and_not_obeyed() -> None:
    works = a_short_works(name="[bold red]Block[/bold red]")
    assert "[bold red]Block[/bold red]" in "\n".join(rendered(run_text(run(works, engine="simpy"))))


def test_problems_stand_out_in_words() -> None:
    stuck = a_works(
        run={"length": "1 shift", "warm_up": 0},
        lines={"block": {"casting": {"limit": 1, "arrivals": {"between": "1 week"}}}},
    )
    assert any(line.startswith("PROBLEM: ") for line in rendered(run_text(run(stuck, engine="simpy"))))


def test_chunks_take_every_name_once() -> None:
    names = [str(number) for number in range(11)]
    assert [name for chunk in chunks(names, 5) for name in chunk] == names


# sheets


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "＝1", "  =1", "\n=1"])
def test_a_cell_that_a_spreadsheet_would_reckon_is_set_off(text: str) -> None:
    assert harmless(text) == f"'{text}"
    table = pd.DataFrame({text: [text], "number": [-1.5]})
    rows = list(csv.reader(io.StringIO(as_csv(table), newline="")))
    cell = f"'{text}".replace("\r", " ")
    assert rows == [[cell, "number"], [cell, "-1.5"]]


@pytest.mark.parametrize("text", ["Op 10", "", "a=b", "5 mm", "'=1"])
def test_other_cells_stay_as_they_are(text: str) -> None:
    assert harmless(text) == text


def test_tables_read_back_with_all_their_digits(tmp_path: Path) -> None:
    table = pd.DataFrame({"name": ["a, b", 'c "d"', "e\nf"], "value": [1 / 3, -2.5e-17, float("nan")]})
    write_csv(tmp_path, {"values": table}, {"seed": 1})
    again = pd.read_csv(tmp_path / "values.csv")
    pd.testing.assert_frame_equal(again, table, check_exact=True)


def test_a_folder_says_what_was_put_there_and_why(tmp_path: Path) -> None:
    table = pd.DataFrame({"a": [1]})
    write_csv(tmp_path / "new" / "folder", {"one": table}, {"seed": 7, "command": "linesim run x"})
    write_csv(tmp_path / "new" / "folder", {"two": table}, {"seed": 8})
    contents = json.loads((tmp_path / "new" / "folder" / CONTENTS).read_text(encoding="utf-8"))
    assert contents["files"] == ["one.csv", "two.csv"]
    assert contents["provenance"] == {"seed": 8}


def test_foreign_files_are_left_alone_unless_forced(tmp_path: Path) -> None:
    table = pd.DataFrame({"a": [1]})
    (tmp_path / "one.csv").write_text("mine", encoding="utf-8")
    with pytest.raises(StudyError, match=r"one\.csv lie there already and were not written by linesim"):
        write_csv(tmp_path, {"one": table}, {})
    assert (tmp_path / "one.csv").read_text(encoding="utf-8") == "mine"
    write_csv(tmp_path, {"one": table}, {}, is_forced=True)
    write_csv(tmp_path, {"one": table}, {})
    assert (tmp_path / "one.csv").read_text(encoding="utf-8") == "a\n1\n"


def test_a_note_that_is_not_ours_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / CONTENTS).write_text("{}", encoding="utf-8")
    with pytest.raises(StudyError, match=r"linesim\.json lie there already"):
        check_folder(tmp_path, ("one",), False)


def test_a_file_is_not_taken_for_a_folder(tmp_path: Path) -> None:
    (tmp_path / "x").write_text("", encoding="utf-8")
    with pytest.raises(StudyError, match="this is a file; a folder for the tables was expected"):
        check_folder(tmp_path / "x", ("one",), False)
