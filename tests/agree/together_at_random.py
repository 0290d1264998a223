"""All that a works can have, drawn together: shapes, meetings, magazines and measuring rooms over all the rest."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.works import Works, works_from_dict
from tests.agree.joins_at_random import lines_that_meet
from tests.agree.magazines_at_random import add_magazines
from tests.agree.newest_at_random import add_newest
from tests.agree.rooms_at_random import add_rooms
from tests.agree.shape_at_random import add_shape
from tests.agree.unseen_at_random import add_unseen
from tests.agree.works_at_random import random_content

__all__ = ["content_together", "works_together"]

Content = dict[str, Any]

_PIECES: tuple[Callable[[Random, Content], Any], ...] = (add_shape, add_magazines, add_rooms, add_unseen)


def works_together(rng: Random, newest: bool = True) -> Works:
    """A works in which anything may meet anything; what does not go together is drawn again.

    Parameters
    ----------
    rng : random.Random
        Where the choices come from.
    newest : bool
        With what came last into the model.

    Returns
    -------
    Works
        With the policies "one" and "two".
    """
    for _ in range(200):
        content = content_together(rng)
        content = add_newest(content) if newest else content
        try:
            works = works_from_dict(content, "together")
            for policy in works.policies:
                make_plan(works, policy)
        except ScenarioError:
            continue
        return works
    raise AssertionError("two hundred works were drawn, and none of them can be run")


def content_together(rng: Random) -> Content:
    """The content of such a works, rid of what is known not to go together."""
    content = random_content(rng, more=lines_that_meet(rng) if rng.random() < 0.4 else None)
    for add in _PIECES:
        if rng.random() < 0.6:
            add(rng, content)
    fellows = {
        name for line in content["lines"].values() for each in line["operations"].values() for name in _met(each)
    }
    for name, line in content["lines"].items():
        for feature in line["features"].values():
            if feature["kind"] == "run-out":
                feature["size"] = {"limits": [0, 0.04]}
        if name in fellows:
            line.pop("worth", None)
            line.pop("parts", None)
            line["casting"].pop("price", None)
        for operation in line["operations"].values():
            _settle(operation, line)
    if fellows or any("branches" in line for line in content["lines"].values()):
        content.pop("now", None)
    return content


def _met(operation: Content) -> list[str]:
    """Lines whose parts are taken off or joined at an operation."""
    return [*operation.get("joins", {}), *([operation["takes_off"]] if operation.get("takes_off") else [])]


def _settle(operation: Content, line: Content) -> None:
    """Take out of an operation what goes with nothing else there."""
    if operation.get("batch"):
        for entry in (
            "recut_chance",
            "changeover",
            "sequence",
            "turn",
            "attended",
            "unlike",
            "next_machine",
            "minutes_by_type",
            "chips",
        ):
            operation.pop(entry, None)
    if "joins" in operation or (isinstance(operation.get("move"), dict) and "length" in operation["move"]):
        operation.pop("sequence", None)
        operation.pop("turn", None)
        operation.pop("batch", None)
    for gauge in operation.get("gauges", {}).values():
        feature = line["features"][gauge["feature"]]
        there = {"size": True, "roughness": True, "tilt": {"squareness", "parallelism"} & feature.keys()}
        there |= {what: what in feature for what in ("position", "form")}
        gauge["reads"] = [what for what in gauge.get("reads", []) if there[what]] or ["size"]
