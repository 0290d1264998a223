"""Part types, changeovers and sequences, drawn at random over a works from its content, so that nothing else moves."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_types"]

Content = dict[str, Any]

_NAMES = ("long", "short", "wide")


def add_types(rng: Random, content: Content, share: float = 0.4) -> None:
    """Give some of the lines several part types.

    Parameters
    ----------
    rng : random.Random
        Where the choices come from.
    content : dict
        Of the works.
    share : float
        Chance for each line.
    """
    for line in content["lines"].values():
        if rng.random() < share:
            _mix(rng, line)


def _mix(rng: Random, line: Content) -> None:
    names = list(_NAMES[: rng.choice([1, 2, 2, 3])])
    if rng.random() < 0.5:
        line["parts"] = {name: {"batch": rng.randint(1, 6)} for name in names}
    else:
        line["parts"] = {name: {"share": 1 / len(names)} for name in names}
    for name in names:
        line["parts"][name] |= rng.choice([{}, {"worth": 200, "casting_price": 40}])
    first = next(iter(line["operations"]))
    # Where a type gets no stroke time has to pass all the same.
    line["operations"][first]["load"] = 1
    for name, operation in line["operations"].items():
        _operation(rng, operation, names, has_choice=name != first or "arrivals" in line["casting"])
        if name != first and rng.random() < 0.3:
            operation["only"] = _some(rng, names)
    for feature in line["features"].values():
        if rng.random() < 0.3:
            feature["only"] = _some(rng, names)


def _some(rng: Random, names: list[str]) -> list[str]:
    return rng.sample(names, rng.randint(1, len(names)))


def _operation(rng: Random, operation: Content, names: list[str], has_choice: bool) -> None:
    if rng.random() < 0.6:
        table = {before: {after: _minutes(rng) for after in names if after != before} for before in names}
        operation["changeover"] = {
            "minutes": _minutes(rng),
            "from_to": rng.choice([{}, table]),
            "by": rng.choice([None, "setters", "fitters"]),
        }
    if has_choice:
        operation["sequence"] = rng.choice(["oldest first", "same type first", "least changeover", "in turn"])
    if operation.get("sequence") == "in turn":
        operation["turn"] = rng.choice(["all", "those waiting", 1, 3])
        operation["buffer"] = rng.choice([1, 3, "unlimited"])
        operation["changeover"] = {"minutes": rng.choice([2, {"exponential": {"mean": 3}}])}
    if "minutes" in operation and rng.random() < 0.5:
        operation["minutes_by_type"] = {rng.choice(names): rng.choice([1, 4, {"exponential": {"mean": 2}}])}
    for stroke in operation.get("strokes", {}).values():
        if rng.random() < 0.2:
            stroke["only"] = _some(rng, names)
        for cut in stroke["cuts"].values():
            if rng.random() < 0.2:
                cut["only"] = _some(rng, names)
    for gauge in operation.get("gauges", {}).values():
        if rng.random() < 0.3:
            gauge["only"] = _some(rng, names)


def _minutes(rng: Random) -> Any:
    return rng.choice([0, 2, 2, 5, 9, {"exponential": {"mean": 4}}, {"lognormal": {"mean": 6, "cv": 0.4}}])
