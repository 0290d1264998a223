"""``linesim runs``: studies and runs that have been kept."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.guard import FOUND_PROBLEM, guarded
from linesim.cli.options import AsJson, Force, StorePlace
from linesim.cli.output import command_line, put_json, show
from linesim.errors import StoreError
from linesim.report.files.run_files import check_file, write_table
from linesim.report.files.whole import write_text
from linesim.report.terminal.runs import pruned_text, studies_text, study_text
from linesim.result.plain import plain_table
from linesim.store import Store, open_copy, open_store, rescue
from linesim.study.comparing.past import policy_runs, run_table, scenario_text, works_of
from linesim.study.crew.version import model_version
from linesim.words import counted

__all__ = ["runs"]

_MOST_LISTED = 20
"""Damaged rows that are named on the terminal."""

runs = typer.Typer(
    name="runs",
    help="Studies and runs in the store: list, show, export, name, prune, check, rescue, write the scenario back.",
    no_args_is_help=True,
)

Study = Annotated[str, typer.Argument(metavar="STUDY", help="Number or name of a study.", show_default=False)]


@runs.command("list")
@guarded
def list_studies(store: StorePlace = None, as_json: AsJson = False) -> None:
    """List the studies, the one that last got on first."""
    with _opened(store, only_reads=True) as stored:
        studies, count = stored.studies(), stored.count_runs()
    if as_json:
        put_json({"store": stored.location, "runs": count, "studies": [dataclasses.asdict(study) for study in studies]})
    else:
        show(studies_text(studies, stored.location, count))


@runs.command("show")
@guarded
def show_study(study: Study, store: StorePlace = None, as_json: AsJson = False) -> None:
    """Show one study: what was asked, how far it is, what it has found, its runs by policy."""
    with _opened(store, only_reads=True) as stored:
        answer = stored.study(study)
        means = policy_runs(run_table(stored, answer))
        currency = works_of(stored, answer).currency
    if as_json:
        put_json(dataclasses.asdict(answer) | {"policies": plain_table(means)})
    else:
        show(study_text(answer, means, currency))


@runs.command("export")
@guarded
def export_runs(
    study: Annotated[str, typer.Argument(metavar="STUDY", help="Number or name of a study, or all.")],
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .csv, .json or .xlsx.")],
    store: StorePlace = None,
    force: Force = False,
) -> None:
    """Write the figures of every run of a study into a file, one row per run and line."""
    check_file(file, force)
    with _opened(store, only_reads=True) as stored:
        answer = None if study == "all" else stored.study(study)
        table = run_table(stored, answer)
    provenance = {"command": command_line(), **({} if answer is None else dataclasses.asdict(answer))}
    write_table(file, table, provenance, force)
    typer.echo(f"{counted(len(table), 'row', 'rows')} written to {file}", err=True)


@runs.command("name")
@guarded
def name_study(
    study: Study,
    name: Annotated[str, typer.Argument(metavar="NAME", help="What to call it; empty takes the name away.")],
    store: StorePlace = None,
) -> None:
    """Give a study a name."""
    with _opened(store) as stored:
        stored.rename(stored.study(study).number, name)


@runs.command("prune")
@guarded
def prune(
    study: Annotated[
        list[str] | None, typer.Option("--study", metavar="STUDY", help="Take this study; say it again for more.")
    ] = None,
    older_than: Annotated[
        float | None, typer.Option(metavar="DAYS", min=0, help="Take studies that have not got on for so long.")
    ] = None,
    old_versions: Annotated[
        bool, typer.Option("--old-versions", help="Take what another version of the model has made.")
    ] = False,
    yes: Annotated[
        bool, typer.Option("--yes", help="Take it away; without this it is only told what would go.")
    ] = False,
    store: StorePlace = None,
) -> None:
    """Take away studies and the runs that no study needs; tells first what would go."""
    with _opened(store) as stored:
        chosen = [stored.study(called).number for called in study or ()]
        pruned = stored.prune(model_version() if old_versions else None, older_than, chosen, is_tried=not yes)
    typer.echo(pruned_text(pruned, is_tried=not yes))


@runs.command("works")
@guarded
def write_works(
    study: Study,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Scenario file to write; - prints it.")],
    store: StorePlace = None,
    force: Force = False,
) -> None:
    """Write the scenario of a study back to a file."""
    with _opened(store, only_reads=True) as stored:
        text = scenario_text(stored, stored.study(study))
    if str(file) == "-":
        typer.echo(text, nl=False)
        return
    if file.exists() and not force:
        raise StoreError(f"{file} is there already; name another file, or add --force to overwrite it")
    write_text(file, text)
    typer.echo(f"Scenario written to {file}", err=True)


@runs.command("check")
@guarded
def check_store(store: StorePlace = None, as_json: AsJson = False) -> None:
    """See whether a store is whole, row by row; nothing is written to it, whatever its state."""
    with open_copy(store) as copy:
        problems = list(copy.problems())
    if as_json:
        put_json({"store": copy.location, "problems": problems})
    else:
        typer.echo(_checked_text(copy.location, problems))
    if problems:
        raise typer.Exit(FOUND_PROBLEM)


def _checked_text(location: str, problems: list[str]) -> str:
    if not problems:
        return f"{location} is whole: every row says what was written."
    more = [f"... and {len(problems) - _MOST_LISTED} more"] if len(problems) > _MOST_LISTED else []
    rest = "The rest is whole. To put all that can be read into a new store: linesim runs rescue NEW"
    return "\n".join([f"{location} is damaged:", *(f"  {line}" for line in [*problems[:_MOST_LISTED], *more]), rest])


@runs.command("rescue")
@guarded
def rescue_store(
    new: Annotated[str, typer.Argument(metavar="NEW", help="The new store: a file that is not there yet, or a URL.")],
    store: StorePlace = None,
) -> None:
    """Put all that can be read of a damaged store into a new one; the damaged one is left as it is."""
    if "://" not in new and Path(new).exists():
        raise StoreError(f"{new} is there already; name a file that is not")
    with open_copy(store) as damaged, open_store(new) as fresh:
        rescued = rescue(damaged, fresh)
    for kind, saved in rescued.saved.items():
        lost = rescued.lost[kind]
        typer.echo(f"{saved} {kind} saved" + (f", {lost} lost" if lost else ""))
    typer.echo(f"Saved to {fresh.location}; {damaged.location} is as it was.", err=True)


def _opened(location: str | None, only_reads: bool = False) -> Store:
    """The store that is named, or the user's own."""
    return open_store(location, only_reads=only_reads)
