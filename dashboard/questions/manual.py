"""The manual, topic by topic."""

from __future__ import annotations

import streamlit as st

from dashboard.desk import Desk
from dashboard.parts.choose import pick
from dashboard.parts.show import answer
from linesim.manual import TOPICS
from linesim.manual import page as manual_page

__all__ = ["TITLE", "URL", "page"]

TITLE = "The manual"
URL = "manual"


def page(desk: Desk) -> None:
    """Draw the page."""
    answer("How it works, topic by topic; at a terminal: linesim manual.")
    by_title = {about: topic for topic, about in TOPICS.items()}
    chosen = pick(desk, "topic", "Topic", list(by_title))
    st.markdown(manual_page(by_title[chosen]))
