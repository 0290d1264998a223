"""What every search does before its first run."""

from __future__ import annotations

from pathlib import Path

from linesim.fast.choice import choose_engine
from linesim.study.crew.own_rules import load_rules
from linesim.study.crew.parcels import plan_at_hand
from linesim.study.options import StudyOptions, check_confidence
from linesim.study.search.common.budget import FRESH
from linesim.study.search.common.trials import Trials
from linesim.works import Works

__all__ = ["opened"]


def opened(works: Works, policy: str | None, options: StudyOptions) -> tuple[Trials, list[str]]:
    """See to it that a search can be carried out as asked.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str or None
        One of its policies; None for all, today's practice first.
    options : StudyOptions
        Seed, confidence, engine, rules (loaded here) and crew.

    Returns
    -------
    Trials, list of str
        Where runs will be gathered, and the policies to begin with.

    Raises
    ------
    ScenarioError, StudyError
        As for a comparison.
    """
    seed = options.seed_for(works, FRESH)
    check_confidence(options.confidence)
    files = tuple(Path(file).resolve() for file in options.rules)
    for file in files:
        load_rules(file)
    names = list(dict.fromkeys([works.todays_policy, *works.policies])) if policy is None else [policy]
    plans = [plan_at_hand(works, name) for name in names]
    choose_engine(plans[0], options.engine)
    return Trials(seed, options.crew, options.engine, files), names
