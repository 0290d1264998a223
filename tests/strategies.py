"""Works drawn at random, small and rich, with whole-number times on purpose so that many things fall due at once.

A works is drawn as plain values in which every length of time is a `Span`; `timed` turns them into numbers and can
stretch them all by one factor. `random_works` puts everything together; its parts may be used alone.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hypothesis import HealthCheck, assume, settings
from hypothesis import strategies as st

from linesim.errors import ScenarioError
from linesim.works import Works, works_from_dict

__all__ = [
    "PLAIN_GRADE",
    "Span",
    "durations",
    "random_content",
    "random_works",
    "renewals",
    "rules",
    "steady",
    "timed",
    "whole_minutes",
]

steady = settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much],
)
"""The same examples each time, so that a failure on one machine is a failure on all."""

PLAIN_GRADE = {"plain": {"based_on": "carbide", "wear_b": 0.0, "wear_tau": 1.0, "wear_gamma": 1.0}}
FEATURES = ("face", "bore")


class Span(float):
    """A length of time, minutes."""


def timed(content: Any, factor: float = 1.0) -> Any:
    """The same plain values with every length of time as a number, stretched by a factor."""
    if isinstance(content, Mapping):
        return {name: timed(value, factor) for name, value in content.items()}
    if isinstance(content, list):
        return [timed(value, factor) for value in content]
    return float(content) * factor if isinstance(content, Span) else content


# --- times -----------------------------------------------------------------------------------------------------------


def whole_minutes(low: int, high: int) -> st.SearchStrategy[Span]:
    """A whole number of minutes."""
    return st.integers(low, high).map(Span)


def durations(low: int, high: int) -> st.SearchStrategy[Any]:
    """Mostly a whole number of minutes, else a distribution with a mean in the same range or a short list."""
    mean = whole_minutes(max(low, 1), max(high, 1))
    drawn = st.one_of(
        mean.map(lambda value: {"exponential": {"mean": value}}),
        mean.map(lambda value: {"lognormal": {"mean": value, "cv": 0.5}}),
        mean.map(lambda value: {"erlang": {"mean": value, "phases": 3}}),
        mean.map(lambda value: {"weibull": {"shape": 2.0, "mean": value}}),
        mean.map(lambda value: {"uniform": {"low": value, "high": Span(2.0 * value)}}),
        st.lists(whole_minutes(max(low, 1), max(high, 1)), min_size=1, max_size=4).map(
            lambda values: {"listed": values}
        ),
    )
    whole = whole_minutes(low, high)
    return st.one_of(whole, whole, whole, drawn)


# --- cutters and rules -----------------------------------------------------------------------------------------------


def renewals() -> st.SearchStrategy[dict[str, Any]]:
    """Any of the four ways in which a dull set becomes sharp."""
    reground = st.fixed_dictionaries(
        {"stock": st.sampled_from([0.5, 3.0, 100.0]), "minutes": durations(0, 9), "life": st.sampled_from([1.0, 0.75])}
    )
    dressed = st.fixed_dictionaries({"dressings": st.integers(1, 3), "by_machine": st.booleans()})
    return st.one_of(
        reground.map(lambda entry: {"reground": entry}),
        st.integers(1, 3).map(lambda edges: {"indexed": {"edges": edges}}),
        dressed.map(lambda entry: {"dressed": entry}),
        st.just({"bought": {}}),
    )


def cutters(most_mounted: int) -> st.SearchStrategy[dict[str, Any]]:
    """A kind of cutter set: as many sets as are mounted or a few more, short lives, sometimes brittle."""
    breaking = st.one_of(st.just("never"), st.just({"shape": 3.0, "scale": 0.8}))
    return st.fixed_dictionaries(
        {
            "grade": st.just("plain"),
            "sets": st.integers(most_mounted, most_mounted + 2),
            "change": durations(0, 5),
            "extra_when_broken": whole_minutes(0, 4),
            "lead_time": whole_minutes(0, 12),
            "renewal": renewals(),
            "life": whole_minutes(8, 40),
            "life_cv": st.sampled_from([0.0, 0.3]),
            "breaking": breaking,
        }
    )


def rules() -> st.SearchStrategy[Any]:
    """Any rule but one of one's own."""
    check = st.fixed_dictionaries(
        {
            "every": st.integers(1, 4),
            "first": st.sampled_from([None, 1, 6]),
            "past_share": st.sampled_from([0.3, 0.8]),
            "minutes": whole_minutes(0, 2),
            "error": st.sampled_from([0.0, 0.02]),
        }
    )
    return st.one_of(
        st.integers(1, 6).map(lambda parts: {"parts": parts}),
        whole_minutes(3, 25).map(lambda minutes: {"minutes": minutes}),
        st.sampled_from([0.25, 0.5, 1.0]).map(lambda share: {"life": share}),
        check.map(lambda entry: {"check": entry}),
        st.just({"gauge": {"size": 6.0, "roughness": 1.5}}),
        st.just({"shift": 1}),
        st.just("run out"),
    )


