"""Lines that meet, drawn at random, with whole-number times on purpose, so that much falls due at one instant."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.works import Works
from tests.agree.shape_at_random import a_few_minutes
from tests.floors import a_shop

__all__ = ["lines_that_meet", "random_meeting"]

Content = dict[str, Any]


def random_meeting(rng: Random) -> Works:
    """Caps taken off their crankcases and joined to them again, and pistons that are joined by class or as they come.

    Parameters
    ----------
    rng : random.Random
        Where the choices come from.

    Returns
    -------
    Works
        With the one policy "as stated".
    """
    lines = lines_that_meet(rng)
    order = rng.sample(list(lines), 3)
    length, warm_up = rng.choice([80, 140]), rng.choice([0, 12.5])
    return a_shop(lines={name: lines[name] for name in order}, length=length, warm_up=warm_up)


def lines_that_meet(rng: Random) -> Content:
    """The three lines of such a works."""
    classes = {"feature": "bores", "to": "skirt", "width": rng.choice([6, 12, 40])}
    pistons: Content = {"stock": rng.choice([1, 2, "unlimited"]), "classes": rng.choice([None, classes, classes])}
    joins: Content = {"caps": {"stock": rng.choice([1, 3, "unlimited"])}, "pistons": pistons}
    cases: Content = {
        "Op 10": _operation(rng) | {"takes_off": "caps"},
        "Op 20": _operation(rng),
        "Op 30": _operation(rng) | {"buffer": rng.choice([1, 3, "unlimited"]), "machines": rng.choice([1, 2])},
        "Op 40": _operation(rng),
    }
    if rng.random() < 0.4:
        # In two places, the pistons before their crankcase has its caps again.
        cases["Op 20"] |= {"joins": {"pistons": joins.pop("pistons")}, "buffer": 2}
    cases["Op 30"]["joins"] = joins
    if rng.random() < 0.4:
        repair = {"minutes": 2, "succeeds": 0.6, "tries": 2}
        cases["Op 40"]["test"] = {"floor": 0.3, "rejected": {"repair": repair}}
    if rng.random() < 0.3:
        cases["Op 30"]["move"] = {"minutes": 1, "carriers": 2}
    cases_line: Content = {"operations": cases, "features": {"bores": _feature(4)}, "pallets": rng.choice([None, 4, 9])}
    if rng.random() < 0.3:
        cases_line["parts"] = {"long": {"share": 0.5}, "short": {"share": 0.5}}
        cases["Op 30"]["changeover"] = {"minutes": 1}
    cases_line["casting"] = rng.choice([{}, {"limit": 15}, {"arrivals": {"between": a_few_minutes(rng, 3)}}])
    piston: Content = {"operations": {"turn": _operation(rng)}, "features": {"skirt": _feature(1)}}
    piston["casting"] = rng.choice([{}, {"limit": 12}, {"arrivals": {"between": 2, "when_full": "turn away"}}])
    caps: Content = {"operations": {"mill": _operation(rng), "drill": _operation(rng)}, "features": {}, "casting": {}}
    caps["pallets"] = rng.choice([None, 3])
    return {"cases": cases_line, "caps": caps, "pistons": piston}


def _feature(places: int) -> Content:
    return {
        "kind": "bore",
        "places": places,
        "size": {"limits": ["89.98 mm", "90.02 mm"]},
        "as_cast": {"spread": "15 um"},
    }


def _operation(rng: Random) -> Content:
    operation: Content = {
        "machines": rng.choice([1, 1, 2]),
        "minutes": a_few_minutes(rng, 3),
        "buffer": rng.choice([0, 1, 3, "unlimited"]),
        "scrap_chance": rng.choice([0, 0, 0.1]),
    }
    if rng.random() < 0.3:
        operation["breakdowns"] = {"between": {"exponential": {"mean": 12}}, "repair": rng.choice([1, 2])}
    return operation
