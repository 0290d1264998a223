"""Works drawn at random upon another drawing."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.works import Works, works_from_dict
from tests.agree.works_at_random import random_content

__all__ = ["works_with"]

Content = dict[str, Any]


def works_with(add: Callable[[Random, Content], Content], rng: Random) -> Works:
    """A works drawn at random with something added; what does not go together is drawn again."""
    for _ in range(100):
        try:
            works = works_from_dict(add(rng, random_content(rng)), "drawn")
            make_plan(works, "one")
        except ScenarioError:
            continue
        return works
    raise AssertionError("a hundred works were refused one after another")
