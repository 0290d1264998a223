"""Past studies: what the store has kept, opened again, set side by side, named, downloaded, taken away."""

from __future__ import annotations

from functools import partial

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import pick
from dashboard.parts.folded import folded
from dashboard.parts.guard import guarded
from dashboard.parts.past import files_of, names_of, naming, page_of, runs_of, store, take_away
from dashboard.parts.room import light
from dashboard.parts.said import label
from dashboard.parts.show import answer, listed, note, picture, rests_on, table
from dashboard.parts.ways import offer_way
from dashboard.parts.who import may_change
from linesim.report.theme.safe import in_markdown
from linesim.report.views import past as past_view
from linesim.report.views.differences import scenario_changes
from linesim.store import StoredStudy
from linesim.study.comparing.past import named_runs, policy_runs, scenario_text, works_of
from linesim.study.comparing.past_between import between_studies
from linesim.words import keep, say

__all__ = ["TITLE", "URL", "page"]

TITLE = "Past studies"
URL = "past"

_NONE: str = keep("past.none")


def page(desk: Desk) -> None:
    """Draw the page."""
    studies = store().studies()
    if not studies:
        answer(say("past.nothing"))
        note(say("past.how"))
        rests_on(desk, "past")
        return
    answer(past_view.latest_words(studies))
    labels = names_of(studies)
    chosen = labels[pick(desk, "study", say("past.open"), list(labels))]
    head = say("past.study_named" if chosen.name else "past.study", number=chosen.number, name=chosen.name)
    st.header(in_markdown(head, 120), anchor=False)
    guarded(_opened)(desk, chosen)
    folded(say("past.fold_name"), "name a study", partial(_name_and_files, desk, chosen))
    folded(say("past.fold_beside"), "study beside another", partial(_beside, desk, chosen, studies))
    folded(say("past.fold_all"), "studies", partial(_all, studies))
    rests_on(desk, "past")


def _all(studies: list[StoredStudy]) -> None:
    """The list."""
    note(say("past.one_store"))
    table(past_view.list_sheet(studies), "studies")


def _opened(desk: Desk, study: StoredStudy) -> None:
    """Its answer and figures, and the way back to its scenario."""
    sentences = [str(each) for each in study.answer.get("sentences", [])]
    if sentences:
        answer(sentences[0])
    listed(sentences[1:2])
    if len(sentences) > 2:
        folded(say("past.fold_else"), "sentences of a study", partial(listed, sentences[2:]))
    note(say("past.asked_and_state", asked=past_view.asked_words(study), state=past_view.state_words(study)))
    with st.container(horizontal=True):
        if st.button(label("past.to_desk"), key=f"back {study.number}"):
            desk.put(works_of(store(), study), f"study {study.number}", f"study {study.number}")
            st.rerun()
        page, choices = page_of(study)
        if page:
            offer_way(desk, label("past.to_page"), page, choices)
    means = named_runs(policy_runs(runs_of(study)), study.answer.get("called") or {})
    if means.empty:
        note(say("past.no_runs"))
        return
    names = past_view.measure_names()
    name = names[pick(desk, "measure", say("past.figure"), list(names))]
    picture(past_view.means_picture(means, name, works_of(store(), study), light()), f"study {study.number}")


def _name_and_files(desk: Desk, study: StoredStudy) -> None:
    """Its name, and its runs and scenario as files."""
    if may_change(desk, study):
        naming(study)
    files = files_of(study)
    with st.container(horizontal=True):
        for key, ending in (("past.csv", "csv"), ("past.excel", "xlsx"), ("past.yaml", "yaml")):
            file = f"study-{study.number}.{ending}"
            st.download_button(label(key), files[ending], file, key=f"take {ending} {study.number}", on_click="ignore")
    take_away(desk, study)


def _beside(desk: Desk, study: StoredStudy, studies: list[StoredStudy]) -> None:
    """Another study beside it."""
    labels = names_of([other for other in studies if other.number != study.number])
    other = labels.get(pick(desk, "other study", say("past.other"), [_NONE, *labels]))
    if other is None:
        note(say("past.choose_other"))
        return
    names = past_view.measure_names()
    name = names[pick(desk, "measure between", say("past.figure_of_both"), list(names))]
    result = between_studies(runs_of(study), runs_of(other))
    table(past_view.between_sheet(result, name, works_of(store(), study), study, other), "between studies")
    lines = scenario_changes(scenario_text(store(), study), scenario_text(store(), other))
    note(say("past.differ" if lines else "past.same"))
    listed(lines)
