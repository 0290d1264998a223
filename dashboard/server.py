"""The server: Streamlit's application behind our door; ``streamlit run`` finds `app` in this file and serves it."""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = str(Path(__file__).resolve().parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

from starlette.middleware import Middleware  # noqa: E402 - the path comes first
from streamlit import config, runtime  # noqa: E402
from streamlit.runtime.memory_uploaded_file_manager import MemoryUploadedFileManager  # noqa: E402
from streamlit.starlette import App  # noqa: E402

from dashboard.door import Door, Uploads  # noqa: E402
from dashboard.opening import Opening  # noqa: E402
from dashboard.visits import visits_watched  # noqa: E402
from linesim.cli.dashboard import HOME  # noqa: E402

__all__ = ["app"]


def _uploads(visit: str) -> Uploads:
    """What Streamlit has in memory; it holds a file until the visit ends, or until a page lets go of it."""
    manager = runtime.get_instance().uploaded_file_mgr
    assert isinstance(manager, MemoryUploadedFileManager)
    visits = {name: sum(len(file.data) for file in tuple(files.values()))
              for name, files in tuple(manager.file_storage.items())}  # fmt: skip
    return Uploads(visits.get(visit, 0), sum(visits.values()))


app = App(
    Path(__file__).with_name("app.py"),
    lifespan=visits_watched,
    middleware=[
        Middleware(Door, hosts=config.get_option("server.allowedHosts") or HOME, uploads=_uploads),
        Middleware(Opening),
    ],
)
