"""What is said of part types and does not fit is refused, each with where and what was expected."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.works import works_from_dict
from tests.floors import PLAIN, a_blade, a_cut

Content = dict[str, Any]


def content(**line: Any) -> Content:
    """A line of two types that cuts a face, with a gauge, and then takes minutes."""
    cut = {"strokes": {"stroke": {"cuts": {"cut": a_cut(feature="face", cutter="blade")}}}}
    cut["gauges"] = {"gauge": {"feature": "face"}}
    parts = {"long": {"share": 0.5}, "short": {"share": 0.5}}
    faces = {"face": {"size": {"limits": [99.98, 100.02]}}}
    operations = {"Op 10": cut, "Op 20": {"minutes": 1, "buffer": 2}}
    return {
        "name": "types",
        "run": {"length": 10, "warm_up": 0},
        "handbook": PLAIN,
        "people": {"setters": {}},
        "cutters": {"blade": a_blade()},
        "lines": {
            "line": {"material": "EN-GJL-250", "parts": parts, "features": faces, "operations": operations, **line}
        },
        "policies": {"as stated": {"default": "run out"}},
    }


def at(whole: Content, *path: Any) -> Content:
    for key in ("lines", "line", *path):
        whole = whole[key]
    return whole


def problems(whole: Content) -> str:
    with pytest.raises(ScenarioError) as caught:
        works_from_dict(whole, "types")
    return str(caught.value)


def test_what_fits_is_taken() -> None:
    works_from_dict(content(), "types")


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ({"a": {"share": 0.5}, "b": {"share": 0.4}}, "the shares add up to 90 %; 100 % were expected"),
        ({"a": {"share": 0.5}, "b": {"batch": 4}}, "either a share of each type or a batch of each was expected"),
        ({"a": {}, "b": {"batch": 4}}, "not every type says how it comes"),
    ],
)
def test_types_come_all_by_share_or_all_by_batch(parts: Content, told: str) -> None:
    assert told in problems(content(parts=parts))


@pytest.mark.parametrize(
    ("path", "entry", "value", "told"),
    [
        (("operations", "Op 20"), "only", ["lnog"], 'Op 20].only[0]: "lnog" is not a part type of this line'),
        (("operations", "Op 10"), "only", ["long"], "castings of all types come in at the first operation"),
        (("operations", "Op 20"), "minutes_by_type", {"wide": 2}, '"wide" is not a part type of this line'),
        (("operations", "Op 10"), "minutes_by_type", {"long": 2}, "minutes by type belong to one given by minutes"),
        (("operations", "Op 20"), "changeover", {"by": "seters"}, '"seters" is not a pool of people'),
        (("operations", "Op 20"), "changeover", {"from_to": {"long": {"long": 2}}}, "needs no changeover to itself"),
        (("operations", "Op 10"), "sequence", "same type first", "castings that arrive were expected"),
        (("operations", "Op 20"), "sequence", "in turn", "a changeover with minutes was expected"),
        (("operations", "Op 20"), "turn", 4, "a turn belongs to the sequence in turn"),
        (("features", "face"), "only", ["wide"], '"wide" is not a part type of this line'),
        (("operations", "Op 10", "strokes", "stroke"), "only", ["long"], 'is not made for "short"'),
    ],
)
def test_what_does_not_fit_is_told(path: tuple[str, ...], entry: str, value: Any, told: str) -> None:
    whole = content()
    at(whole, *path)[entry] = value
    assert told in problems(whole)


def test_the_nearest_type_is_offered() -> None:
    whole = content()
    at(whole, "operations", "Op 20")["only"] = ["lnog"]
    assert 'Did you mean "long"' in problems(whole)


def test_a_part_is_located_on_what_it_has() -> None:
    whole = content()
    at(whole, "features")["foot"] = {"only": ["long"]}
    at(whole, "operations", "Op 10")["locating"] = {"on": "foot", "pads": 300}
    assert '"short" do not have "foot"' in problems(whole)


def test_a_part_comes_back_where_its_type_goes() -> None:
    whole = content()
    at(whole, "operations")["Op 20"] |= {"only": ["long"]}
    repair = {"minutes": 5, "back_to": "Op 20"}
    at(whole, "operations")["Op 30"] = {"minutes": 1, "test": {"floor": 0.1, "rejected": {"repair": repair}}}
    assert '"short" do not come to "Op 20"' in problems(whole)


@pytest.mark.parametrize(
    ("lever", "told"),
    [
        ({"batches": {"lin": {"long": 1, "short": 1}}}, '"lin" is not a line of this works'),
        ({"batches": {"line": {"long": 1, "wide": 1}}}, '"wide" is not a part type of this line'),
        ({"batches": {"line": {"long": 1}}}, 'no batch of "short"'),
        ({"sequences": {"Op 21": "same type first"}}, '"Op 21" is not an operation'),
        ({"sequences": {"Op 20": "in turn"}}, "a changeover with minutes was expected"),
    ],
)
def test_levers_name_what_is_there(lever: Content, told: str) -> None:
    whole = content()
    whole["policies"]["as stated"] |= lever
    assert told in problems(whole)