# --- operations ------------------------------------------------------------------------------------------------------


def _cut(cutter: str) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {
            "feature": st.sampled_from(FEATURES),
            "cutter": st.just(cutter),
            "process": st.just("boring"),
            "depth": st.sampled_from([0.05, 1.0]),
            "minutes": whole_minutes(1, 4),
            "copying": st.sampled_from([0.0, 0.5]),
            "repeatability": st.sampled_from([0.0, 2.0]),
            "at_once": st.integers(1, 2),
        }
    )


@st.composite
def _strokes(draw: st.DrawFn, kinds: list[str]) -> dict[str, Any]:
    """One or two strokes, each with one or two cuts by different cutters."""
    found = {}
    for number in range(draw(st.integers(1, 2))):
        used = draw(st.lists(st.sampled_from(kinds), min_size=1, max_size=2, unique=True))
        found[f"stroke {number}"] = {"cuts": {f"cut {number} {kind}": draw(_cut(kind)) for kind in used}}
    return found


@st.composite
def _gauges(draw: st.DrawFn, strokes: dict[str, Any]) -> dict[str, Any]:
    """A gauge of one of the features, which may correct a cut of it here."""
    feature = draw(st.sampled_from(FEATURES))
    gauge: dict[str, Any] = {
        "feature": feature,
        "reads": draw(st.sampled_from([["size"], ["roughness"], ["size", "roughness"]])),
        "error": draw(st.sampled_from([0.0, 3.0])),
        "every": draw(st.integers(1, 3)),
        "minutes": draw(durations(0, 2)),
        "guard_band": draw(st.sampled_from([0.0, 2.0])),
        "tries": draw(st.integers(0, 2)),
        "reject": draw(st.sampled_from(["scrap", "salvage", "pass"])),
    }
    own = [name for stroke in strokes.values() for name, cut in stroke["cuts"].items() if cut["feature"] == feature]
    if own and draw(st.booleans()):
        gauge["corrects"] = {"cut": own[0], "share": 0.5, "dead_band": draw(st.sampled_from([0.0, 3.0]))}
    return {"gauge": gauge}


@st.composite
def _operation(draw: st.DrawFn, kinds: list[str], is_first: bool) -> dict[str, Any]:
    """Given by its minutes or by strokes, with machines, people, handling, breakdowns and mishaps."""
    entry: dict[str, Any] = {"machines": draw(st.integers(1, 2))}
    entry["buffer"] = draw(st.sampled_from([0, 0, 1, 3, "unlimited"]))
    if draw(st.booleans()):
        entry["strokes"] = draw(_strokes(kinds))
        if draw(st.booleans()):
            entry["gauges"] = draw(_gauges(entry["strokes"]))
        if draw(st.booleans()):
            entry["chips"] = {"located_on": draw(st.sampled_from(FEATURES)), "chance": 0.2, "clean_minutes": Span(1)}
            entry["chips"] |= {"clean": draw(st.booleans()), "chance_when_cleaned": 0.05}
    else:
        entry["minutes"] = draw(durations(1 if is_first else 0, 6))
        entry["sets"] = draw(st.lists(st.sampled_from(kinds), max_size=2, unique=True))
        entry["scrap_chance"] = draw(st.sampled_from([0.0, 0.1]))
        entry["recut_chance"] = draw(st.sampled_from([0.0, 0.2]))
    entry |= {name: draw(st.one_of(st.just(Span(0)), durations(0, 2))) for name in ("load", "unload", "access")}
    entry |= {pool: "hands" for pool in ("setters", "fitters") if draw(st.booleans())}
    if draw(st.booleans()):
        entry["breakdowns"] = {"between": draw(durations(5, 30)), "repair": draw(durations(0, 6))}
    if draw(st.booleans()):
        entry["disturbs"] = {draw(st.sampled_from(FEATURES)): 4.0}
    return entry


