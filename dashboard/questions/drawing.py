"""Is it up to the drawing: each characteristic against its limits, over an edge's life, and in the engine."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.choose import choose_line, choose_policy, pick
from dashboard.parts.folded import folded
from dashboard.parts.once import once
from dashboard.parts.room import light
from dashboard.parts.show import answer, figure_strip, note, picture, rests_on, table
from linesim.report.views import drawing as drawing_view
from linesim.report.views.troubles import trouble_sheets
from linesim.study.comparing.closely import CloseLook
from linesim.study.one.wear_trail import WearTrail
from linesim.study.questions.in_engine import Cylinder

__all__ = ["TITLE", "URL", "page"]

TITLE = "Is it up to the drawing?"
URL = "drawing"

_REPLICATIONS = 24
_NORMAL = "What it means in the engine takes sizes to be normally distributed, and pistons to be all alike."


def page(desk: Desk) -> None:
    """Draw the page."""
    line = choose_line(desk)
    left, right = st.columns([4, 1.2], vertical_alignment="bottom")
    with left:
        policy = choose_policy(desk, "Cutters are changed by this policy")
    with right:
        rests_on(desk, "drawing", [_NORMAL, "A Cpk of 1.33 as the mark of a capable process is common practice."])
    if not desk.works.lines[line].features:
        note(f"The scenario names no features of {line}, so that there is nothing to hold against a drawing.")
        return
    job = ask(desk, "line", "linesim.study.comparing.closely:look_steps", _REPLICATIONS, policies=(policy,),
              replications=_REPLICATIONS)  # fmt: skip

    def draw(look: CloseLook) -> None:
        answer(once(drawing_view.drawing_sentence, look, policy, line))
        picture(once(drawing_view.drawing_picture, look, policy, line, desk.system, light()), "drawing")
        folded("What the gauges caught and missed", "gauges", partial(_gauges, look, policy, line))
        folded("What was turned down, and what for", "troubles", partial(_troubles, look, policy, line))
        folded("What it means in the engine", "engine", partial(_in_engine, desk, look, policy, line))

    show_answer(job, draw, "drawing")
    folded("Over the life of a cutter", "life of a cutter", partial(_over_a_life, desk, policy, line))


def _gauges(look: CloseLook, policy: str, line: str) -> None:
    """What each gauge did."""
    table(once(drawing_view.gauge_sheet, look, policy, line), "gauges")


def _troubles(look: CloseLook, policy: str, line: str) -> None:
    """Rejects by cause, blame, hidden faults, first pieces, tests."""
    sheets = once(trouble_sheets, look, policy, line)
    if not sheets:
        note("Nothing was turned down in these runs.")
    for key, sheet in sheets.items():
        table(sheet, key)


def _over_a_life(desk: Desk, policy: str, line: str) -> None:
    """Sizes and finishes from an edge's first part to its last."""
    job = ask(desk, "trail", "linesim.study.one.wear_trail:trail_steps", 2, policy=policy)

    def draw(trail: WearTrail) -> None:
        result = once(drawing_view.characteristic_names, trail, line)
        if not result:
            note("No cutter set makes a feature of this line.")
            return
        name = pick(desk, f"life {line}", "Characteristic", list(result), usual=list(result)[-1])
        picture(once(drawing_view.life_picture, trail, line, *result[name], desk.system, light()), "life")

    show_answer(job, draw, "trail")


def _in_engine(desk: Desk, look: CloseLook, policy: str, line: str) -> None:
    """Clearance, compression ratio, run-outs; from a geometry that is typed in, as no scenario says it."""
    note("The engine as designed; the scenario does not say it, so check these figures against your own.")
    columns = st.columns(4)
    asked = (("Bore, mm", 88.0, "bore"), ("Stroke, mm", 100.0, "stroke"), ("Compression ratio", 17.0, "ratio"),
             ("Piston, mm", 87.93, "piston"))  # fmt: skip
    given = [
        column.number_input(words, 1.0, 2000.0, usual, format="%.3f", key=f"engine {name}")
        for column, (words, usual, name) in zip(columns, asked, strict=True)
    ]
    bore, stroke, ratio, piston = map(float, given)
    row = drawing_view.engine_row(look, policy, line, Cylinder(bore, stroke, ratio), piston, desk.system)
    if row:
        figure_strip(row)
    else:
        note("No bore of this size, face with a height, depth or run-out is made here.")
