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

from linesim.fetching import offering

if TYPE_CHECKING:
    from linesim import routing as routing
    from linesim.ask import advise as advise
    from linesim.ask import alternatives as alternatives
    from linesim.ask import compare as compare
    from linesim.ask import drivers as drivers
    from linesim.ask import engine as engine
    from linesim.ask import frontier as frontier
    from linesim.ask import history as history
    from linesim.ask import intervals as intervals
    from linesim.ask import practice as practice
    from linesim.ask import regret as regret
    from linesim.ask import sets as sets
    from linesim.ask import shift as shift
    from linesim.ask import speed as speed
    from linesim.ask import stock as stock
    from linesim.ask import toolroom as toolroom
    from linesim.ask import variants as variants
    from linesim.ask import worth as worth
    from linesim.desk import desk_figures
    from linesim.errors import LinesimError, RunError, ScenarioError, StudyError
    from linesim.floor.rules import ChangeRule, Edge, change_rule
    from linesim.result import Result
    from linesim.study import Comparison as Comparison
    from linesim.study import Crew as Crew
    from linesim.study import StudyOptions as StudyOptions
    from linesim.study import Tryout as Tryout
    from linesim.study import run as run
    from linesim.works import Works, changed, load_works, to_yaml, works_from_dict, works_from_text

__version__ = "0.1.0"

__all__ = [
    "ChangeRule",
    "Comparison",
    "Crew",
    "Edge",
    "LinesimError",
    "Result",
    "RunError",
    "ScenarioError",
    "StudyError",
    "StudyOptions",
    "Tryout",
    "Works",
    "advise",
    "alternatives",
    "change_rule",
    "changed",
    "compare",
    "desk_figures",
    "drivers",
    "engine",
    "frontier",
    "history",
    "intervals",
    "load_works",
    "practice",
    "regret",
    "routing",
    "run",
    "sets",
    "shift",
    "speed",
    "stock",
    "to_yaml",
    "toolroom",
    "variants",
    "works_from_dict",
    "works_from_text",
    "worth",
]

_ROOMS = {
    "ask": (
        "advise", "alternatives", "compare", "drivers", "engine", "frontier", "history", "intervals", "practice",
        "regret", "sets", "shift", "speed", "stock", "toolroom", "variants", "worth",
    ),
    "desk": ("desk_figures",),
    "errors": ("LinesimError", "RunError", "ScenarioError", "StudyError"),
    "floor.rules": ("ChangeRule", "Edge", "change_rule"),
    "result": ("Result",),
    "study": ("Comparison", "Crew", "StudyOptions", "Tryout", "run"),
    "works": ("Works", "changed", "load_works", "to_yaml", "works_from_dict", "works_from_text"),
}  # fmt: skip
_fetch, _names = offering(__name__, _ROOMS)


def __getattr__(name: str) -> Any:
    """Fetch a public name from its room when it is first asked for, so that importing linesim stays quick."""
    if name == "routing":
        return import_module("linesim.routing")
    if name not in _names():
        from linesim.errors import hint_at  # noqa: PLC0415 - only for the words of a refusal

        hint = hint_at(name, __all__) or f"public names: {', '.join(__all__)}"
        raise AttributeError(f"module 'linesim' has no attribute {name!r}; {hint}")
    return _fetch(name)


def __dir__() -> list[str]:
    """Public names, fetched or not."""
    return sorted([*__all__, "__version__"])
