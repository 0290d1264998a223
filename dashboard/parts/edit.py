"""A form over some figures of the scenario: units shown, the same checks as a file, errors beside the field."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import streamlit as st

from dashboard.desk import Desk
from dashboard.forms.fields import Field, changes_from, errors_beside
from linesim.errors import ScenarioError
from linesim.report.theme.markup import element
from linesim.report.theme.safe import in_markdown, short
from linesim.works import changed

__all__ = ["edit_form", "refused"]

_FAULTS = "faults of a form"


def edit_form(desk: Desk, fields: Sequence[Field], name: str, columns: int = 4) -> None:
    """Fields to change, in groups, and the button that puts the changes into the scenario.

    Parameters
    ----------
    desk : Desk
        Whose scenario it is; a change is a step that can be undone.
    fields : sequence of Field
        What may be changed.
    name : str
        What the form changes, in words; also for the keys.
    columns : int
        Fields side by side.
    """
    faults, others, texts = st.session_state.get(_FAULTS, {}).get(name, ({}, [], {}))
    with st.form(f"form {name} {desk.digest} {desk.system}", border=True):
        for group, members in groupby(fields, key=lambda field: field.group):
            st.html(element("p", group, "lettering"))
            row = []
            for at, field in enumerate(members):
                row = st.columns(columns) if at % columns == 0 else row  # row by row, as the keyboard goes
                with row[at % columns]:
                    texts[field.key] = _field(desk, field, texts.get(field.key, field.text))
                    if field.key in faults:
                        st.html(element("p", faults[field.key], "beside"))
        is_put = st.form_submit_button("Put into the line", type="primary")
        refused([*faults.values(), *others])
        if is_put:
            _put(desk, fields, dict(texts), name)


def refused(reasons: Sequence[str]) -> None:
    """Say beside the button that nothing was put, and why; nothing is said where nothing was refused."""
    if reasons:
        st.html(element("p", "Nothing has been changed yet; what was typed is kept. Refused:", "beside refused"))
        for text in dict.fromkeys(reasons):
            st.html(element("p", text, "beside"))


def _field(desk: Desk, field: Field, text: str) -> str:
    return st.text_input(
        in_markdown(field.words, 60),
        text,
        key=f"{field.key} {desk.digest} {desk.system}",
        help=in_markdown(field.help, 300) or None,
        placeholder="as usual",
        max_chars=400,
    )


def _put(desk: Desk, fields: Sequence[Field], texts: dict[str, str], name: str) -> None:
    """Lay the changes over the scenario; what is refused stands beside its field, and nothing is lost."""
    st.session_state.pop(_FAULTS, None)
    try:
        changes = changes_from(fields, texts, desk.system)
        if changes:
            desk.put(changed(desk.works, changes, "your changes"), f"change of {short(name, 60)}")
    except ScenarioError as error:
        st.session_state[_FAULTS] = {name: (*errors_beside(desk.works, fields, error.problems), texts)}
    st.rerun()
