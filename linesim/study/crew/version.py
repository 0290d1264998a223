"""Which model gave a result: a digest of all that determines it, whichever engine ran it."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from linesim import __version__

__all__ = ["MODEL_FILES", "model_version"]

MODEL_FILES = (
    "law.py", "linking.py", "philox.py", "normal.py", "chance/*.py", "cutting/*.py", "rules/*.py",
    "handbook/*.py", "handbook/data/*.yaml",
    "quality/*.py", "plan/*.py", "floor/*.py", "fast/*.py", "ledger/*.py", "result/arithmetic.py", "result/lines.py",
    "result/floor_tables.py", "result/crib_tables.py", "result/characteristics.py", "result/details.py",
    "result/words.py", "result/datums.py", "result/out_of_drawing.py", "result/trouble_tables.py",
    "result/first_pieces.py", "result/type_tables.py", "result/later_tables.py", "result/trouble_details.py",
    "result/measuring.py", "result/staffing.py", "result/magazine_words.py", "result/joining.py",
    "study/crew/summary.py",
)  # fmt: skip
"""Files whose text decides what comes out of a run. How a scenario is read does not: its content counts as read."""


@cache
def model_version() -> str:
    """Version of linesim and a digest of its `MODEL_FILES`, the same on every machine that has the same text.

    Returns
    -------
    str
        Such as ``0.1.0-3f2a9c41d07be586``.
    """
    folder = Path(__file__).parents[2]
    digest = hashlib.sha256()
    for path in sorted(path for pattern in MODEL_FILES for path in folder.glob(pattern)):
        digest.update(path.relative_to(folder).as_posix().encode())
        digest.update(path.read_bytes().replace(b"\r\n", b"\n"))
    return f"{__version__}-{digest.hexdigest()[:16]}"
