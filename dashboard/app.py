"""The dashboard's first file: Streamlit runs it for every user; see `linesim dashboard`."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = str(Path(__file__).resolve().parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

import streamlit as st  # noqa: E402 - the path comes first

from dashboard.shell import pages  # noqa: E402

st.set_page_config(page_title="linesim", layout="wide", initial_sidebar_state="collapsed")
st.navigation(pages(), position="hidden").run()
