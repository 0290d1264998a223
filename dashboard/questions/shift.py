"""A shift, minute by minute: what every machine did, who was waited for, edges as they dulled, what cost most."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.choose import choose_line, choose_policy, pick, pick_operation
from dashboard.parts.coming import coming_shift
from dashboard.parts.dearest import EDGES, dearest
from dashboard.parts.folded import folded
from dashboard.parts.once import once
from dashboard.parts.replay import replay
from dashboard.parts.room import figures_on_paper, light
from dashboard.parts.said import label, labels
from dashboard.parts.show import answer, note, picture, rests_on, table
from linesim.report.views import moment as moment_view
from linesim.report.views import shift as shift_view
from linesim.report.views import shift_crib as crib_view
from linesim.study.one.shift_record import MOST_SHIFTS, ShiftRecord

__all__ = ["TITLE", "URL", "page"]

TITLE = "A shift, minute by minute"
URL = "shift"


def page(desk: Desk) -> None:
    """Draw the page."""
    usual = desk.chosen("which shift", tuple(_SHIFTS))
    chosen = st.segmented_control(label("coming.shift"), list(_SHIFTS), default=usual, format_func=labels(_WORDS),
                                  required=True, key="which shift", label_visibility="collapsed")  # fmt: skip
    desk.choices["which shift"] = chosen or usual
    _SHIFTS[str(desk.choices["which shift"])](desk)


def _replayed(desk: Desk) -> None:
    """A shift as it was run."""
    line = choose_line(desk)
    left, middle, right = st.columns([2.4, 1.6, 1.2], vertical_alignment="bottom")
    with left:
        policy = choose_policy(desk, "Cutters are changed by this policy")
    with middle:
        usual = int(desk.choices.get("shift", 1))
        shift = int(st.number_input("Shift after the warm-up", 1, MOST_SHIFTS, usual, key="shift"))
        desk.choices["shift"] = shift
    with right:
        rests_on(desk, "shift", ["Life shares are true ones, which nobody on the floor sees."])
    job = ask(desk, "shift", "linesim.study.one.shift_record:shift_steps", 1, policy=policy, shift=shift)

    def draw(record: ShiftRecord) -> None:
        answer(once(shift_view.shift_sentence, record, line))
        dearest(desk, record, line)
        replay(record, line)
        _over_time(desk, record, line)

    show_answer(job, draw, "shift")


_SHIFTS = {"A shift as it runs": _replayed, "The coming shift, from what is on the machines": coming_shift}
_WORDS = dict(zip(_SHIFTS, ("shift.as_it_runs", "shift.coming"), strict=True))


def _over_time(desk: Desk, record: ShiftRecord, line: str) -> None:
    """The whole shift: states and stock, waits, edges, parts; each folded away."""
    for words, name, draw in (
        ("The whole shift, machine by machine", "states", _states),
        ("All that cost much, and who was waited for", "costly", _costly),
        ("Cutters as they dull and are changed, and the crib", "edges", _edges),
        ("Parts as they pass", "parts", _parts),
    ):
        folded(words, name, partial(draw, desk, record, line))


def _states(desk: Desk, record: ShiftRecord, line: str) -> None:
    """What every machine did, and what stood before it."""
    del desk
    picture(once(shift_view.shift_picture, record, line, None, light()), "states")


def _costly(desk: Desk, record: ShiftRecord, line: str) -> None:
    """The dearest moments, and for whom machines stood."""
    del desk
    table(once(shift_view.moment_sheet, record, line), "moments")
    table(once(shift_view.waits_sheet, record, line), "waits")


def _edges(desk: Desk, record: ShiftRecord, line: str) -> None:
    """Life shares of an operation's cutters; sharp sets on the shelf, sets away, and breaks that were found later."""
    held = figures_on_paper(desk).constraints.set_index("line")["operation"].to_dict()[line]
    operation = pick_operation(desk, EDGES.format(line=line), line, usual=str(held))
    picture(once(moment_view.edge_picture, record, line, operation, light()), "edges")
    picture(once(crib_view.crib_picture, record, line, light()), "crib")
    breaks = once(crib_view.breaks_sheet, record, line)
    if breaks.rows:
        table(breaks, "breaks")
    else:
        note("No edge of this line broke without being seen in this shift.")


def _parts(desk: Desk, record: ShiftRecord, line: str) -> None:
    """A characteristic of the parts, one after another."""
    result = once(moment_view.characteristics_of, record, line)
    if not result:
        note("No feature of this line has a size or a finish to follow.")
        return
    name = pick(desk, f"passing {line}", "Characteristic", list(result), usual=list(result)[-1])
    picture(once(moment_view.part_picture, record, line, *result[name], desk.system, light()), "parts")
