"""``linesim lesson``: lessons that are played on the live floor, by a person or by a stated policy."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.guard import FOUND_PROBLEM, guarded
from linesim.cli.lesson_play import Keeper, play_by_hand, play_by_itself, progress_store, read_kept
from linesim.cli.options import AsJson, Csv, Force, StorePlace
from linesim.cli.output import announce_compiling, check_csv, command_line, put_csv, put_json, show
from linesim.errors import StudyError
from linesim.report.terminal.lesson import lesson_list
from linesim.report.terminal.lesson_check import check_text
from linesim.report.terminal.lesson_debrief import debrief_text, progress_table, progress_text
from linesim.store.progress import attempts, delete_trainee
from linesim.training.checking import check_lesson
from linesim.training.debrief import look_back
from linesim.training.lesson import Lesson
from linesim.training.reading import lesson_files, lesson_named, lesson_schema, load_lesson
from linesim.training.search import search_best
from linesim.training.shift import Shift

__all__ = ["lesson"]

lesson = typer.Typer(name="lesson", help="Run a shift yourself: lessons on the live floor.", no_args_is_help=True)

LessonName = Annotated[str, typer.Argument(metavar="LESSON", help="Name of a lesson, or its file.", show_default=False)]
Number = Annotated[
    int | None,
    typer.Option("--shift", metavar="N", help="Which shift: the same number, the same chance; 1 unless given."),
]
Nickname = Annotated[
    str | None, typer.Option("--nickname", metavar="NAME", help="Write progress down under this nickname.")
]
Folder = Annotated[Path, typer.Option("--folder", metavar="DIR", help="Where the lessons lie.")]

_FOLDER = Path("scenarios") / "lessons"


def _lesson(name: str, folder: Path) -> Lesson:
    """A lesson by its name or its file."""
    announce_compiling()
    return lesson_named(name, folder)


@lesson.command("list")
@guarded
def list_lessons(folder: Folder = _FOLDER, as_json: AsJson = False) -> None:
    """List the lessons there are."""
    lessons = [load_lesson(path) for path in lesson_files(folder)]
    if as_json:
        put_json([{"lesson": entry.key, "name": entry.name, "learn": entry.file.learn} for entry in lessons])
    else:
        show(lesson_list(lessons))


@lesson.command()
@guarded
def play(
    name: LessonName,
    number: Number = None,
    policy: Annotated[
        str | None,
        typer.Option(
            "--policy", metavar="NAME", help="Let a policy play: good, bad, best, the plan, run until it breaks."
        ),
    ] = None,
    orders: Annotated[
        Path | None, typer.Option("--orders", metavar="FILE", help="Let the orders of a JSON file play.")
    ] = None,
    nickname: Nickname = None,
    store: StorePlace = None,
    keep: Annotated[
        Path | None, typer.Option("--keep", metavar="FILE", help="Where the shift is kept when you stop.")
    ] = None,
    afresh: Annotated[bool, typer.Option("--afresh", help="Begin anew although a shift was kept.")] = False,
    folder: Folder = _FOLDER,
    as_json: AsJson = False,
) -> None:
    """Play a shift: by hand at the terminal, by a stated policy, or by orders from a file."""
    chosen = _lesson(name, folder)
    with Keeper(chosen, nickname, store, keep) as keeper:
        if policy is not None or orders is not None:
            shift = play_by_itself(chosen, 1 if number is None else number, policy, orders)
            keeper.note(shift)
        else:
            ended = play_by_hand(chosen, number, keeper, afresh)
            if ended is None:
                return
            shift = ended
            keeper.end(shift)
    _tell(shift, as_json)


@lesson.command()
@guarded
def debrief(
    name: LessonName,
    kept: Annotated[Path, typer.Option("--kept", metavar="FILE", help="The shift as it was kept.")],
    folder: Folder = _FOLDER,
    as_json: AsJson = False,
) -> None:
    """Look back on a shift that was kept and is over."""
    _tell(Shift.restored(_lesson(name, folder), read_kept(kept)), as_json)


def _tell(shift: Shift, as_json: bool) -> None:
    """Print the debrief; the exit code says whether the lesson is passed."""
    answer = look_back(shift)
    if as_json:
        put_json({"command": command_line(), **answer.as_dict(), "kept": shift.as_dict()})
    else:
        show(debrief_text(answer))
    if not answer.is_passed:
        raise typer.Exit(FOUND_PROBLEM)


@lesson.command()
@guarded
def progress(
    store: StorePlace = None,
    nickname: Nickname = None,
    delete: Annotated[bool, typer.Option("--delete", help="Delete everything kept of this nickname.")] = False,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
) -> None:
    """Show what trainees have played and passed; write it down as CSV; delete a trainee on request."""
    check_csv(csv, ("progress",), force, as_json)
    if delete and nickname is None:
        raise StudyError("--delete needs --nickname NAME: whose progress is to go")
    with progress_store(store) as opened:
        if delete and nickname is not None:
            typer.echo(f"{delete_trainee(opened, nickname)} entries deleted.")
            return
        answer = attempts(opened, nickname)
    if csv is not None:
        put_csv(csv, {"progress": progress_table(answer)}, {"command": command_line()}, force)
    if as_json:
        put_json([vars(entry) | {"day": entry.day.isoformat()} for entry in answer])
    elif csv is None:
        show(progress_text(answer))


@lesson.command()
@guarded
def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Lesson files.", show_default=False)],
    shifts: Annotated[int, typer.Option("--shifts", metavar="N", help="Shifts to play by each stated policy.")] = 8,
    as_json: AsJson = False,
) -> None:
    """Check lesson files: entries, names, answers; the good policy passes and the bad one fails."""
    announce_compiling()
    answer = [check_lesson(load_lesson(path), range(1, shifts + 1)) for path in files]
    if as_json:
        put_json([entry.as_dict() for entry in answer])
    else:
        for entry in answer:
            show(check_text(entry))
    if not all(entry.is_sound for entry in answer):
        raise typer.Exit(FOUND_PROBLEM)


@lesson.command()
@guarded
def schema() -> None:
    """Print the JSON Schema of lesson files, so that an editor checks and completes them."""
    put_json(lesson_schema())


@lesson.command()
@guarded
def search(
    name: LessonName,
    shifts: Annotated[int, typer.Option("--shifts", metavar="N", help="Shifts on which policies are tried.")] = 6,
    folder: Folder = _FOLDER,
) -> None:
    """Search for the policy that earns most in a lesson, for its entry best."""
    answer = search_best(_lesson(name, folder), range(101, 101 + shifts))
    typer.echo(json.dumps({"way": answer.way, "orders": answer.orders, "earned": round(answer.earned, 2)}, indent=2))
