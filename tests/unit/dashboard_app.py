"""What the dashboard's tests share: a page opened by itself, its studies waited for, and one board for all."""

from __future__ import annotations

import time
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

from streamlit.testing.v1 import AppTest

from dashboard.desk import Desk
from dashboard.jobs import Job
from dashboard.parts import folded, room

folded._ALL_OPEN = True
_DRAWN: WeakKeyDictionary[AppTest, set[str]] = WeakKeyDictionary()
"""Studies that had ended before a page was last drawn; what began or ended since is drawn once more."""
SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"


def _script(url: str) -> None:
    from dashboard.shell import show  # noqa: PLC0415 - Streamlit runs this as a script by itself

    show(url)


def open_page(url: str, state: dict[str, Any] | None = None) -> AppTest:
    """A page as a new user sees it, or one with this state, and with all its folds open."""
    app = AppTest.from_function(_script, kwargs={"url": url}, default_timeout=60)
    for name, value in (state or {}).items():
        app.session_state[name] = value
    return settled(app.run())


def settled(app: AppTest) -> AppTest:
    """The page once all its studies have ended and have been drawn so; no fault may show."""
    drawn = _DRAWN.setdefault(app, set())
    for _ in range(20):
        jobs = jobs_of(app)
        for job in jobs:
            assert job.is_over or job.wait(240.0, for_end=True), "the study took too long"
        over = {job.id for job in jobs}
        if over <= drawn:
            break
        app.run()
        drawn |= over
    assert not app.exception
    return app


def desk_of(app: AppTest) -> Desk:
    found = room.desks().find(app.session_state["desk"])
    assert found is not None
    return found


def jobs_of(app: AppTest) -> list[Job]:
    mine = app.session_state["desk"] if "desk" in app.session_state else ""  # noqa: SIM401 - it is no mapping
    return [job for job in list(room.board()._jobs.values()) if job.owner == mine]


def html_of(app: AppTest) -> str:
    """Everything on the page that is HTML of our own; quotation marks as they are read."""
    page = "\n".join(str(each.proto.body) for each in app.get("html"))
    return page.replace("&#34;", '"').replace("&#39;", "'")


def texts_of(app: AppTest) -> str:
    """Everything else in words."""
    kinds = ("error", "info", "success", "warning", "markdown", "title", "header", "subheader")
    return "\n".join(str(each.value) for kind in kinds for each in app.get(kind))


def wait_until(claim: Any, seconds: float = 30.0) -> None:
    end = time.monotonic() + seconds
    while not claim():
        assert time.monotonic() < end, "it did not come about"
        time.sleep(0.05)
