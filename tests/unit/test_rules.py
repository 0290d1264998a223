"""The kinds of change rule: what each says of an edge, worked out by hand, on the floor and compiled."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest

from dashboard.forms.trial_fields import kinds_of, trial_rows, with_trial
from linesim.desk.sets import set_table
from linesim.errors import RunError
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.rules import KINDS, NEVER_READ, RuleWay, kind_and_value, kind_of, policy_rule_words, rule_words
from linesim.rules.kind import RuleKind
from linesim.works import Works
from linesim.works.policies import Rule
from tests.builders import flow_line


@dataclass
class Seen:
    """An edge as a rule sees it."""

    parts: int = 0
    cut_min: float = 0.0
    mounted_min: float = 0.0
    parts_since_look: int = 0
    wear_read_mm: float | None = None
    size_read_um: float | None = None
    roughness_read_um: float | None = None
    was_rejected: bool = False
    load_read: float = 0.0


SHIFT_MIN = 480.0
CASES: list[tuple[dict[str, Any], Seen, float, bool, float]] = [
    ({"parts": 8}, Seen(parts=7), 0.0, False, 0.875),
    ({"parts": 8}, Seen(parts=8), 0.0, True, 1.0),
    ({"minutes": 20}, Seen(cut_min=15.0), 0.0, False, 0.75),
    ({"minutes": 20}, Seen(cut_min=20.0), 0.0, True, 1.0),
    ({"life": 0.5}, Seen(cut_min=24.0), 0.0, False, 0.8),
    ({"life": 0.5}, Seen(cut_min=30.0), 0.0, True, 1.0),
    ({"shift": 2}, Seen(parts=3, mounted_min=100.0), 959.0, False, 859.0 / 960.0),
    ({"shift": 2}, Seen(parts=3, mounted_min=100.0), 960.0, True, 860.0 / 960.0),
    ({"shift": 2}, Seen(parts=0, mounted_min=100.0), 960.0, False, 860.0 / 960.0),
    ({"check": {"every": 4, "past": 0.2}}, Seen(parts=9), 0.0, False, 0.0),
    ({"check": {"every": 4, "past": 0.2}}, Seen(wear_read_mm=0.15), 0.0, False, 0.75),
    ({"check": {"every": 4, "past_share": 0.5}}, Seen(wear_read_mm=0.15), 0.0, True, 1.0),
    ({"gauge": {"size": 20, "roughness": 2}}, Seen(), 0.0, False, 0.0),
    ({"gauge": {"size": 20, "roughness": 2}}, Seen(size_read_um=-10.0, roughness_read_um=0.5), 0.0, False, 0.5),
    ({"gauge": {"size": 20, "roughness": 2}}, Seen(size_read_um=-10.0, roughness_read_um=2.5), 0.0, True, 1.25),
    ({"gauge": {"size": 20, "roughness": 2}}, Seen(size_read_um=-21.0), 0.0, True, 1.05),
    ({"gauge": {"roughness": 2}}, Seen(size_read_um=-21.0), 0.0, False, 0.0),
    ({"load": {"past": 1.25}}, Seen(load_read=1.2), 0.0, False, 0.8),
    ({"load": {"past": 1.25}}, Seen(load_read=1.25), 0.0, True, 1.0),
    ({"load": {"past": 1.25}}, Seen(load_read=0.9), 0.0, False, 0.0),
    ({"run_out": True}, Seen(parts=9000, cut_min=9000.0), 9000.0, False, 0.0),
    ({"run_out": True}, Seen(was_rejected=True), 0.0, True, 0.0),
]


@pytest.mark.parametrize(("entry", "edge", "now_min", "is_due", "share"), CASES, ids=str)
def test_what_a_rule_says_of_an_edge(
    entry: dict[str, Any], edge: Seen, now_min: float, is_due: bool, share: float
) -> None:
    """The set lasts 60 min on average and is dull at 0.3 mm; so the floor asks, and so the compiled engine."""
    kind, value = kind_and_value(Rule(**entry))
    figures = kind.figures(value, 60.0, 0.3)
    none_read = Seen(**vars(edge))
    none_read.wear_read_mm = NEVER_READ if edge.wear_read_mm is None else edge.wear_read_mm
    none_read.size_read_um, none_read.roughness_read_um = edge.size_read_um or 0.0, edge.roughness_read_um or 0.0
    for seen in (edge, none_read):
        assert kind.is_due(figures, seen, now_min, SHIFT_MIN) is is_due
        assert kind.share(figures, seen, now_min, SHIFT_MIN) == pytest.approx(share)


def test_every_kind_that_is_compiled_has_a_case_that_is_due_and_one_that_is_not() -> None:
    seen = {(next(iter(entry)), is_due) for entry, _, _, is_due, _ in CASES}
    assert seen == {(kind.entry, is_due) for kind in KINDS if kind.is_compiled for is_due in (True, False)}


def test_only_a_rule_by_looks_wants_one() -> None:
    kind, value = kind_and_value(Rule(check={"every": 4, "past": 0.2}))
    figures = kind.figures(value, 60.0, 0.3)
    assert [kind.wants_look(figures, Seen(parts_since_look=parts)) for parts in (3, 4, 5)] == [False, True, True]
    first, value = kind_and_value(Rule(check={"every": 4, "first": 10, "past": 0.2}))
    later = first.figures(value, 60.0, 0.3)
    seen = [Seen(9, parts_since_look=9), Seen(10, parts_since_look=10), Seen(13, parts_since_look=3)]
    assert [kind.wants_look(later, edge) for edge in seen] == [False, True, False]
    assert kind.wants_look(later, Seen(14, parts_since_look=4))
    others = [kind for kind in KINDS if not kind.looks]
    assert len(others) == len(KINDS) - 1
    assert not any(kind.wants_look(figures, Seen(parts_since_look=99)) for kind in others)


def _works(rule: Any) -> Works:
    """One machine that cuts two minutes a part with a set that lasts 60."""
    cutters = {"tool": {"sets": 1, "renewal": {"indexed": {"edges": 1000}}, "life": 60, "change": 0}}
    cutters["tool"] |= {"breaking": "never", "wear_limit": 0.3}
    return flow_line(
        [2], operations={"Op 10": {"sets": ["tool"]}}, length=480, warm_up=0,
        works={"cutters": cutters, "policies": {"one": {"default": rule}}},
    )  # fmt: skip


CHANGES = [
    ({"parts": 8}, 29, 8.0),
    ({"minutes": 20}, 23, 10.0),
    ({"life": 0.5}, 15, 15.0),
    ({"shift": 1}, 0, 240.0),
    ({"check": {"every": 4, "past_share": 0.5, "minutes": 0}}, 14, 16.0),
    ({"check": {"every": 4, "first": 5, "past_share": 0.5, "minutes": 0}}, 14, 17.0),
    ({"check": {"every": 4, "first": 22, "past_share": 0.5, "minutes": 0}}, 10, 22.0),
    ({"load": {"past": 1.24, "growth": 0.5, "noise": 0}}, 15, 15.0),
    ("run out", 0, 30.0),
]


@pytest.mark.parametrize(("rule", "changes", "parts"), CHANGES, ids=str)
def test_changes_in_a_shift_of_two_minutes_a_part_on_both_engines_and_at_the_desk(
    rule: Any, changes: int, parts: float
) -> None:
    """A change falls due before the part after the last, so that the one at 480 min is not made."""
    works = _works(rule)
    plan = make_plan(works, "one")
    for run in (run_floor, run_fast):
        assert run(plan, 1, 0).planned.tolist() == [changes]
    assert set_table(works, plan, "one")["parts_between"].tolist() == [parts]


@pytest.mark.parametrize(("first", "looks"), [(None, 59), (5, 56), (22, 10), (200, 1), (500, 0)])
def test_edges_are_looked_at_from_the_first_look_on(first: int | None, looks: int) -> None:
    """240 parts less the last, after which nobody asks; an edge is dull after 15 of them, and goes at the next look.

    Of 239 parts 14 times 16 and 15 more, looked at after 4, 8, 12 and 16; 14 times 17 and 1 more, after 5, 9, 13 and
    17; 10 times 22 and 19 more, after 22; 200 and 39 more, after 200; 500 never come.
    """
    plan = make_plan(_works({"check": {"every": 4, "first": first, "past_share": 0.5, "minutes": 0}}), "one")
    for run in (run_floor, run_fast):
        assert run(plan, 1, 0).looks.tolist() == [looks]


def test_every_kind_is_counted_in_a_shift_but_those_that_need_more_than_minutes() -> None:
    """The rule by the gauge is worked out where there is something to gauge, in `test_floor_gauging`."""
    entries = {next(iter(rule)) if isinstance(rule, dict) else "run_out" for rule, _, _ in CHANGES}
    assert entries | {"gauge"} == {kind.entry for kind in KINDS if kind.is_compiled}


def test_the_compiled_engine_refuses_a_rule_that_it_cannot_ask() -> None:
    plan = make_plan(_works({"parts": 8}), "one")
    own = replace(plan, rules=plan.rules._replace(way=np.array([RuleWay.OWN])))
    with pytest.raises(RunError, match='cannot ask a rule of the kind "own"; run it on the SimPy floor'):
        run_fast(own, 1, 0)
    unknown = replace(plan, rules=plan.rules._replace(way=np.array([len(RuleWay)])))
    for run in (run_fast, run_floor):
        with pytest.raises(ValueError, match="is not a valid RuleWay"):
            run(unknown, 1, 0)


def test_every_kind_has_a_number_and_a_number_its_kind() -> None:
    assert {kind.entry for kind in KINDS} == set(Rule.model_fields)
    assert [kind_of(way).way for way in RuleWay] == list(RuleWay)


WORDS = {
    "parts": ({"parts": 60}, "after 60 parts"),
    "minutes": ({"minutes": 12.5}, "after 12.5 cutting minutes"),
    "life": ({"life": 1}, "at their full life"),
    "shift": ({"shift": 3}, "every 3 shifts"),
    "check": (
        {"check": {"every": 1, "past_share": 0.9}},
        "when a look every part finds them worn past 0.9 of their wear limit",
    ),
    "gauge": ({"gauge": {"size": 20, "roughness": 2}}, "when a gauge reads past 20 µm or Ra 2 µm"),
    "load": (
        {"load": {"past": 1.2, "readings": 5}},
        "when the spindle's load, in the mean of 5 parts, reads past 1.2 of a sharp edge's",
    ),
    "run_out": ({"run_out": True}, "only when broken or a part fails"),
    "own": ({"own": {"name": "mine"}}, 'by the own rule "mine"'),
}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: str(kind.entry))
def test_what_a_rule_is_called_in_a_sentence(kind: Any) -> None:
    entry, words = WORDS[kind.entry]
    rule = Rule(**entry)
    assert rule_words(rule) == words
    whole = "running the cutters out" if kind.entry == "run_out" else f"changing the cutters {words}"
    assert policy_rule_words(rule) == whole
    assert " their " not in rule_words(rule, of_one=True)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind.label], ids=lambda kind: str(kind.entry))
def test_a_rule_goes_through_the_trial_form_unchanged(kind: Any) -> None:
    entry, _ = WORDS[kind.entry]
    works = _works(entry)
    rows = trial_rows(works, "one")
    assert rows[0].kind == kind.label
    assert kind.label in kinds_of(rows[0])
    again = with_trial(works, "one", rows, {row.key: (row.kind, row.interval) for row in rows}, "trial", "")
    assert again.policies["trial"].default == works.policies["one"].default


def test_an_average_edge_that_no_rule_changes_by_an_interval_is_shown_with_its_full_life() -> None:
    works = _works("run out")
    words = set_table(works, make_plan(works, "one"), "one")["worked_out"].tolist()
    assert words == ["at its full life: its rule sets no interval"]
    never = set_table(works, make_plan(works, "one"), None)["parts_between"].tolist()
    assert never == [30.0]
    assert not math.isinf(never[0])


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.entry)
def test_a_kind_that_reads_rejects_says_that_it_waits_for_them(kind: RuleKind) -> None:
    assert kind.waits_for_reject == ("was_rejected" in kind.is_due.__code__.co_names)
