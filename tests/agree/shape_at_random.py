"""Lines of odd shapes drawn at random, with whole-number times on purpose, so that much falls due at one instant."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

from linesim.works import Works
from tests.agree.unlike_at_random import add_unlike
from tests.floors import a_shop

__all__ = ["a_few_minutes", "add_shape", "random_shape"]

Content = dict[str, Any]


def random_shape(rng: Random, also: Callable[[Random, Content], Content] | None = None) -> Works:
    """A line with stations that take several parts at once, tests and repairs, and breakdowns.

    Parameters
    ----------
    rng : random.Random
        Where the choices come from.
    also : callable, optional
        Adds something to the line; returns more entries of the works.

    Returns
    -------
    Works
        With the one policy "as stated".
    """
    operations: Content = {f"Op {10 * at}": _operation(rng) for at in range(1, rng.randint(3, 5))}
    if rng.random() < 0.7:
        _test(rng, operations)
    for operation in list(operations.values())[1:]:
        _move(rng, operation)
    arrivals = {"between": a_few_minutes(rng, 2), "when_full": rng.choice(["wait", "wait", "turn away"])}
    line: Content = {"casting": rng.choice([{}, {"arrivals": arrivals}, {"limit": 11}])}
    most = max(each.get("batch", {}).get("least", 1) for each in operations.values())
    line["pallets"] = rng.choice([None, None, most, most + 3])
    add_unlike(Random(repr(operations)), operations)
    _branch(Random(repr(operations)), line, operations)
    line["operations"] = operations
    more = also(Random(repr(line)), line) if also else {}
    length, warm_up = rng.choice([60, 110]), rng.choice([0, 7.5])
    return a_shop(line=line, length=length, warm_up=warm_up, people={"menders": {}, "inspectors": {}}, **more)


def a_few_minutes(rng: Random, most: int) -> Any:
    mean = rng.randint(1, most)
    return rng.choice([mean, mean, {"exponential": {"mean": mean}}, {"uniform": {"low": 0, "high": 2 * mean}}])


def _operation(rng: Random) -> Content:
    operation: Content = {
        "machines": rng.choice([1, 1, 2]),
        "minutes": a_few_minutes(rng, 3),
        "buffer": rng.choice([0, 1, 3, "unlimited"]),
        "load": rng.choice([0, 0, 0.5]),
        "unload": rng.choice([0, 0, 1]),
        "scrap_chance": rng.choice([0, 0, 0.1]),
    }
    if rng.random() < 0.3:
        operation["breakdowns"] = {"between": {"exponential": {"mean": 12}}, "repair": rng.choice([1, 2])}
        operation["breakdowns"]["overhaul"] = rng.choice([None, {"every": 9, "minutes": 2, "people": "menders"}])
    if rng.random() < 0.6:
        operation["batch"] = _batch(rng)
    return operation


def _batch(rng: Random) -> Content:
    most = rng.randint(1, 5)
    return {
        "most": most,
        "least": rng.choice([1, most, rng.randint(1, most)]),
        "waits": rng.choice([0, 0, 1, 3, 7.3]),
        "loaded": rng.choice(["one by one", "together"]),
    }


def add_shape(rng: Random, content: Content) -> None:
    """Give lines that have been drawn already stations of several parts, ways to come, branches, tests and repairs."""
    content["people"] |= {"menders": {}}
    for line in content["lines"].values():
        operations = line["operations"]
        for number, operation in enumerate(operations.values()):
            if "minutes" in operation and not operation.get("sets") and rng.random() < 0.3:
                operation["batch"] = _batch(rng)
            if number and rng.random() < 0.4:
                _move(rng, operation)
        if len(operations) > 1 and not any("test" in each for each in operations.values()) and rng.random() < 0.4:
            _test(rng, operations)
        if len(operations) > 1 and rng.random() < 0.4:
            _branch(rng, line, operations)


def _move(rng: Random, operation: Content) -> None:
    """Let parts come to an operation by hand, by carriers, or on a conveyor."""
    belt = {"length": "3 m", "speed": f"{rng.choice([1, 3, 6])} m/min", "pitch": f"{rng.choice([0.5, 1, 0.7])} m"}
    belt |= {"accumulates": rng.choice([True, False])}
    carried = {"minutes": a_few_minutes(rng, 2), "carriers": rng.randint(1, 2), "back": rng.choice([None, 0, 0.5])}
    move = rng.choice([None, rng.choice([0, 0.5, 2]), {"minutes": a_few_minutes(rng, 2)}, carried, belt, belt])
    operation["move"] = move
    if move is belt:
        operation["buffer"] = 0


def _test(rng: Random, operations: Content) -> None:
    """Let one operation test, and send what it turns down back to itself or to the one before."""
    names = list(operations)
    at = rng.randrange(1, len(names))
    repair = {
        "minutes": a_few_minutes(rng, 2),
        "people": rng.choice([None, "menders"]),
        "succeeds": 0.6,
        "tries": rng.randint(1, 2),
        "benches": rng.randint(1, 2),
        "back_to": rng.choice([None, names[max(at - 1, 1)]]),
    }
    operations[names[at]]["test"] = {"floor": rng.choice([0.1, 0.3]), "rejected": {"repair": repair}}


def _branch(rng: Random, line: Content, operations: Content) -> None:
    """Let some parts pass operations by, but none to which a repaired part goes back."""
    test = next((at for at, each in enumerate(operations.values()) if "test" in each), 0)
    kept = {0, test, max(test - 1, 1)} if test else {0}
    free = [each for at, each in enumerate(operations.values()) if at not in kept]
    if free and rng.random() < 0.6:
        line["branches"] = {"way": {"long": 0.5, "short": 0.3}, "extra": {"looked at": 0.4}}
        for fork in line["branches"].values():
            for name in list(fork):
                rng.choice(free)["branch"] = name
        taken = {each.get("branch") for each in free}
        line["branches"] = {
            fork: {name: share for name, share in branches.items() if name in taken}
            for fork, branches in line["branches"].items()
        }
