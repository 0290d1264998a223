"""The questions that a works can be asked, one call for each.

Each carries out one study to its end. Who wants an answer on the way, or wants to stop it, takes the study itself
(`linesim.study.PolicyStudy` and the others that stand in the calls) and its ``steps``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, Unpack

from linesim.routing import (
    CutSpeedStudy,
    EngineEffects,
    EngineStudy,
    History,
    HistoryStudy,
    RoutingAnswer,
    RoutingStudy,
    SpeedAnswer,
    StockPlan,
    load_variants,
    stock_plan,
)
from linesim.study import AlternativeStudy, Comparison, PolicyStudy, Settings, StudyOptions
from linesim.study.advice.advice import Advice
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.study import ForecastStudy
from linesim.study.comparing.alternatives import Alternative
from linesim.study.doubt.advised import AdvisedStudy
from linesim.study.doubt.answer import Regret
from linesim.study.doubt.study import RegretStudy
from linesim.study.options import asked
from linesim.study.practice import Practice, PracticeStudy
from linesim.study.questions.frontier import Frontier, FrontierStudy
from linesim.study.questions.frontier_grid import USUAL_KINDS, grid_of
from linesim.study.questions.worth import Worth, WorthStudy
from linesim.study.search import BestIntervals, Circulation, Drivers, DriverStudy, IntervalStudy, NumberStudy
from linesim.study.toolroom.answer import ToolRoomPlan
from linesim.study.toolroom.study import ToolRoomStudy
from linesim.works import Works

__all__ = [
    "advise", "alternatives", "compare", "drivers", "engine", "frontier", "history", "intervals", "practice", "regret",
    "sets", "shift", "speed", "stock", "toolroom", "variants", "worth",
]  # fmt: skip


def advise(works: Works, **settings: Unpack[Settings]) -> Advice:
    """What to change first: changes to today's practice in order of money; settings are as for `compare`."""
    return AdvisedStudy(works, options=StudyOptions.of(**settings)).run()


def compare(
    works: Works,
    policies: Sequence[str] | None = None,
    progress: Callable[[int, int], None] | None = None,
    **settings: Unpack[Settings],
) -> Comparison:
    """Set policies against each other: which is best, by how much, and how sure that is.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policies : sequence of str, optional
        Names of the policies to compare; all of the scenario unless given. Today's practice is what the others
        replace, or the first one named where it is not among them.
    progress : callable, optional
        Is called with (runs done, runs in all).
    **settings
        As the attributes of `linesim.study.StudyOptions`; ``workers`` for a crew of so many processes.

    Returns
    -------
    Comparison

    Raises
    ------
    ScenarioError, StudyError, RunError
        As for every study.
    """
    return PolicyStudy(works, policies, StudyOptions.of(**settings)).run(progress)


def alternatives(compared: Sequence[Alternative], noun: str = "variant", **settings: Unpack[Settings]) -> Comparison:
    """Set works, each under a policy, against each other; the first is what the others replace.

    Parameters
    ----------
    compared : sequence of Alternative
        At least one, by names unlike each other, all counting over the same length of time.
    noun : str
        What one of them is called in sentences.
    **settings
        As for `compare`.

    Returns
    -------
    Comparison
    """
    return AlternativeStudy(compared, StudyOptions.of(**settings), noun).run()


def frontier(
    works: Works,
    kinds: Sequence[str] = USUAL_KINDS,
    shares: Sequence[float] | None = None,
    sets: Sequence[str] | None = None,
    base: str | None = None,
    **settings: Unpack[Settings],
) -> Frontier:
    """What a better part costs in output: rules and intervals over a grid, beside the scenario's own policies.

    Parameters
    ----------
    works : Works
        The checked scenario.
    kinds, shares, sets, base
        As for `linesim.study.questions.frontier_grid.grid_of`.
    **settings
        As for `compare`.

    Returns
    -------
    Frontier
    """
    return FrontierStudy(grid_of(works, kinds, shares, sets, base), StudyOptions.of(**settings)).run()


def intervals(works: Works, policy: str | None = None, **options: Any) -> BestIntervals:
    """When to change each cutter set, so that all of them together do best.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        The policy to set out from, and to be better than; the best one of the scenario unless given.
    **options
        ``goal`` and ``plan`` of `linesim.study.search.IntervalStudy`, and settings as for `compare`.

    Returns
    -------
    BestIntervals
    """
    return asked(IntervalStudy, {"works": works, "policy": policy, **options}).run()


