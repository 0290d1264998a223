"""What machines do, and why parts are scrapped, salvaged or cut again."""

from __future__ import annotations

from enum import IntEnum

__all__ = ["Cause", "State"]


class State(IntEnum):
    """What a machine is doing; every minute falls in exactly one."""

    WAITING_FOR_PART = 0
    LOADING = 1
    CUTTING = 2
    GAUGING = 3
    CHECKING = 4
    WAITING_FOR_SET = 5
    WAITING_FOR_SETTER = 6
    CHANGING = 7
    WAITING_FOR_FITTER = 8
    UNDER_REPAIR = 9
    HELD_UP = 10
    SETTING_RIGHT = 11
    FIRST_PIECE = 12
    OVERHAUL = 13
    FILLING = 14
    CHANGING_OVER = 15
    WAITING_FOR_RESULT = 16
    WAITING_FOR_OPERATOR = 17
    WAITING_FOR_FELLOW = 18

    @property
    def words(self) -> str:
        """The state as a person says it."""
        return _STATE_WORDS[self]


_STATE_WORDS = {
    State.WAITING_FOR_PART: "waiting for a part",
    State.LOADING: "loading",
    State.CUTTING: "cutting",
    State.GAUGING: "gauging",
    State.CHECKING: "checking an edge",
    State.WAITING_FOR_SET: "waiting for a sharp cutter",
    State.WAITING_FOR_SETTER: "waiting for a setter",
    State.CHANGING: "changing cutters",
    State.WAITING_FOR_FITTER: "waiting for a fitter",
    State.UNDER_REPAIR: "under repair",
    State.HELD_UP: "held up",
    State.SETTING_RIGHT: "being set right",
    State.FIRST_PIECE: "waiting for the first piece",
    State.OVERHAUL: "being overhauled",
    State.FILLING: "filling a batch",
    State.CHANGING_OVER: "changing over",
    State.WAITING_FOR_RESULT: "waiting for a result",
    State.WAITING_FOR_OPERATOR: "waiting for an operator",
    State.WAITING_FOR_FELLOW: "waiting for a fellow part",
}


class Cause(IntEnum):
    """Why a part was scrapped, salvaged or recut."""

    BROKEN_CUTTER = 0
    CUT_AWAY = 1
    METAL_LEFT = 2
    NOT_CLEANED_UP = 3
    ROUGH = 4
    OTHER = 5
    SMOOTH = 6
    TEST = 7
    OFF_PLACE = 8
    TILTED = 9
    OUT_OF_FORM = 10

    @property
    def words(self) -> str:
        """The cause as a person says it."""
        return _CAUSE_WORDS[self]


_CAUSE_WORDS = {
    Cause.BROKEN_CUTTER: "cutter broke",
    Cause.CUT_AWAY: "cut away too much",
    Cause.METAL_LEFT: "metal left on",
    Cause.NOT_CLEANED_UP: "did not clean up",
    Cause.ROUGH: "too rough",
    Cause.OTHER: "other reasons",
    Cause.SMOOTH: "too smooth",
    Cause.TEST: "turned down by a test",
    Cause.OFF_PLACE: "off its place",
    Cause.TILTED: "tilted",
    Cause.OUT_OF_FORM: "out of form",
}
