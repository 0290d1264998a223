"""linesim: what every tool-change policy and every routing costs an engine-component line.

Examples
--------
>>> import linesim
>>> works = linesim.load_works("scenarios/smallest.yaml")
>>> result = linesim.run(works)
>>> result.seed == works.run.seed
True
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linesim.desk import desk_figures
    from linesim.errors import LinesimError, RunError, ScenarioError, StudyError
    from linesim.floor.rules import ChangeRule, Edge, change_rule
    from linesim.result import Result
    from linesim.study import Comparison as Comparison
    from linesim.study import compare as compare
    from linesim.study import run as run
    from linesim.works import Works, changed, load_works, to_yaml, works_from_dict, works_from_text

__version__ = "0.1.0"

__all__ = [
    "ChangeRule",
    "Comparison",
    "Edge",
    "LinesimError",
    "Result",
    "RunError",
    "ScenarioError",
    "StudyError",
    "Works",
    "change_rule",
    "changed",
    "compare",
    "desk_figures",
    "load_works",
    "run",
    "to_yaml",
    "works_from_dict",
    "works_from_text",
]

_ROOMS = {
    "linesim.desk": ("desk_figures",),
    "linesim.errors": ("LinesimError", "RunError", "ScenarioError", "StudyError"),
    "linesim.floor.rules": ("ChangeRule", "Edge", "change_rule"),
    "linesim.result": ("Result",),
    "linesim.study": ("Comparison", "compare", "run"),
    "linesim.works": ("Works", "changed", "load_works", "to_yaml", "works_from_dict", "works_from_text"),
}
_ROOM_OF = {name: room for room, names in _ROOMS.items() for name in names}


def __getattr__(name: str) -> Any:
    """Fetch a public name from its room when it is first asked for, so that importing linesim stays quick."""
    if name not in _ROOM_OF:
        from linesim.errors import hint_at  # noqa: PLC0415 - only for the words of a refusal

        text = f"module 'linesim' has no attribute {name!r}; public names: {', '.join(__all__)}"
        raise AttributeError(f"{text}. {hint_at(name, __all__)}".rstrip(". "))
    value = getattr(import_module(_ROOM_OF[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    """Public names, fetched or not."""
    return sorted({*globals(), *__all__})
