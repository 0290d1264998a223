"""What lives on the server for all, and the desk of the user who looks."""

from __future__ import annotations

import os
from pathlib import Path

import streamlit as st

from dashboard.bounds import READING
from dashboard.desk import Desk
from dashboard.desks import Desks
from dashboard.jobs import Board
from dashboard.process import ROOT
from linesim.desk import Desk as DeskFigures
from linesim.desk import desk_figures
from linesim.report.theme.colours import DAY, NIGHT, Light
from linesim.works import Works, load_works

__all__ = ["SCENARIOS", "board", "desks", "figures_on_paper", "first_desk", "from_file", "light", "reader"]

SCENARIOS = ROOT / "scenarios"
FILE = "LINESIM_DASHBOARD_FILE"


@st.cache_resource(show_spinner=False)
def board() -> Board:
    """The board of studies; one for the whole server."""
    return Board()


@st.cache_resource(show_spinner=False)
def reader() -> Board:
    """The board on which files that users send are read; one at a time, in a process that can be ended."""
    return Board(1, READING)


@st.cache_resource(show_spinner=False)
def desks() -> Desks:
    """The desks of all users."""
    return Desks()


@st.cache_resource(show_spinner=False, max_entries=32)
def from_file(path: str, changed_ns: int) -> Works:
    """A scenario that came with the program, or that it was started with."""
    del changed_ns  # part of the key, so that an edited file is read again
    return load_works(path)


def first_file() -> Path:
    """The scenario with which a new desk begins."""
    return Path(os.environ.get(FILE) or SCENARIOS / "block-line.yaml")


def first_desk() -> Desk:
    """A desk as it stands before anything has been done on it."""
    file = first_file()
    return Desk(from_file(str(file), file.stat().st_mtime_ns), file.name)


@st.cache_resource(show_spinner=False, max_entries=64)
def _figures(digest: str, policy: str | None, _works: Works) -> DeskFigures:
    del digest
    return desk_figures(_works, policy)


def figures_on_paper(of: Desk, policy: str | None = None) -> DeskFigures:
    """What can be said of the scenario in hand without running it."""
    return _figures(of.digest, policy, of.works)


def light() -> Light:
    """Colours of the theme that the user has chosen."""
    return NIGHT if st.context.theme.type == "dark" else DAY
