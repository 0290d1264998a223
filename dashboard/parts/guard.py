"""No traceback reaches a user: what linesim refuses is shown in its own words, a fault goes to the log."""

from __future__ import annotations

import functools
import logging
import secrets
from collections.abc import Callable
from typing import Any

import streamlit as st

from dashboard.parts.said import label
from linesim.errors import LinesimError
from linesim.report.theme.safe import in_markdown

__all__ = ["guarded", "tell"]

LOG = logging.getLogger("linesim.dashboard")


def guarded(draw: Callable[..., None]) -> Callable[..., None]:
    """Let a piece of a page fail by itself, with a word."""

    @functools.wraps(draw)
    def drawn(*arguments: Any, **options: Any) -> None:
        try:
            draw(*arguments, **options)
        except LinesimError as error:
            tell(error)
        except Exception:  # a fault of any kind must not reach the user as a traceback
            mark = secrets.token_hex(4)
            LOG.exception("fault %s on a page", mark)
            st.error(label("frame.fault", mark=mark))

    return drawn


def tell(error: LinesimError) -> None:
    """Show what linesim refuses, line by line, as it stands."""
    lines = [line.strip() for line in str(error).splitlines()]
    st.error("  \n".join(in_markdown(line, 600) for line in lines[:40]) + ("  \n…" if len(lines) > 40 else ""))
