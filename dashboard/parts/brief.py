"""What a lesson is about, and what must be said wherever cutters are changed."""

from __future__ import annotations

import streamlit as st

from linesim.report.theme.markup import bullets, element
from linesim.report.views import lesson as lesson_view
from linesim.training.lesson import Lesson

__all__ = ["brief", "cautions"]


def brief(lesson: Lesson) -> None:
    """What a lesson is about."""
    for head, texts in lesson_view.brief(lesson):
        st.subheader(head, anchor=False)
        st.html(bullets(texts) if len(texts) > 1 else element("p", texts[0]))


def cautions(lesson: Lesson) -> None:
    """What must be said wherever cutters are changed."""
    st.subheader("Cautions", anchor=False)
    st.html(bullets(lesson_view.cautions(lesson), "cautions"))
