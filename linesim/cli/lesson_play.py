"""A shift at the terminal: what is seen, what is typed, and where it is kept when somebody stops."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Self

import typer

from linesim.cli.output import show
from linesim.errors import LinesimError, StoreError
from linesim.report.terminal.lesson import choices_text, lesson_text, view_text, wrapped
from linesim.store import Store, is_no_store, open_store, progress
from linesim.training.attempt import attempt_of
from linesim.training.choices import filled
from linesim.training.lesson import Lesson
from linesim.training.orders import TrainingError
from linesim.training.policies import stated_policy
from linesim.training.shift import Shift

__all__ = ["Keeper", "play_by_hand", "play_by_itself", "progress_store", "read_kept"]

HELP = """\
  Enter    let the line run on to the next decision
  r 30     let it run for 30 minutes (a decision that comes up stops it before)
  p 10     let the machine begin 10 parts (p 10 Op 20: at that machine)
  c        list what you can decide; type the number of what you choose
  s        show the line again            t   the task again
  h        a hint                         b   take the last step back
  q        stop; the shift is kept and goes on where it stood"""


def read_kept(path: Path) -> dict[str, Any]:
    """Read a shift that was kept in a file.

    Raises
    ------
    TrainingError
        It is no such file.
    """
    try:
        saved = json.loads(path.read_text(encoding="utf-8"))
    except ValueError as error:
        raise TrainingError(f"{path}: this is not a shift as linesim keeps it ({error})") from error
    if not isinstance(saved, dict) or not {"lesson", "number", "history"} <= saved.keys():
        raise TrainingError(f"{path}: a shift as linesim keeps it was expected, with lesson, number and history")
    return saved


def progress_store(place: str | None) -> Store:
    """The store in which progress is kept; unlike a study, progress makes no sense without one.

    Raises
    ------
    StoreError
        It cannot be opened, or none is wanted.
    """
    if is_no_store(place):
        raise StoreError("progress under a nickname needs a store; leave --store out, or name a file or a URL")
    return open_store(place)


class Keeper:
    """Keeps a shift that is not over: in the store under a nickname, or in a file."""

    def __init__(self, lesson: Lesson, nickname: str | None, store: str | None, path: Path | None) -> None:
        self.lesson = lesson
        self.nickname = None if nickname is None else progress.nickname_from(nickname)
        self.path = path or Path(f"{lesson.key}.shift.json")
        self.store = None if nickname is None else progress_store(store)
        self.open: progress.OpenShift | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        if self.store is not None:
            self.store.close()

    def saved(self, is_afresh: bool) -> dict[str, Any] | None:
        """The shift that was kept, if there is one and it is not to be given up for a new one."""
        if self.store is not None and self.nickname is not None:
            self.open = progress.open_shift_of(self.store, self.nickname, self.lesson.key)
            return None if self.open is None or is_afresh else self.open.kept
        return read_kept(self.path) if self.path.exists() and not is_afresh else None

    def keep(self, shift: Shift) -> str:
        """Keep a shift as it stands; returns where."""
        if self.store is not None and self.nickname is not None:
            if self.open is None:
                self.open = progress.new_shift(self.store, self.lesson.key, shift.as_dict(), self.nickname)
            else:
                self.open = progress.keep_shift(self.store, self.open, shift.as_dict())
            return f"under the nickname {self.nickname}"
        half = self.path.with_name(self.path.name + ".part")
        half.write_text(json.dumps(shift.as_dict(), indent=1) + "\n", encoding="utf-8")
        half.replace(self.path)  # a shift is never lost between two files
        return f"in {self.path}"

    def end(self, shift: Shift) -> None:
        """Write down a shift that is over, and that it is."""
        if self.open is None or self.store is None:
            self.note(shift)
        elif self.nickname is not None:
            attempt = attempt_of(shift, self.nickname)
            self.open = progress.ended_shift(self.store, self.open, shift.as_dict(), attempt)

    def note(self, shift: Shift) -> None:
        """Write down a shift that was never kept on the way."""
        if self.store is not None and self.nickname is not None:
            progress.note_attempt(self.store, attempt_of(shift, self.nickname))


def play_by_itself(lesson: Lesson, number: int, policy: str | None, orders: Path | None) -> Shift:
    """Let a stated policy, or the orders of a file, play a shift to its end."""
    if policy is not None and orders is not None:
        raise TrainingError("either --policy or --orders was expected, not both")
    if policy is not None:
        return Shift.by_policy(lesson, number, stated_policy(lesson, policy))
    assert orders is not None
    try:
        entries = json.loads(orders.read_text(encoding="utf-8"))
    except ValueError as error:
        raise TrainingError(f"{orders}: this is not JSON ({error})") from error
    if isinstance(entries, dict):
        entries = entries.get("history")
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise TrainingError(f'{orders}: a list of orders was expected, such as [{{"do": "run", "minutes": 30}}]')
    shift = Shift(lesson, number, entries)
    while not shift.is_over:
        shift.decide({"do": "run"})
    return shift


def play_by_hand(lesson: Lesson, number: int | None, keeper: Keeper, is_afresh: bool) -> Shift | None:
    """Let a person play; None if he stopped before the end."""
    saved = keeper.saved(is_afresh)
    shift = Shift(lesson, 1 if number is None else number) if saved is None else Shift.restored(lesson, saved)
    if saved is not None and shift.is_over:
        saved, shift = None, Shift(lesson, 1 if number is None else number)
    if number not in (None, shift.number):
        raise TrainingError(
            f"shift {shift.number} was kept at minute {shift.minute:.0f}; "
            f"add --afresh to give it up and begin shift {number}"
        )
    show(lesson_text(lesson))
    if saved is not None:
        typer.echo(f"\nThe shift goes on where you stopped, at minute {shift.minute:.0f} (--afresh begins anew).")
    typer.echo(f"\n{HELP}")
    try:
        return _Desk(shift, keeper).play()
    except (KeyboardInterrupt, EOFError, typer.Abort):
        typer.echo(f"\nStopped at minute {shift.minute:.0f}; kept {keeper.keep(shift)}. The same command goes on.")
        return None


class _Desk:
    """Reads what is typed and shows what comes of it."""

    def __init__(self, shift: Shift, keeper: Keeper) -> None:
        self.shift = shift
        self.keeper = keeper
        self.hints = 0

    def play(self) -> Shift | None:
        """Go on until the shift is over, or the trainee stops."""
        typer.echo(view_text(self.shift.view()))
        while not self.shift.is_over:
            typed = input("\nYou: ").strip()
            if typed in ("q", "quit"):
                raise KeyboardInterrupt
            try:
                self._obey(typed)
            except LinesimError as error:
                typer.echo(wrapped(str(error)))
            self.keeper.keep(self.shift)
        return self.shift

    def _obey(self, typed: str) -> None:
        """Do what was typed."""
        word, _, rest = typed.partition(" ")
        match word:
            case "":
                self._decide({"do": "run"})
            case "r":
                self._decide({"do": "run", "minutes": _number(rest, 30.0)})
            case "p":
                count, _, machine = rest.strip().partition(" ")
                at = {"machine": machine.strip()} if machine.strip() else {}
                self._decide({"do": "run", "parts": int(_number(count, 10.0)), **at})
            case "c":
                typer.echo(choices_text(self.shift.choices()))
            case "s":
                typer.echo(view_text(self.shift.view()))
            case "t":
                typer.echo(wrapped(self.shift.lesson.file.task))
            case "h":
                self._hint()
            case "b":
                self.shift.back()
                typer.echo("The last step is taken back.\n" + view_text(self.shift.view()))
            case _ if word.isdigit():
                self._choose(int(word))
            case _:
                typer.echo(HELP)

    def _hint(self) -> None:
        """The next hint."""
        hints = self.shift.lesson.file.hints
        if self.hints < len(hints):
            typer.echo(wrapped(f"Hint: {hints[self.hints]}"))
            self.hints += 1
        else:
            typer.echo("There are no more hints.")

    def _choose(self, number: int) -> None:
        """Take a choice from the list, and ask for what it needs."""
        choices = self.shift.choices()
        if not 1 <= number <= len(choices):
            raise TrainingError(f"there is no choice {number}; type c for the list")
        chosen = choices[number - 1]
        values = {}
        for field in chosen["fields"]:
            unit = f" {field['unit']}" if field["unit"] else ""
            asked = f"  {field['words']} ({field['low']:g} to {field['high']:g}{unit}; Enter: {field['usual']:g}): "
            values[field["name"]] = _number(input(asked), field["usual"])
        self._decide(filled(chosen, values), chosen["words"])

    def _decide(self, order: dict[str, Any], words: str = "") -> None:
        """Give an order, and show the line if time has passed."""
        before = self.shift.minute
        view = self.shift.decide(order)
        if order["do"] == "run" or view["minute"] != before:
            typer.echo(view_text(view))
        else:
            typer.echo(f"Ordered: {words}. Let the line run, or order more.")


def _number(typed: str, usual: float) -> float:
    """A number that was typed; nothing typed is the usual one."""
    try:
        return float(typed.replace("−", "-").replace(",", ".")) if typed.strip() else usual
    except ValueError:
        raise TrainingError(f'"{typed}" was typed; a number was expected') from None
