"""The line: what is on the desk, the routing drawn from left to right, and its figures to change."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.forms import fields
from dashboard.parts.ask import ask, show_answer
from dashboard.parts.before_after import before_and_after
from dashboard.parts.choose import choose_line, choose_policy, clicked_name, pick, pick_operation
from dashboard.parts.edit import edit_form
from dashboard.parts.folded import folded
from dashboard.parts.once import once
from dashboard.parts.room import figures_on_paper, light
from dashboard.parts.scenario import choose_scenario
from dashboard.parts.show import answer, figure_strip, listed, note, picture, rests_on
from dashboard.parts.ways import offer_way
from linesim.desk import Desk as DeskFigures
from linesim.report.theme.colours import Light
from linesim.report.theme.picture import Picture
from linesim.report.views.line import before_strip, operation_words, run_sentence, run_strip
from linesim.report.views.routing_picture import constraint_words, routing_picture
from linesim.study.comparing.closely import CloseLook
from linesim.works import Works

__all__ = ["TITLE", "URL", "page"]

TITLE = "The line"
URL = "line"

_PARTS = ("an operation", "a cutter set", "people and money", "a policy", "run and calendar")
_REPLICATIONS = 24


def page(desk: Desk) -> None:
    """Draw the page."""
    works = desk.works
    line = choose_line(desk)
    words, tools = st.columns([4, 1.2], vertical_alignment="top")
    with tools:
        choose_scenario(desk)
    with words:
        policy = choose_policy(desk, "Cutters are changed by this policy")
        figures = figures_on_paper(desk, policy)
        answer(constraint_words(works, figures))
        if works.about:
            note(f"As it was written, before your changes: {works.about}" if desk.is_changed else works.about)
    with tools:
        rests_on(desk, "line", [figures.basis])
    _as_it_runs(desk, line, policy)
    drawn = _routing(desk.digest, policy, line, light(), works, figures)
    event = picture(drawn, "routing", on_select=True)
    _why(desk, line, figures, event)
    if figures.remarks:
        folded("What its figures say before a run", "remarks", partial(listed, figures.remarks))
    folded("Change its figures", "figures to change", partial(_change, desk, line, policy, event))
    before_and_after(desk)


@st.cache_resource(show_spinner=False, max_entries=64)
def _routing(digest: str, policy: str, line: str, light: Light, _works: Works, _figures: DeskFigures) -> Picture:
    """The drawing of the routing, made once."""
    del digest, policy
    return routing_picture(_works, _figures, line, light)


def _as_it_runs(desk: Desk, line: str, policy: str) -> None:
    """What the line gives as it stands."""
    job = ask(desk, "line", "linesim.study.comparing.closely:look_steps", _REPLICATIONS, policies=(policy,),
              replications=_REPLICATIONS)  # fmt: skip

    def draw(look: CloseLook) -> None:
        strip = once(run_strip, look, policy, line)
        known: dict[object, list[tuple[str, str, str]]] = desk.choices.setdefault("strips", {})
        if look.n == _REPLICATIONS:
            known[desk.digest, policy, line] = strip
        before = known.get((desk.digest_before, policy, line))
        figure_strip(strip if before is None else before_strip(strip, before))
        note(once(run_sentence, look, policy, line))

    show_answer(job, draw, "line")


def _why(desk: Desk, line: str, figures: DeskFigures, event: object) -> None:
    """What the operation takes that was clicked, or else the constraint, and the ways to more about it."""
    held = str(figures.constraints.set_index("line")["operation"].to_dict()[line])
    name = clicked_name(desk, f"why of {line}", list(desk.works.lines[line].operations), event, held)
    note(f"{operation_words(desk.works, figures, line, name)} A click on another operation says the same of that one.")
    with st.container(horizontal=True):
        offer_way(desk, "Where its money goes", "money", {"where": name, "item": "all"}, "made of")
        offer_way(desk, "Its cutters through a shift", "shift", {f"edges of {line}": name}, "edges")


def _change(desk: Desk, line: str, policy: str, event: object) -> None:
    """Figures to change, in a form."""
    works = desk.works
    what = pick(desk, "part", "What to change", _PARTS)
    if what == "an operation":
        name = pick_operation(desk, f"operation of {line}", line, clicked=event)
        edit_form(desk, fields.operation_fields(works, line, name, desk.system), f"{line}, {name}")
    elif what == "a cutter set" and works.cutters:
        name = pick(desk, "cutter", "Cutter set", list(works.cutters))
        edit_form(desk, fields.cutter_fields(works, name, desk.system), name)
    elif what == "a cutter set":
        note("This scenario has no cutter sets.")
    elif what == "people and money":
        edit_form(desk, fields.line_fields(works, line, desk.system), "people and money")
    elif what == "a policy":
        edit_form(desk, fields.policy_fields(works, policy, desk.system), policy)
    else:
        edit_form(desk, fields.run_fields(works, desk.system), "run and calendar")
