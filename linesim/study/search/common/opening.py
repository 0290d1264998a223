"""What every search does before its first run."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from linesim.fast.choice import choose_engine
from linesim.plan.build import make_plan
from linesim.study.crew.crew import Crew
from linesim.study.crew.own_rules import load_rules
from linesim.study.one.runs import check_key
from linesim.study.search.common.budget import FRESH, check_confidence
from linesim.study.search.common.trials import Trials
from linesim.works import Works

__all__ = ["opened"]


def opened(
    works: Works,
    policy: str | None,
    seed: int | None,
    confidence: float,
    crew: Crew | None,
    rules: Sequence[str | Path],
    engine: str,
) -> tuple[Trials, list[str]]:
    """See to it that a search can be made as asked.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        One of its policies; None for all.
    seed : int or None
        Key of all chance; None for the scenario's.
    confidence : float
        Of the intervals, between 0 and 1.
    crew : Crew or None
        Who carries out the runs.
    rules : sequence of str or pathlib.Path
        Files with rules of the user's own; loaded.
    engine : {"fast", "simpy"}
        Which engine; compiled if need be.

    Returns
    -------
    Trials, list of str
        Where runs will be kept, and the policies to begin with.

    Raises
    ------
    ScenarioError, StudyError
        As for a comparison.
    """
    key = works.run.seed if seed is None else seed
    check_key(key, FRESH)
    check_confidence(confidence)
    files = tuple(Path(file).resolve() for file in rules)
    for file in files:
        load_rules(file)
    names = [policy] if policy is not None else list(works.policies)
    for name in names:
        choose_engine(make_plan(works, name), engine)
    return Trials(key, crew or Crew(), engine, files), names
