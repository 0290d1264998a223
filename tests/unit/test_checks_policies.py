"""Rules that could never act are refused: exceptions by the set that they name, a default if it acts on none."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.works import changed
from linesim.works.walks import Mount, readings
from tests.unit.changes_refused import BASE, op, refused

SIZE = {"gauge": {"size": 5}}


def policy(default: Any = "run out", **exceptions: Any) -> dict[str, Any]:
    return {"policies": {"p": {"default": default, "exceptions": exceptions}}}


def test_a_gauge_reads_what_the_last_cut_before_it_made() -> None:
    assert readings(BASE) == {Mount("block", "Op 40", "finish blade"): {"size"}}
    later = changed(BASE, op("Op 50", gauges={"air gauge": {"feature": "bores", "reads": ["size", "roughness"]}}))
    assert readings(later)[Mount("block", "Op 50", "stones")] == {"size", "roughness"}
    before = changed(BASE, op("Op 10", gauges={"first gauge": {"feature": "bores"}}))
    assert readings(before) == readings(BASE)


@pytest.mark.parametrize("name", ["finish blade", "Op 40 / finish blade"])
def test_a_rule_may_ask_the_gauge_about_what_it_reads(name: str) -> None:
    assert changed(BASE, policy(**{name: SIZE})).policies["p"].exceptions[name].gauge is not None


def test_a_default_that_asks_the_gauge_passes_over_what_no_gauge_reads() -> None:
    assert changed(BASE, policy(SIZE)).policies["p"].default.gauge is not None


@pytest.mark.parametrize(
    ("changes", "error"),
    [
        (
            policy(**{"rough blade": SIZE}),
            (
                'policies[p].exceptions[rough blade].gauge: no gauge reads what "rough blade" makes (the last cut of a '
                "feature before its gauge counts); a set that a gauge reads (finish blade) was expected\n"
                '    Did you mean "finish blade"?'
            ),
        ),
        (
            policy(**{"Op 50 / stones": SIZE}),
            (
                'policies[p].exceptions[Op 50 / stones].gauge: no gauge reads what "Op 50 / stones" makes (the last '
                "cut of a feature before its gauge counts); a set that a gauge reads (finish blade) was expected"
            ),
        ),
        (
            policy(**{"finish blade": {"gauge": {"size": 5, "roughness": 1}}}),
            (
                "policies[p].exceptions[finish blade].gauge.roughness: no gauge reads the roughness of what "
                '"finish blade" makes, only its size; a gauge with roughness among its reads was expected'
            ),
        ),
        (
            policy(SIZE, **{"finish blade": "run out"}),
            (
                "policies[p].default.gauge: no gauge reads what any set without an exception makes (the last cut of a "
                "feature before its gauge counts); a set that a gauge reads (finish blade) was expected"
            ),
        ),
        (
            policy(SIZE, **{"Op 40 / finish blade": "run out"}),
            (
                "policies[p].default.gauge: no gauge reads what any set without an exception makes (the last cut of a "
                "feature before its gauge counts); a set that a gauge reads (finish blade) was expected"
            ),
        ),
        (
            {**policy(SIZE), **op("Op 40", gauges={"bore gauge": None})},
            (
                "policies[p].default.gauge: no gauge reads what any set without an exception makes (the last cut of a "
                "feature before its gauge counts); a gauge behind its cut was expected"
            ),
        ),
        (
            {**policy(brush={"life": 0.8}), "cutters": {"brush": {"life": None}}},
            (
                'policies[p].exceptions[brush].life: the life of "brush" is not known, because it makes no cuts and '
                "has no life of its own; a set with a life, or another rule, was expected"
            ),
        ),
    ],
)
def test_a_rule_that_can_never_act_is_refused(changes: dict[str, Any], error: str) -> None:
    assert refused(**changes) == f"changes, {error}"


def test_a_rule_by_life_needs_a_life_only_where_it_is_an_exception_or_acts_on_nothing() -> None:
    works = changed(BASE, {**policy({"life": 0.8}), "cutters": {"brush": {"life": None}}})
    assert works.policies["p"].default.life == 0.8
    assert changed(BASE, policy(brush={"life": 0.8})).policies["p"].exceptions["brush"].life == 0.8
    assert changed(BASE, policy(**{"face mill": {"life": 0.8}})).cutters["face mill"].life is None


def test_rules_for_sets_that_nothing_mounts_are_let_be() -> None:
    spare = {"sets": 1, "renewal": {"bought": {}}}
    works = changed(BASE, {**policy(spare=SIZE), "cutters": {"spare": spare}})
    assert works.policies["p"].exceptions["spare"].gauge is not None


def test_a_default_that_holds_for_no_set_is_let_be() -> None:
    every = dict.fromkeys(BASE.cutters, "run out")
    assert changed(BASE, policy(SIZE, **every)).policies["p"].default.gauge is not None


def test_a_gauge_that_is_wrong_itself_brings_no_complaint_about_its_rules() -> None:
    changes = {**policy(**{"finish blade": SIZE}), **op("Op 40", gauges={"bore gauge": {"every": 0}})}
    assert len(refused(**changes).splitlines()) == 1
    wrong = {"corrects": None, "feature": ["bores"]}
    assert len(refused(**{**changes, **op("Op 40", gauges={"bore gauge": wrong})}).splitlines()) == 1
