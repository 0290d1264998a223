"""Where an error came from: the names of the sources in which the account of an error is kept."""

from __future__ import annotations

from enum import IntEnum

__all__ = ["Source"]


class Source(IntEnum):
    """What moves the error of a place, along the model's equations of size, position, tilt and form."""

    CASTING = 0
    DEFLECTION = 1
    WEAR = 2
    STRESS = 3
    DISTURBANCE = 4
    CHIPS = 5
    CHANCE = 6
    GAUGING = 7
    RECUT = 8
    NOT_CLEANED_UP = 9
    SALVAGE = 10
    HEATS = 11
    LEADER = 12
    WHEEL = 13
    OWN_SIZE = 14
    FAULTS = 15
    FIXTURE = 16
    DATUM = 17
    WARMTH = 18
    AIM = 19
    SETTING = 20
    CUT_HEAT = 21
    CLAMPING = 22
    SPINDLE = 23
    OWN_FORM = 24

    @property
    def words(self) -> str:
        """The source as a person says it."""
        return _WORDS[self]


_WORDS = {
    Source.CASTING: "casting, copied down",
    Source.DEFLECTION: "deflection",
    Source.WEAR: "wear",
    Source.STRESS: "stress let go",
    Source.DISTURBANCE: "disturbance",
    Source.CHIPS: "chips",
    Source.CHANCE: "chance",
    Source.GAUGING: "gauging offsets",
    Source.RECUT: "recuts",
    Source.NOT_CLEANED_UP: "not cleaned up",
    Source.SALVAGE: "salvage",
    Source.HEATS: "heats of castings",
    Source.LEADER: "leading blade",
    Source.WHEEL: "wheel worn and glazed",
    Source.OWN_SIZE: "reamer's own size",
    Source.FAULTS: "hidden faults",
    Source.FIXTURE: "fixtures",
    Source.DATUM: "datum",
    Source.WARMTH: "warmth of machine and room",
    Source.AIM: "aim of fresh edges",
    Source.SETTING: "setting of fresh edges",
    Source.CUT_HEAT: "heat of cuts",
    Source.CLAMPING: "clamping",
    Source.SPINDLE: "spindle out of square",
    Source.OWN_FORM: "form of the cut itself",
}
