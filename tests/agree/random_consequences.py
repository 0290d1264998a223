"""What surfaces cost later, drawn at random for works of the comparison of engines."""

from __future__ import annotations

from random import Random
from typing import Any

__all__ = ["add_consequences"]

Content = dict[str, Any]


def add_consequences(rng: Random, content: Content) -> None:
    """Put what surfaces cost later into the content of a works drawn at random."""
    for line in content["lines"].values():
        for feature in line["features"].values():
            if rng.random() < 0.5:
                feature["roughness"] = _two_sided(rng)
        for operation in line["operations"].values():
            for gauge in operation.get("gauges", {}).values():
                if rng.random() < 0.3:
                    gauge["roughness_limits"] = [0.9, rng.choice([1.5, 2.5])]
        if rng.random() < 0.5:
            add_tests(rng, line)


def _two_sided(rng: Random) -> Content:
    finish: Content = {"limits": [rng.choice([0.6, 1.0]), 1.9], "loss_at_limit": rng.choice([0, 4])}
    return finish | rng.choice([{}, {"aim": 1.2, "loss_at_low_limit": 7}, {"loss_cap": 5}])


def _weights(rng: Random, features: Content) -> Content:
    """Weights of some components; what is weighed has no quality loss beside it."""
    weights: Content = {}
    for name, feature in features.items():
        for component in ("size", "roughness", "scratch", "position", "squareness", "parallelism", "form"):
            if component in feature and rng.random() < 0.5:
                for entry in ("loss_at_limit", "loss_at_low_limit"):
                    feature[component].pop(entry, None)
                weighed = "tilt" if component in ("squareness", "parallelism") else component
                weights.setdefault(name, {})[weighed] = rng.choice([0.2, 0.7, 1.0])
    return weights


def _failure(rng: Random, features: Content) -> Content:
    return {
        "weights": _weights(rng, features),
        "at_limit": rng.choice([0.05, 0.3]),
        "at_twice": rng.choice([0.5, 0.9]),
        "floor": rng.choice([0, 0.05, 0.2]),
        "cause": rng.choice(["leak", "noise"]),
    }


def _test(rng: Random, features: Content, before: list[str]) -> Content:
    test = _failure(rng, features)
    if before and rng.random() < 0.8:
        repair = {
            "minutes": rng.choice([0, 1, 5, {"exponential": {"mean": 4}}]),
            "people": rng.choice([None, "setters", "fitters"]),
            "cost": 3,
            "succeeds": rng.choice([0.5, 1.0]),
            "tries": rng.choice([1, 2]),
            "back_to": rng.choice([None, *before]),
            "benches": rng.choice([1, 1, 2]),
        }
        test["rejected"] = {"repair": {name: value for name, value in repair.items() if value is not None}}
    return test


def add_tests(rng: Random, line: Content) -> None:
    """Tests behind some operations of a line, the last one above all, and failures in the field."""
    names = list(line["operations"])
    for at, name in enumerate(names):
        if rng.random() < (0.6 if at + 1 == len(names) else 0.2):
            line["operations"][name]["test"] = _test(rng, line["features"], names[1 : at + 1])
    if rng.random() < 0.5:
        line["later"] = {"field": {"claim": _failure(rng, line["features"]) | {"cost": 90}}}
