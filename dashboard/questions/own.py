"""A line of one's own: the scenario in hand as sheets to type in; what can be read goes on the desk at once."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.cells import sheet_table
from dashboard.parts.draft import Typed, start_over, typed
from dashboard.parts.guided import guided_start
from dashboard.parts.measuring import what_to_measure
from dashboard.parts.room import figures_on_paper
from dashboard.parts.row_tools import row_tools
from dashboard.parts.show import answer, listed, note
from dashboard.parts.spread_cells import may_spread
from linesim.errors import Cell, Problem
from linesim.report.views.routing_picture import constraint_words
from linesim.works.book.layout import Table, layout_of

__all__ = ["TITLE", "URL", "page"]

TITLE = "Put in a line of your own"
URL = "own"

_MAIN = ("Works", "Line", "Operations", "Cuts", "Features", "Cutters", "Gauges", "People", "Prices", "Policies")
_RARE, _COMMON = "rare sheet", "main sheet"
_MOST_PROBLEMS = 12


def page(desk: Desk) -> None:
    """Draw the page."""
    if guided_start(desk):
        return
    now = typed(desk)
    answer(constraint_words(desk.works, figures_on_paper(desk)))
    note(
        "The line on the desk, as sheets. Type over what is there, add a row at the foot, mark rows at the left to "
        "take them away; a name that you type over is changed wherever it is spoken of. Empty cells stand for what is "
        "usual."
    )
    table = _chosen_sheet(desk)
    more = _further_columns(desk, now, table)
    sheet_table(desk, now, table, more)
    _standing(desk, now, table)
    what_to_measure(desk)
    if not (table.is_list or table.is_items):
        row_tools(desk, now, table)


def _chosen_sheet(desk: Desk) -> Table:
    """Which sheet is shown: the one that was chosen last, on the left or on the right."""
    others = [table.title for table in layout_of().tables if table.title not in _MAIN]
    left, right = st.columns([4, 1], vertical_alignment="bottom")
    with right:
        other = st.selectbox("A sheet for rarer things", others, index=None, placeholder="none", key=_RARE,
                             on_change=_rare_chosen)  # fmt: skip
    with left:
        kept = desk.chosen("sheet", _MAIN)
        if not other and st.session_state.get(_COMMON) is None:
            st.session_state[_COMMON] = kept
        main = st.segmented_control("Sheet", _MAIN, key=_COMMON, on_change=_common_chosen)
    desk.choices["sheet"] = main or kept
    return layout_of().titled(other or main or kept)


def _rare_chosen() -> None:
    """Of the two choices of a sheet only one shows as chosen."""
    if st.session_state[_RARE] is not None:
        st.session_state[_COMMON] = None


def _common_chosen() -> None:
    if st.session_state[_COMMON] is not None:
        st.session_state[_RARE] = None


def _further_columns(desk: Desk, now: Typed, table: Table) -> list[str]:
    """Columns to show beside those in use."""
    if table.is_list:
        return []
    head, *rows = now.draft.grids[table.title]
    headings = [str(heading) for heading in head]
    unused = [
        heading
        for at, heading in enumerate(headings)
        if at >= len(table.keys) and not any(at < len(row) and row[at] is not None for row in rows)
    ]
    name = f"columns of {table.title}"
    before = desk.choices.get(name, [])
    in_sight = [heading for heading in headings if heading in before or heading not in unused]
    offered = [*unused, *may_spread(table, headings, rows, in_sight)]
    asked = [heading for heading in before if heading in offered or heading in st.session_state.get(name, ())]
    with st.popover(f"Further columns ({len(offered)})", key=f"popover {name}"):
        options = [*offered, *(each for each in asked if each not in offered)]
        chosen = st.multiselect("Show these as well", options, default=asked, key=name)
    desk.choices[name] = list(chosen)
    return list(chosen)


def _standing(desk: Desk, now: Typed, table: Table) -> None:
    """Whether what was typed is on the desk, and if not, what stands in the way: of this sheet first."""
    if now.fault is None:
        note("What stands here is on the desk, and all pages use it. Undo takes back one step of yours.")
        return
    here = [problem for problem in now.fault.problems if _sheet_of(problem) == table.title]
    others = [problem for problem in now.fault.problems if _sheet_of(problem) != table.title]
    count = len(now.fault.problems)
    things = "One thing stands" if count == 1 else f"{count} things stand"
    st.warning(f"{things} in the way before this is on the desk. All that you typed is kept.")
    listed([str(problem).partition(", ")[2] or str(problem) for problem in [*here, *others][:_MOST_PROBLEMS]])
    if count > _MOST_PROBLEMS:
        note(f"These are the first {_MOST_PROBLEMS} of {count}.")
    if st.button("Give up what I typed since, and show the line on the desk", key="start over"):
        start_over(desk)
        st.rerun()


def _sheet_of(problem: Problem) -> str:
    """The sheet on which a problem stands; empty if on none."""
    return problem.line.name.partition("!")[0].strip("'") if isinstance(problem.line, Cell) else ""
