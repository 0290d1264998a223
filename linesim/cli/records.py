"""``linesim records``: the shop's own records, read by a mapping that a person has confirmed."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from linesim import __version__
from linesim.cli.command import command
from linesim.cli.options import Force, Write
from linesim.cli.output import PageOutlet, command_line, show
from linesim.cli.writing import Overlay
from linesim.errors import StudyError
from linesim.records.files import guess_files
from linesim.records.fitted import fit_records
from linesim.records.mapping import load_mapping, mapping_text
from linesim.records.overlay import overlay_of
from linesim.records.reading import read_records
from linesim.records.templates import templates as template_texts
from linesim.report.files.whole import write_text
from linesim.report.page.records_page import records_page
from linesim.report.terminal.records import (
    aside_table,
    coefficients_table,
    guess_text,
    json_rows,
    records_text,
    rows_table,
)
from linesim.works import load_works

__all__ = ["records"]

Files = Annotated[
    list[Path] | None,
    typer.Argument(
        metavar="FILE...",
        help="A mapping (YAML); with --guess the records themselves: CSV, .xlsx, Parquet, MTConnect (.xml).",
        show_default=False,
    ),
]
Guess = Annotated[
    Path | None,
    typer.Option("--guess", metavar="FILE.yaml", help="Guess the mapping of FILE... and write it, to be confirmed."),
]
Templates = Annotated[
    Path | None, typer.Option("--templates", metavar="DIR", help="Write an empty file for each kind of record.")
]


Scenario = Annotated[
    Path | None,
    typer.Option(
        "--scenario", metavar="FILE", help="Scenario whose handbook enters as a prior where few edges wore out."
    ),
]


@command
def records(
    out: PageOutlet,
    files: Files = None,
    guess: Guess = None,
    templates: Templates = None,
    scenario: Scenario = None,
    write: Write = None,
) -> None:
    """Read the shop's own records: rows that serve, rows set aside, coefficients with their intervals."""
    if templates is not None:
        _write_templates(templates, out.force)
    elif not files:
        raise StudyError("name a mapping, or records and --guess FILE.yaml; --templates DIR writes empty files")
    elif guess is not None:
        _write_guess(files, guess, out.force)
    else:
        _read(files, scenario, write, out)


def _write_templates(folder: Path, is_forced: Force) -> None:
    """Write a template for each kind of record."""
    texts = template_texts()
    for name in texts:
        _check_free(folder / name, is_forced)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StudyError(f"{folder}: no folder can be made there ({error.strerror or error})") from error
    for name, text in texts.items():
        write_text(folder / name, text)
    typer.echo(f"{len(texts)} templates written to {folder}", err=True)


def _write_guess(files: list[Path], path: Path, is_forced: Force) -> None:
    """Guess a mapping, write it and show what it makes of the files."""
    if path.suffix.lower() not in (".yaml", ".yml"):
        raise StudyError(f"{path}: a name such as records.yaml was expected after --guess")
    _check_free(path, is_forced)
    mappings = guess_files(files, path.parent)
    write_text(path, mapping_text(mappings))
    show(guess_text(mappings, read_records(mappings, path.parent), str(path)))


def _check_free(path: Path, is_forced: bool) -> None:
    """Leave alone what lies there."""
    if path.exists() and not is_forced:
        raise StudyError(f"{path} lies there already; name another file, or add --force to overwrite it")


def _read(files: list[Path], scenario: Path | None, write: Path | None, out: PageOutlet) -> None:
    """Read the files of a mapping, and fit what they allow."""
    if len(files) > 1 or files[0].suffix.lower() not in (".yaml", ".yml"):
        raise StudyError("one mapping was expected; for the records themselves add --guess records.yaml")
    out.check("coefficients", "rows", "aside")
    if write is not None and scenario is None:
        raise StudyError("--write extends a scenario: name it after --scenario")
    overlay = None if scenario is None else Overlay(write, scenario, out.force)
    works = None if scenario is None else load_works(scenario)
    every = read_records(load_mapping(files[0]), files[0].parent)
    fitted = fit_records(every, works)
    asides = (*every.asides, *fitted.asides)
    tables = {"coefficients": coefficients_table(fitted), "rows": rows_table(every), "aside": aside_table(asides)}
    content = {name: json_rows(table) for name, table in tables.items()} | {"sentences": fitted.sentences}
    provenance = {"linesim": __version__, "mapping": str(files[0])}
    fragment = None if works is None else overlay_of(fitted, works)
    remarks = [] if fragment is None else fragment.remarks
    if overlay is not None and fragment is not None:
        overlay.write(fragment.text)
    out.put(
        tables, provenance, lambda: content | {"remarks": remarks}, lambda: records_text(every, fitted, remarks),
        lambda: records_page(every, fitted, remarks, provenance, command_line()), works=None,
    )  # fmt: skip
