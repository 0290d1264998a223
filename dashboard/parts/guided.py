"""Beginning from nothing: eight questions and a table of operations, answered as far as one knows."""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd
import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.draft import start_over, typed
from dashboard.parts.scenario import choose_scenario
from dashboard.parts.show import answer, listed, note
from linesim.errors import ScenarioError
from linesim.report.theme.safe import in_markdown
from linesim.report.views.begun import begun_words
from linesim.works import Works
from linesim.works.shop.empty import WORKED, empty_routing_sheet
from linesim.works.shop.headings import COLUMNS
from linesim.works.shop.starting import QUESTIONS, Answers, works_of_answers

__all__ = ["guided_start"]

_OPEN, _TEXTS, _ROWS = "guided start", "guided answers", "guided rows"
_TABLE = "guided table"
_FIRST_ROWS = 6
_ABREAST = 4
_MOST_PROBLEMS = 8
_NOTHING_YET = "A line from nothing. The one above stays on the desk until you put yours there."
_WORKBOOK = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"

Cells = list[list[str | None]]


@dataclass
class _Laid:
    """The table as it was laid out; what is typed since stands in the browser's own state."""

    number: int
    rows: pd.DataFrame

    @property
    def key(self) -> str:
        """Of the table on the page."""
        return f"guided table {self.number}"


def guided_start(desk: Desk) -> bool:
    """Offer to begin from nothing, and ask; whether the questions are open, so that nothing else is shown.

    Parameters
    ----------
    desk : Desk
        Keeps what was typed, until it is taken away on purpose.
    """
    if not desk.choices.get(_OPEN):
        with st.container(horizontal=True):
            words = "Nine questions; what you do not know stays empty"
            if st.button("Begin a line from nothing", key="begin guided", help=words):
                desk.choices[_OPEN] = True
                st.rerun()
            choose_scenario(desk)
        return False
    heading = st.container()
    texts, rows = _questions(desk), _table(desk)
    works, reasons = _works(Answers(texts, rows))
    with heading:
        answer(_NOTHING_YET if works is None else begun_words(works))
        note(
            "Eight short questions and the table of operations. Leave empty what you do not know: it is taken as it "
            "typically is, and marked as assumed. All that you type is kept."
        )
    _end(desk, works, reasons)
    return True


def _questions(desk: Desk) -> dict[str, str]:
    """The short questions."""
    texts: dict[str, str] = desk.choices.setdefault(_TEXTS, {})
    row = []
    for at, (name, question) in enumerate(QUESTIONS.items()):
        row = st.columns(_ABREAST) if at % _ABREAST == 0 else row
        with row[at % _ABREAST]:
            key = f"guided {name}"
            st.session_state.setdefault(key, texts.get(name, ""))  # what was typed before the page was left
            texts[name] = st.text_input(
                question.words, key=key, help=question.help,
                placeholder=question.usual, max_chars=400,
            )  # fmt: skip
    return texts


def _table(desk: Desk) -> Cells:
    """The table of operations."""
    laid: _Laid | None = st.session_state.get(_TABLE)
    if laid is None or laid.key not in st.session_state:
        kept: Cells = desk.choices.get(_ROWS) or [[None] * len(COLUMNS)] * _FIRST_ROWS
        frame = pd.DataFrame(kept, columns=[column.heading for column in COLUMNS.values()], dtype=object)
        laid = _Laid(0 if laid is None else laid.number + 1, frame)
        st.session_state[_TABLE] = laid
    config = {
        column.heading: st.column_config.TextColumn(help=column.note, max_chars=400) for column in COLUMNS.values()
    }
    shown = st.data_editor(
        laid.rows, key=laid.key, num_rows="dynamic", hide_index=True, width="stretch", column_config=config,
        placeholder="",
    )  # fmt: skip
    note(f"Such as: {', '.join(str(cell) for cell in WORKED)}. A further row for each further tool of an operation.")
    rows = [
        [None if pd.isna(cell) or cell == "" else str(cell) for cell in row] for row in shown.itertuples(index=False)
    ]
    desk.choices[_ROWS] = rows
    return rows


def _works(answers: Answers) -> tuple[Works | None, list[str]]:
    """What the answers describe, or why they describe nothing yet."""
    try:
        return works_of_answers(answers), []
    except ScenarioError as error:
        return None, [str(problem).partition(", ")[2] or str(problem) for problem in error.problems]


def _end(desk: Desk, works: Works | None, reasons: list[str]) -> None:
    """Put the line on the desk, or go back."""
    is_typing = typed(desk).fault is not None
    if is_typing:
        st.warning(
            "On the sheets stands something that is not on the desk yet. Put it right or give it up there first."
        )
    with st.container(horizontal=True):
        if st.button(
            "Put this line on the desk", key="end guided", type="primary", disabled=works is None or is_typing
        ):
            _put(desk, works)
        if st.button("Back to the sheets", key="leave guided", help="What you typed here is kept"):
            desk.choices[_OPEN] = False
            st.rerun()
        if st.button("Empty all answers", key="empty guided"):
            _empty(desk)
        st.download_button(
            "Download an empty routing sheet", empty_routing_sheet, "my-part.xlsx", _WORKBOOK, key="empty sheet",
            on_click="ignore", help="The same seven columns for a spreadsheet program; open it by Open or download",
        )  # fmt: skip
    if reasons:
        note("Still open before this is a line:")
        listed(reasons[:_MOST_PROBLEMS])


def _put(desk: Desk, works: Works | None) -> None:
    """Take the line in hand; its sheets are shown, those of the operations first."""
    if works is None:
        return
    desk.put(works, "beginning a line from nothing", in_markdown(works.name, 80))
    start_over(desk)
    desk.choices[_OPEN] = False
    desk.choices["sheet"] = "Operations"
    st.rerun()


def _empty(desk: Desk) -> None:
    """Take away what was typed."""
    desk.choices[_TEXTS], desk.choices[_ROWS] = {}, None
    for name in QUESTIONS:
        st.session_state.pop(f"guided {name}", None)
    st.session_state.pop(_TABLE, None)
    st.rerun()
