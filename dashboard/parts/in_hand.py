"""The shift in a user's hands: live on the server, every step of it in the store, so that a reload loses nothing."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.past import store
from dashboard.parts.room import SCENARIOS
from linesim.errors import LinesimError, StoreError
from linesim.errors import quoted as quoted_value
from linesim.store.progress import (
    OpenShift,
    ended_shift,
    keep_shift,
    kept_shift,
    new_shift,
    nickname_from,
    open_shifts,
    trainees,
)
from linesim.training import Lesson, Shift, TrainingError, lesson_files, load_lesson
from linesim.training.attempt import attempt_of
from linesim.training.debrief import Debrief, look_back_steps
from linesim.training.reading import lesson_title

__all__ = [
    "InHand",
    "back",
    "begin",
    "debrief_of",
    "decide",
    "go_on",
    "in_hand",
    "is_in_use",
    "last_word",
    "leave",
    "lesson_of",
    "shifts_left",
    "titles",
    "trying",
]  # fmt: skip

LOG = logging.getLogger("linesim.dashboard")

LESSONS = SCENARIOS / "lessons"
ADDRESS = "played"
"""Name in the page's address under which the key of the shift stands."""

_HELD = "shift in hand"
_LAST_WORD = "last word of the shift"


@dataclass(eq=False)
class InHand:
    """A shift in hand.

    Attributes
    ----------
    shift : Shift
        The live one.
    kept : OpenShift or None
        As the store has it; None where there is no store.
    hints : int
        How many hints were asked for.
    debrief : Debrief or None
        What is to be learnt from it, once it is over and was looked back on.
    """

    shift: Shift
    kept: OpenShift | None
    hints: int = 0
    debrief: Debrief | None = None

    @property
    def lesson(self) -> Lesson:
        """What is learnt."""
        return self.shift.lesson


@st.cache_resource(show_spinner=False, max_entries=64)
def _lesson(path: str, changed_ns: int) -> Lesson:
    del changed_ns  # part of the key, so that an edited lesson is read again
    return load_lesson(Path(path))


@st.cache_resource(show_spinner=False, max_entries=64)
def _title(path: str, changed_ns: int) -> str:
    del changed_ns
    return lesson_title(Path(path))


def titles() -> dict[str, str]:
    """Lessons by their keys, as they stand in a list; none of them has been checked yet."""
    return {path.stem: _title(str(path), path.stat().st_mtime_ns) for path in lesson_files(LESSONS)}


def lesson_of(key: str) -> Lesson:
    """A lesson by its key; read and checked once for the server.

    Raises
    ------
    LinesimError
        There is none, or something is wrong with it; says what, with its line.
    """
    path = next((path for path in lesson_files(LESSONS) if path.stem == key), None)
    if path is None:
        raise TrainingError(f"there is no lesson {quoted_value(key)} here any more; choose another one")
    with st.spinner("Reading the lesson ..."):
        return _lesson(str(path), path.stat().st_mtime_ns)


# --- beginning, going on, leaving ------------------------------------------------------------------------------------


def in_hand() -> InHand | None:
    """The shift in hand: of this window, or the one that the page's address names; None while there is none."""
    held: InHand | None = st.session_state.get(_HELD)
    key = str(st.query_params.get(ADDRESS, ""))
    if held is None and key:
        try:
            held = _restored(key)
        except LinesimError as error:
            _say("error", str(error))
        if held is None:
            del st.query_params[ADDRESS]
            return None
    if held is not None:
        _hold(held)
    return held


def _restored(key: str) -> InHand | None:
    """A shift as the store has it, made again step by step."""
    kept = kept_shift(store(), key)
    if kept is None:
        _say("error", "The shift of this address is not kept, or not any more. Begin another one.")
        return None
    return InHand(Shift.restored(lesson_of(kept.lesson), kept.kept), kept)


def _hold(held: InHand) -> None:
    st.session_state[_HELD] = held
    if held.kept is not None and st.query_params.get(ADDRESS) != held.kept.key:
        st.query_params[ADDRESS] = held.kept.key


