"""``linesim rerun``: the question of a report asked again, and its figures held against those of the report."""

from __future__ import annotations

import io
import json
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import redirect_stdout
from pathlib import Path
from typing import Annotated, Any

import typer

from linesim import __version__
from linesim.cli.asked import WHERE, Report, read_report
from linesim.cli.command import command
from linesim.cli.guard import FOUND_PROBLEM
from linesim.cli.output import show
from linesim.cli.written_tables import written_tables
from linesim.errors import StudyError
from linesim.report.terminal.rerun import rerun_text

__all__ = ["rerun"]

_NOT_A_FIGURE = frozenset({"command", "asked", "scenario", "linesim", "counted_why", "warm_up_why"})
"""Entries that may differ between two reports of the same figures: the carried scenario says no usual values."""

ReportFile = Annotated[
    Path,
    typer.Argument(
        metavar="REPORT", help="What --json or --html wrote, or linesim.json of a --csv folder.", show_default=False
    ),
]


@command
def rerun(report: ReportFile) -> None:
    """Ask the question of a report again, and say whether its figures are the same."""
    old = read_report(report)
    if old.version and old.version != __version__:
        typer.echo(f"The report was made by linesim {old.version}; this is {__version__}.", err=True)
    new = _asked_again(report, old)
    if "written by" in old.content:
        were: Mapping[str, Any] = written_tables(report, old.content.get("files", []), new)
        now: Mapping[str, Any] = {name: new[name] for name in were}
    else:
        were, now = old.content, new
    is_whole = any(isinstance(value, list) for value in were.values())
    differing = list(_differing(were, now, "")) if is_whole else []
    show(rerun_text(old.command, new, differing, is_whole))
    if differing:
        raise typer.Exit(FOUND_PROBLEM)


def _asked_again(report: Path, old: Report) -> dict[str, Any]:
    """What the same command answers today."""
    group = _group()
    chosen = group.loaded(old.command) if old.command in group.entries else None
    if chosen is None or not {"file", "as_json"} <= {parameter.name for parameter in chosen.params}:
        raise StudyError(f'{report}: "{old.command}" is no command that could be asked again')
    with tempfile.TemporaryDirectory() as folder, redirect_stdout(io.StringIO()) as printed:
        file = Path(folder) / "scenario.yaml"
        file.write_text(old.scenario, encoding="utf-8")
        arguments = [*_arguments(chosen, old.options, report), "--json", str(file)]
        chosen.main(args=arguments, prog_name=f"linesim {old.command}", standalone_mode=False)
    try:
        answer: dict[str, Any] = json.loads(printed.getvalue())
    except ValueError as error:
        raise StudyError(f"{report}: its question was not answered; see above") from error
    return answer


def _group() -> Any:
    from linesim.cli.main import app  # noqa: PLC0415 - which lists this command as well

    return typer.main.get_command(app)


def _arguments(chosen: Any, options: Mapping[str, Any], report: Path) -> list[str]:
    """Options by name as they are typed."""
    known = {parameter.name: parameter for parameter in chosen.params}
    strange = [name for name in options if name not in known]
    if strange:
        raise StudyError(f'{report}: "{strange[0]}" is nothing that linesim {chosen.name} can be asked')
    return [
        typed
        for name, value in options.items()
        if name not in WHERE and value is not None
        for typed in _typed(known[name], value)
    ]


def _typed(parameter: Any, value: Any) -> Iterator[str]:
    if getattr(parameter, "is_flag", False):
        names = parameter.opts if value else parameter.secondary_opts
        yield from names[:1]
        return
    for each in value if isinstance(value, list) else [value]:
        yield f"{parameter.opts[0]}={each}"


def _differing(old: Any, new: Any, path: str) -> Iterator[tuple[str, str, str]]:
    """Entries that are not the same: where, what was, what is."""
    if isinstance(old, dict) and isinstance(new, dict):
        for name in dict.fromkeys([*old, *new]):
            if name not in _NOT_A_FIGURE:
                yield from _differing(old.get(name), new.get(name), f"{path}.{name}" if path else str(name))
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for number, pair in enumerate(zip(old, new, strict=True)):
            yield from _differing(*pair, f"{path}[{number}]")
    elif old != new:
        yield path, _short(old), _short(new)


def _short(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 40 else f"{text[:39]}…"
