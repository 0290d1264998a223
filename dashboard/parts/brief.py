"""What a lesson is about, and what must be said wherever cutters are changed."""

from __future__ import annotations

import streamlit as st

from linesim.report.theme.markup import bullets, element
from linesim.report.views import lesson as lesson_view
from linesim.training.lesson import Lesson

__all__ = ["brief", "cautions", "cautions_of", "task"]


def brief(lesson: Lesson) -> None:
    """What a lesson is about."""
    for head, texts in lesson_view.brief(lesson):
        st.subheader(head, anchor=False)
        st.html(bullets(texts) if len(texts) > 1 else element("p", texts[0]))


def task(lesson: Lesson) -> None:
    """What is to be done and what passes, in short: it stays open while a shift is played."""
    for text in lesson_view.task(lesson):
        st.html(element("p", text, "note"))


def cautions_of(lesson: Lesson, doing: str) -> None:
    """The cautions that bear on one thing that is done; nothing where none does."""
    texts = lesson_view.cautions_of(lesson, doing)
    if texts:
        st.html(bullets(texts, "cautions"))


def cautions(lesson: Lesson) -> None:
    """What must be said wherever cutters are changed."""
    st.subheader("Cautions", anchor=False)
    st.html(bullets(lesson_view.cautions(lesson), "cautions"))
