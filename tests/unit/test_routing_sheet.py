"""The sheets: everything on them, nothing that runs, real figures; and the commands."""

from __future__ import annotations

import json
from pathlib import Path

import openpyxl
import pytest
from typer.testing import CliRunner

from linesim.ask import history
from linesim.cli import app
from linesim.errors import StudyError
from linesim.report.page.history_page import history_page
from linesim.report.page.justification import Sheets
from linesim.report.page.justification_content import justification
from linesim.report.page.justification_excel import write_workbook
from linesim.report.page.justification_html import justification_page
from linesim.report.page.sheet_records import Reader, SheetContent
from linesim.routing import RoutingStudy, variants_from_text
from linesim.routing.why import accounts_of, warnings_of
from linesim.study import StudyOptions
from linesim.works import changed, load_works

EVIL = '=HYPERLINK("x")<script>alert(1)</script>'

VARIANTS = f"""\
name: '{EVIL}'
question: One cut or two?
line: flange
features: [face]
policy: full life
variants:
  two cuts:
  '=1+1':
    about: All in one cut
    changes:
      lines:
        flange:
          operations:
            Op 10: null
            Op 20: {{strokes: {{finish: {{cuts: {{finish: {{depth: 3.5 mm}}}}}}}}}}
"""


@pytest.fixture(scope="module")
def content() -> SheetContent:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "3 shifts"}})
    answer = RoutingStudy(variants_from_text(VARIANTS, works), 1, StudyOptions(2)).run()
    reader = Reader(is_inch=True, currency="USD", per_unit=0.5)
    return justification(answer, accounts_of(answer), reader, warnings_of(answer), "linesim routing x")


def test_the_page_runs_nothing_and_holds_everything(content: SheetContent) -> None:
    page = justification_page(content)
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    for text in (
        content.question,
        "Assumptions",
        "Sources",
        "Cautions",
        "even at loss factors times",
        "µin",
        "USD/part",
    ):
        assert text in page
    assert "http" not in page.replace("http-equiv", "")


def test_money_and_sizes_are_the_readers(content: SheetContent) -> None:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "3 shifts"}})
    plain = justification(RoutingStudy(variants_from_text(VARIANTS, works), 1, StudyOptions(2)).run())
    theirs, own = content.blocks[0].rows[0], plain.blocks[0].rows[0]
    assert theirs[7].value == pytest.approx(0.5 * own[7].value)  # type: ignore[union-attr]
    assert "EUR" not in " ".join(
        (content.answer, *content.remarks, *(head for b in content.blocks for head in b.heads))
    )
    spread, in_um = content.blocks[1].rows[0][2], plain.blocks[1].rows[0][2]
    assert spread.value == pytest.approx(in_um.value / 0.0254)  # type: ignore[union-attr]


def test_the_workbook_has_real_figures_and_no_formula(content: SheetContent, tmp_path: Path) -> None:
    file = tmp_path / "sheet.xlsx"
    write_workbook(file, content, "Letter")
    page = openpyxl.load_workbook(file).active
    assert page is not None
    cells = [cell for row in page.iter_rows() for cell in row if cell.value is not None]
    assert not [cell for cell in cells if cell.data_type == "f"]
    texts = [str(cell.value) for cell in cells if isinstance(cell.value, str)]
    assert any(text.startswith("'=HYPERLINK") for text in texts)
    assert not [text for text in texts if text[:1] in "=+@"]
    figures = [cell for cell in cells if isinstance(cell.value, (int, float))]
    assert len(figures) > 20
    assert {cell.number_format for cell in figures} <= {"0", "0.0", "0.00", "0.000"}
    assert (page.page_setup.paperSize, page.page_setup.fitToHeight, page.page_setup.orientation) == (1, 1, "landscape")
    assert page.sheet_properties.pageSetUpPr.fitToPage


def test_a_workbook_of_somebody_else_is_left_alone(content: SheetContent, tmp_path: Path) -> None:
    file = tmp_path / "theirs.xlsx"
    openpyxl.Workbook().save(file)
    with pytest.raises(StudyError, match="lies there already and is not a workbook of linesim"):
        write_workbook(file, content)
    write_workbook(file, content, is_forced=True)
    write_workbook(file, content)


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({"units": "cubits"}, '"cubits" units are not known here; metric or inch was expected'),
        ({"paper": "A3"}, '"A3" is not a paper that is known here; A4 or Letter was expected'),
        ({"rate": 2.0}, "a rate was given without a currency; say which one with --currency"),
        ({"currency": "USD", "rate": 0.0}, "a rate of 0 cannot be"),
        ({"excel": Path("x.csv")}, "a workbook's name ends in .xlsx"),
    ],
)
def test_what_a_sheet_cannot_be_is_told_before_anything_is_run(options: dict[str, object], told: str) -> None:
    with pytest.raises(StudyError) as error:
        Sheets(**({"html": None, "excel": None} | options))  # type: ignore[arg-type]
    assert told in str(error.value)


def test_a_history_page_escapes_the_scenario() -> None:
    works = changed(load_works("scenarios/smallest.yaml"), {"name": EVIL, "run": {"length": "2 shifts"}})
    page = history_page(history(works, "face", replications=2))
    assert "<script>alert" not in page
    assert "casting, copied down" in page


COMMANDS = [
    (["history", "scenarios/smallest.yaml", "--feature", "face", "--replications", "1"], "arising"),
    (["stock", "scenarios/smallest.yaml", "--feature", "face"], "choices"),
    (["speed", "scenarios/smallest.yaml", "--cut", "finish", "--replications", "2"], "speeds"),
]


@pytest.mark.parametrize(("command", "table"), COMMANDS)
def test_a_command_prints_tables_and_json(command: list[str], table: str) -> None:
    shown = CliRunner().invoke(app, command)
    assert shown.exit_code == 0, shown.output
    assert max(map(len, shown.stdout.splitlines())) <= 100
    found = json.loads(CliRunner().invoke(app, [*command, "--json"]).stdout)
    assert found[table]


@pytest.mark.late
def test_the_routing_command_writes_its_sheets(tmp_path: Path) -> None:
    file = tmp_path / "variants.yaml"
    file.write_text(VARIANTS, encoding="utf-8")
    page, book = tmp_path / "sheet.html", tmp_path / "sheet.xlsx"
    command = ["routing", "scenarios/smallest.yaml", "--variants", str(file), "--replications", "2"]
    shown = CliRunner().invoke(app, [*command, "--html", str(page), "--excel", str(book), "--csv", str(tmp_path / "t")])
    assert shown.exit_code == 0, shown.output
    assert page.is_file()
    assert book.is_file()
    assert (tmp_path / "t" / "capability.csv").is_file()
    wrong = CliRunner().invoke(app, [*command, "--units", "cubits"])
    assert wrong.exit_code == 2


def test_a_variant_that_ships_nothing_is_told_and_does_not_end_the_study() -> None:
    works = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": "2 shifts"}})
    text = VARIANTS.replace("Op 10: null", "Op 30: {scrap_chance: 1}\n            Op 10: null")
    answer = RoutingStudy(variants_from_text(text, works), 1, StudyOptions(2)).run()
    content = justification(answer, accounts_of(answer), warnings=warnings_of(answer))
    assert list(content.shares) == ["two cuts"]
    assert "nothing was shipped whose quality loss could be told" in " ".join(content.remarks)
    assert "<td>–</td>" in justification_page(content)
    json.dumps(answer.as_dict(), allow_nan=False)