def begin(desk: Desk, lesson: Lesson, number: int, nickname: str) -> None:
    """Begin a shift of a lesson, under a nickname if one is given."""
    name = nickname_from(nickname) if nickname.strip() else None
    shift = Shift(lesson, number)
    try:
        kept = new_shift(store(), lesson.key, shift.as_dict(), name)
    except StoreError as error:
        kept = None
        _say("warning", f"{error}\nThe shift can be played, but loading the page again will lose it.")
    _hold(InHand(shift, kept))
    desk.choices["nickname"], desk.choices["shift left"] = name or "", kept.key if kept else ""


def go_on(key: str) -> None:
    """Take a shift that was kept in hand again."""
    held = _restored(key)
    if held is not None:
        _hold(held)


def leave(desk: Desk) -> None:
    """Put the shift down; what is kept of it stays."""
    held: InHand | None = st.session_state.pop(_HELD, None)
    st.query_params.pop(ADDRESS, None)
    desk.choices["shift left"] = held.kept.key if held is not None and held.kept is not None else ""


def shifts_left(desk: Desk, known: Mapping[str, str], nickname: str) -> list[OpenShift]:
    """Shifts that are not over: those of a nickname, and the one that was put down at this desk."""
    result = open_shifts(store(), nickname) if nickname.strip() else []
    last = kept_shift(store(), str(desk.choices.get("shift left", "")))
    if last is not None and not last.is_over and last.key not in [shift.key for shift in result]:
        result = [last, *result]
    return [shift for shift in result if shift.lesson in known]


def is_in_use(nickname: str) -> bool:
    """Whether anything is kept of a nickname; one that cannot be is nobody's."""
    try:
        name = nickname_from(nickname)
    except LinesimError:
        return False
    return name in trainees(store())


# --- playing ---------------------------------------------------------------------------------------------------------


def decide(held: InHand, order: Mapping[str, Any], words: str = "") -> None:
    """Carry out one decision and keep it."""
    held.shift.decide(order)
    if words and order["do"] not in ("run", "set up", "verdict", "send"):
        begun = "from the first part on" if held.shift.is_fresh else "when the machine comes to its next part"
        _say("info", f"Ordered: {words}. It takes hold {begun}, once the line runs.")
    _keep(held)


def back(held: InHand) -> None:
    """Take the last step back: all before it is done again, exactly as it was."""
    held.shift.back()
    _say("info", "The last step is taken back; everything before it stands exactly as it was.")
    _keep(held)


def _keep(held: InHand) -> None:
    """Keep a shift as it stands; one that went on in another window is shown as it stands there."""
    if held.kept is None:
        return
    try:
        if held.shift.is_over:
            name = held.kept.nickname
            attempt = None if name is None else attempt_of(held.shift, name)
            held.kept = ended_shift(store(), held.kept, held.shift.as_dict(), attempt)
        else:
            held.kept = keep_shift(store(), held.kept, held.shift.as_dict())
    except StoreError as error:
        there = kept_shift(store(), held.kept.key)
        if there is None or there.step == held.kept.step:
            raise
        held.shift, held.kept = Shift.restored(held.lesson, there.kept), there
        _say("warning", f"{error}. It is shown here as it stands there; what you just did was not done.")


def debrief_of(held: InHand) -> Debrief:
    """Look back on a shift that is over, telling how far it is; once, however often the page is drawn."""
    if held.debrief is None:
        bar = st.progress(0.0, text="Doing the shift again under other policies ...")
        for step in look_back_steps(held.shift):
            bar.progress(min(1.0, step.done / step.total), text=f"{step.words or 'done'} ({step.done} of {step.total})")
            held.debrief = step.answer
        bar.empty()
    assert held.debrief is not None
    return held.debrief


# --- the last word ---------------------------------------------------------------------------------------------------


def trying(do: Callable[..., None], *arguments: Any) -> None:
    """Do what a button asks for; what is refused is told, and nothing is lost."""
    try:
        do(*arguments)
    except LinesimError as error:
        _say("error", str(error))
    except Exception:  # a fault of any kind must not reach the user as a traceback
        mark = secrets.token_hex(4)
        LOG.exception("fault %s in a shift", mark)
        _say("error", f"Something went wrong that should not. It is in the server's log as {mark}. Your shift is kept.")


def _say(kind: str, text: str) -> None:
    st.session_state[_LAST_WORD] = (kind, text)


def last_word() -> tuple[str, str] | None:
    """What is to be told of the last step, once."""
    result: tuple[str, str] | None = st.session_state.pop(_LAST_WORD, None)
    return result
