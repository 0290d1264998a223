"""Records of a shop: guessed, confirmed, read; what is doubtful is set aside with its reason."""

from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from typer.testing import CliRunner

from linesim.cli import app
from linesim.errors import ScenarioError
from linesim.records.guess import guessed
from linesim.records.mapping import FileMapping, mapping_text, read_mapping
from linesim.records.reading import Records, read_table
from linesim.records.tables import table_in
from linesim.records.templates import templates
from tests.benchmarks.attack.ragged import attacked

BOOK = """\
Werkzeugbuch 2026;;;;
;;;;
Werkzeug;Datum;Teile;Schnittzeit [h];Grund;Vc (ft/min);Farbe
Fräser 1;03.02.26 07:40;62;0,55;stumpf;361;rot
Fräser 1;03.02.26 07:40;62;0,55;stumpf;361;rot
Fräser 1;31.13.26 07:40;62;0,55;stumpf;361;rot
Fräser 1;05.02.26 07:40;;n/a;Bruch;361;rot
Fräser 1;14.02.26 19:40;1.062;12,5 min;Bruch;110 m/min;rot
Fräser 1;15.02.26 07:40;70;0.55;keine Ahnung;361;rot
Fräser 1;16.02.26 07:40;70,5;0,5;planmäßig nach Intervall;99999;rot
"""


def read(text: str | bytes, name: str = "book.csv") -> tuple[FileMapping, Records]:
    """Guess a mapping, write it down, read it back, and read the table by it."""
    content = text.encode("cp1252") if isinstance(text, str) else text
    table = table_in(content, name)
    (mapping,) = read_mapping(mapping_text([guessed(table, name)]), "records.yaml")
    return mapping, read_table(table, mapping)


def test_a_shop_s_own_book_is_read_row_by_row() -> None:
    """Title above, German headings, decimal commas, hours and feet per minute, Windows letters; all else listed."""
    mapping, every = read(BOOK)
    assert mapping.kind.name == "tool changes"
    first, second = every.rows
    assert (first.row, first.name("set"), first.name("why")) == (4, "Fräser 1", "worn")
    assert first.number("minutes") == pytest.approx(33.0)
    assert first.number("speed") == pytest.approx(110.0328)
    assert str(first.when) == "2026-02-03 07:40:00"
    assert (second.row, second.number("parts"), second.number("minutes"), second.number("speed")) == (
        8,
        1062,
        12.5,
        110,
    )
    assert {each.row: each.reason for each in every.asides} == {
        5: "the same as row 4: a duplicate",
        6: 'when: "31.13.26 07:40" is no date, with the day first',
        7: "parts or minutes is missing",
        9: 'minutes: "0.55" is no figure with a decimal comma; why: "keine Ahnung" is not known; "worn", "broken", '
        '"by interval", "other", or a line for it under words, was expected',
        10: "parts: 70.5 is no whole number; speed: 30479.7 m/min is out of reason; from 0.1 to 5000 was expected",
    }


def test_a_guess_says_what_it_is_not_sure_of() -> None:
    guess = guessed(table_in(BOOK.encode(), "book.csv"), "book.csv")
    assert guess.remarks == (
        "decimals: 6 figures have a comma and 1 a point; say which in decimal",
        'dates: "03.02.26" may be day or month first; say which in dates',
        'words: "keine ahnung" is not known; its rows are set aside until it stands there',
        'not read: "Farbe"',
    )
    dates = guessed(table_in(b'set,date,minutes,why\na,3/2/26,"1,234",worn\n', "b.csv"), "b.csv")
    assert dates.remarks == (
        'decimals: "1,234" may be read in two ways; say which in decimal',
        'dates: "3/2/26" may be day or month first; say which in dates',
    )


@pytest.mark.parametrize("name", sorted(templates()))
def test_a_template_is_read_as_what_it_is_in_every_form(name: str) -> None:
    """CSV, workbook and Parquet give the same rows, all columns are recognised, and the invented rows are clean."""
    frame = pd.read_csv(io.StringIO(templates()[name]), dtype=str, keep_default_na=False)
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in [list(frame.columns), *frame.to_numpy().tolist()]:
        sheet.append(row)
    xlsx, parquet = io.BytesIO(), io.BytesIO()
    book.save(xlsx)
    frame.to_parquet(parquet)
    forms = {"t.csv": templates()[name].encode(), "t.xlsx": xlsx.getvalue(), "t.parquet": parquet.getvalue()}
    answers = {form: read(content, form) for form, content in forms.items()}
    (mapping, every), *others = answers.values()
    assert set(mapping.columns) == {column.name for column in mapping.kind.columns}
    assert not every.asides
    assert every.rows
    assert all([row.values for row in other.rows] == [row.values for row in every.rows] for _, other in others)


def test_what_is_wrong_with_a_mapping_is_all_listed() -> None:
    first = "records:\n- file: a.csv\n  record: tool change\n"
    text = (
        first
        + "- file: b.csv\n  record: stoppages\n  columns: {machine: M, start: {heading: S, unit: kg}}\n  dates: [1]\n"
    )
    with pytest.raises(ScenarioError) as caught:
        read_mapping(text, "records.yaml")
    lines = str(caught.value).splitlines()
    assert 'records.yaml, line 3, records[1].record: "tool change" was read' in lines[0]
    assert 'Did you mean "tool changes"?' in lines[1]
    assert "a list was read" in lines[2]
    assert 'records[2].columns.start: "kg" is the unit of a mass' in lines[3]
    assert "records[2].columns: reason is missing, which stoppages need" in lines[4]


def test_records_from_the_command_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "book.csv").write_text(BOOK, encoding="cp1252")

    def called(*words: str) -> str:
        answer = CliRunner().invoke(app, ["records", *words])
        assert not isinstance(answer.exception, Exception), answer.exception
        return " ".join((answer.stdout + answer.stderr).split())

    assert "9 templates written to forms" in called("--templates", "forms")
    assert "add --guess records.yaml" in called("book.csv")
    assert "not sure" not in called("book.csv", "--guess", "records.yaml")
    assert "lies there already" in called("book.csv", "--guess", "records.yaml")
    shown = called("records.yaml")
    assert "book.csv, row 5: the same as row 4: a duplicate" in shown


def test_ragged_files_give_words() -> None:
    """Forty mutated files and mappings; thousands from the command line."""
    read_files, worded = attacked(40, seed=17)
    assert read_files + worded == 40
    assert worded > 0
    assert read_files > 0
