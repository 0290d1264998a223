"""What a desk's records say, and the button that puts their figures into the scenario in hand."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.jobs import Job
from dashboard.parts.guard import guarded
from dashboard.parts.once import once
from dashboard.parts.records_shelf import Asked, Shelf
from dashboard.parts.room import board, light
from dashboard.parts.show import answer, listed, note, picture, table
from dashboard.parts.who import owner_of
from dashboard.words import Order
from linesim.records.using import uses_of, with_figures
from linesim.report.theme.safe import in_markdown
from linesim.report.views import records as view
from linesim.study.watching.fitting import FittedRecords
from linesim.works import digest

__all__ = ["asked_job", "fitted_shown"]

_FIT = "linesim.study.watching.fitting:fitting_steps"


def asked_job(desk: Desk, shelf: Shelf, asked: Asked) -> Job:
    """The job that reads and fits what was confirmed."""
    files = {each.file: shelf.files[each.file] for each in asked.mappings if each.file in shelf.files}
    order = Order(_FIT, {"works": asked.works, "files": files, "mappings": asked.mappings}, owner_of(desk))
    return board().ask(desk.id, "records", (_FIT, digest(asked.works), asked.key), order)


def fitted_shown(desk: Desk, result: FittedRecords) -> None:
    """Figures, what would go into the scenario, pictures, rows set aside.

    Parameters
    ----------
    desk : Desk
        Onto whose scenario the figures may go.
    result : FittedRecords
        What the records say.
    """
    answer(once(view.first_words, result), is_open=not result.fitted.coefficients)
    guarded(_use)(desk, result)
    if result.fitted.coefficients:
        table(once(view.figures_sheet, result), "records figures")
    with st.expander("What has to be known of these figures"):
        listed(once(view.known, result))
    for number, (title, words, shown) in enumerate(once(view.pictures, result, light())):
        st.subheader(in_markdown(title, 120), anchor=False)
        note(words)
        picture(shown, f"records picture {number}")
    if result.asides:
        st.subheader("Rows set aside", anchor=False)
        table(once(view.aside_sheet, result.asides), "records aside")


def _use(desk: Desk, result: FittedRecords) -> None:
    """What would go into the scenario, and the button that puts it there."""
    entries = result.overlay.entries
    st.subheader("Into the scenario on the desk", anchor=False)
    if entries:
        table(view.use_sheet(uses_of(result.overlay, desk.works)), "records use")
        with st.container(horizontal=True):
            if st.button("Use these figures", key="use figures", type="primary", disabled=not desk.may_change):
                works = with_figures(desk.works, result.overlay)
                desk.put(works, f"using {len(entries)} figures from the records")
                st.toast(
                    "The scenario has them; every set says in its remarks where they come from. Undo takes them back."
                )
                st.rerun()
            name = view.overlay_name(desk.works)
            st.download_button(
                "Download them as a file that extends the scenario", result.overlay.text(name), f"own-{name}",
                "application/yaml", key="records overlay", on_click="ignore",
            )  # fmt: skip
    else:
        note("Nothing in these records is a figure of the scenario on the desk; the handbook's figures stay.")
    listed(once(view.stays, result))