# --- lines and the whole ---------------------------------------------------------------------------------------------


@st.composite
def _line(draw: st.DrawFn, kinds: list[str]) -> dict[str, Any]:
    """One to three operations, castings without end, up to a number, or as they arrive."""
    count = draw(st.integers(1, 3))
    line: dict[str, Any] = {"material": "EN-GJL-250"}
    line["operations"] = {f"Op {10 * (at + 1)}": draw(_operation(kinds, at == 0)) for at in range(count)}
    casting: dict[str, Any] = {"limit": draw(st.sampled_from([None, 7]))}
    if draw(st.booleans()):
        casting["arrivals"] = {
            "between": draw(durations(1, 6)),
            "when_full": draw(st.sampled_from(["wait", "turn away"])),
        }
    line["casting"] = casting
    line["pallets"] = draw(st.sampled_from([None, None, 1, 3]))
    scratch = {"limit": 5.0, "chance_per_move": 0.3, "depth": 10.0}
    as_cast = {"spread": 40.0, "stock": 20.0}
    line["features"] = {
        "face": {"size": {"limits": [99.985, 100.015]}, "roughness": {"limit": 2.0}, "as_cast": as_cast},
        "bore": {
            "kind": "bore",
            "places": draw(st.integers(1, 3)),
            "size": {"limits": [79.97, 80.03]},
            "roughness": {"limit": 2.0},
            "scratch": scratch,
            "as_cast": as_cast,
        },
    }
    return line


@st.composite
def random_content(draw: st.DrawFn, policies: int = 1) -> dict[str, Any]:
    """A whole works as plain values, its times as `Span`; so many policies, named "policy 0", "policy 1", ..."""
    kinds = ["mill", "drill"]
    lines = {f"line {number}": draw(_line(kinds)) for number in range(draw(st.integers(1, 2)))}
    mounted = sum(op["machines"] for line in lines.values() for op in line["operations"].values())
    policy = st.fixed_dictionaries(
        {
            "default": rules(),
            "exceptions": st.one_of(st.just({}), rules().map(lambda rule: {"drill": rule})),
            "group_past": st.sampled_from([None, 0.6]),
        }
    )
    content = {
        "name": "drawn at random",
        "calendar": {"shift": Span(60)},
        "run": {"length": Span(draw(st.sampled_from([100, 200]))), "warm_up": Span(draw(st.sampled_from([0, 37])))},
        "people": {"hands": {"count": draw(st.sampled_from([1, 1, 2]))}},
        "crib": {"grinders": draw(st.integers(1, 2))},
        "handbook": {"grades": PLAIN_GRADE},
        "cutters": {kind: draw(cutters(mounted)) for kind in kinds},
        "lines": lines,
        "policies": {f"policy {number}": draw(policy) for number in range(policies)},
    }
    assume(_is_accepted(content))
    return content


def _is_accepted(content: dict[str, Any]) -> bool:
    """Whether a works makes sense; a rule may have been drawn that asks a gauge where there is none."""
    try:
        works_from_dict(timed(content), "drawn")
    except ScenarioError as error:
        if all("gauge" in problem.path for problem in error.problems):
            return False
        raise
    return True


def random_works(policies: int = 1) -> st.SearchStrategy[Works]:
    """A checked works with so many policies."""
    return random_content(policies).map(lambda content: works_from_dict(timed(content), "drawn"))