def sets(works: Works, policy: str | None = None, **options: Any) -> Circulation:
    """How many sets of each cutter, tool grinders and setters, so that waiting costs less than having them.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Under which it is run; today's practice unless given.
    **options
        The other attributes of `linesim.study.search.NumberStudy`, and settings as for `compare`.

    Returns
    -------
    Circulation
    """
    return asked(NumberStudy, {"works": works, "policy": policy, **options}).run()


def drivers(works: Works, policy: str | None = None, **options: Any) -> Drivers:
    """What drives the result, and so what to measure first.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Under which it is run; today's practice unless given.
    **options
        The other attributes of `linesim.study.search.DriverStudy`, and settings as for `compare`.

    Returns
    -------
    Drivers
    """
    return asked(DriverStudy, {"works": works, "policy": policy, **options}).run()


def worth(works: Works, policy: str | None = None, **settings: Unpack[Settings]) -> Worth:
    """What one minute less stopped is worth at each operation.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str, optional
        Name of one of its policies; today's practice unless given.
    **settings
        As for `compare`.

    Returns
    -------
    Worth
    """
    return WorthStudy(works, policy, StudyOptions.of(**settings)).run()


def variants(
    works: Works, file: str | Path, search_replications: int = 3, **settings: Unpack[Settings]
) -> RoutingAnswer:
    """Set variants of a routing against each other: which is best, and why.

    Parameters
    ----------
    works : Works
        The checked scenario.
    file : str or pathlib.Path
        The variants, as `linesim.routing.load_variants` reads them.
    search_replications : int
        Runs of each trial in the search for a variant's own change intervals.
    **settings
        As for `compare`.

    Returns
    -------
    RoutingAnswer
    """
    return RoutingStudy(load_variants(file, works), search_replications, StudyOptions.of(**settings)).run()


def history(
    works: Works, feature: str, line: str | None = None, policy: str | None = None, of: str = "size",
    **settings: Unpack[Settings],
) -> History:  # fmt: skip
    """Where the error of a feature comes from, operation by operation.

    Parameters
    ----------
    works, feature, line, policy, of
        As for `linesim.routing.HistoryStudy`.
    **settings
        As for `compare`.

    Returns
    -------
    History
    """
    return HistoryStudy(works, feature, line, policy, StudyOptions.of(**settings), of).run()


def practice(works: Works, policy: str | None = None, letters: str = "", **settings: Unpack[Settings]) -> Practice:
    """How often what every practitioner knows is so in a works: a `linesim.study.practice.PracticeStudy`.

    Settings are as for `compare`; the replications are the draws.
    """
    return PracticeStudy(works, policy, letters, StudyOptions.of(**settings)).run()


def speed(works: Works, cut: str, line: str | None = None, policy: str | None = None, **options: Any) -> SpeedAnswer:
    """The economic speed and feed of a cut, on paper and in the line: a `linesim.routing.CutSpeedStudy`.

    Options are ``allowed`` of that study, and settings as for `compare`.
    """
    return asked(CutSpeedStudy, {"works": works, "cut": cut, "line": line, "policy": policy, **options}).run()


def stock(
    works: Works, feature: str, line: str | None = None, policy: str | None = None, wanted_cpk: float = 4.0 / 3.0
) -> StockPlan:
    """How much to leave for each cut, and the fewest cuts that meet the drawing: `linesim.routing.stock_plan`."""
    return stock_plan(works, feature, line, policy, wanted_cpk)


def engine(works: Works, policy: str | None = None, **settings: Unpack[Settings]) -> EngineEffects:
    """What the sizes of the parts mean in the engine of the entry ``engine``; settings are as for `compare`."""
    return EngineStudy(works, policy, StudyOptions.of(**settings)).run()


def regret(works: Works, policy: str | None = None, **options: Any) -> Regret:
    """How far a policy stays right where lives are other than assumed: a `linesim.study.doubt.study.RegretStudy`.

    Options are that study's, and settings as for `compare`; the replications are the draws.
    """
    return asked(RegretStudy, {"works": works, "policy": policy, **options}).run()


def shift(works: Works, policy: str | None = None, **options: Any) -> Forecast:
    """The coming shifts from how the line stands now: a `linesim.study.coming.study.ForecastStudy`.

    Options are that study's (``rows``, ``shifts``, ``leave``, ...), and settings as for `compare`.
    """
    return asked(ForecastStudy, {"works": works, "policy": policy, **options}).run()


def toolroom(works: Works, policy: str | None = None, weeks: int = 8, **settings: Unpack[Settings]) -> ToolRoomPlan:
    """The tool room's plan of the coming weeks, 1 or more; settings are as for `compare`."""
    return ToolRoomStudy(works, policy, weeks, StudyOptions.of(**settings)).run()
