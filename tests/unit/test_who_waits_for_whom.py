"""A line that stands still is told with who waits for whom, whatever it is that keeps it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.result.words import findings_of
from linesim.works import Works, changed, load_works
from tests.floors import a_blade, a_cut, a_shop, a_tool

Content = dict[str, Any]
WASH: Content = {"minutes": 1, "buffer": 3, "batch": {"most": 3, "least": 3}}


def told(works: Works, plan: Plan | None = None) -> str:
    """All that is said of one run."""
    plan = make_plan(works, next(iter(works.policies))) if plan is None else plan
    return " ".join(finding.text for finding in findings_of(works, plan, run_fast(plan, 1, 0)))


def test_a_batch_that_never_fills_and_what_stands_behind_it() -> None:
    line = {"Op 10": {"minutes": 1}, "wash": WASH, "dry": {"minutes": 1, "buffer": 3}}
    words = told(a_shop(line, length=60, castings=4))
    assert words.startswith("Nothing moves any more from minute ")
    assert (
        'Who waits for whom: "Op 10" is waiting for a part; "wash" is filling a batch with parts from "Op 10"' in words
    )
    assert '"dry" is waiting for a part from "wash".' in words


def test_a_fellow_that_never_comes() -> None:
    """The caps come to an end after two; the third crankcase waits for its own, and what is before it is held up."""
    lines: Content = {
        "crankcase": {"operations": {
            "Op 10": {"minutes": 1},
            "Op 20": {"minutes": 1, "buffer": 1},
            "fit": {"minutes": 1, "buffer": 1, "joins": {"caps": {}}},
        }},
        "caps": {"casting": {"limit": 2}, "operations": {"mill": {"minutes": 1}}},
    }  # fmt: skip
    words = told(a_shop(lines=lines, length=60))
    assert '"fit" is waiting for a fellow part from "mill"' in words
    assert '"Op 20" is held up by "fit"' in words
    assert '"Op 10" is held up by "Op 20"' in words


def test_caps_and_crankcases_of_unlike_classes_that_fill_the_line() -> None:
    face = {"face": {"size": {"limits": [99.98, 100.02]}}}
    bored: Content = {"strokes": {"stroke": {"cuts": {"cut": a_cut(repeatability=10.0)}}}}
    classes = {"feature": "face", "to": "face", "width": 0.01}
    fit: Content = {"minutes": 1, "buffer": 2, "joins": {"caps": {"classes": classes, "stock": 3}}}
    lines: Content = {
        "crankcase": {"material": "EN-GJL-250", "features": face, "operations": {"Op 10": bored, "fit": fit}},
        "caps": {"material": "EN-GJL-250", "features": face, "operations": {"mill": bored}},
    }
    words = told(a_shop(lines=lines, cutters={"blade": a_blade(sets=9)}, length=300))
    assert '"fit" is waiting for a fellow part from "mill"' in words
    assert '"mill" is held up by "fit"' in words
    assert '"Op 10" is held up by "fit"' in words


def test_sisters_that_are_never_made_sharp_again() -> None:
    """Two centres with two sisters each, and no grinder: the next machine gets no drill and holds them up."""
    stone = {"reground": {"stock": 9, "margin": 0.1, "minutes": 15}}
    drill = a_tool(sets=6, breaking="never", renewal=stone)
    centre = {"minutes": 1, "machines": 2, "sets": ["drill"], "magazine": {"sisters": {"drill": 2}}}
    last = {"minutes": 1, "buffer": 1}
    line = {"Op 10": centre, "Op 20": {"minutes": 1, "buffer": 2, "sets": ["drill"]}, "Op 30": last}
    works = a_shop(line, cutters={"drill": drill}, rule={"parts": 10}, length=200, crib={"grinders": 1})
    # No scenario is let in without a grinder for what is reground, so the plan loses it here.
    words = told(works, replace(make_plan(works, next(iter(works.policies))), grinders=0))
    assert (
        'Who waits for whom: "Op 20" waits for a sharp "drill" that never comes, sets of which are at "Op 10"' in words
    )
    assert '"Op 10", machine Op 10 No. 1, is held up by "Op 20"' in words
    assert '"Op 10", machine Op 10 No. 2, is held up by "Op 20"' in words
    assert '"Op 30" is waiting for a part from "Op 20"' in words
    assert "% of its time" not in words.split("Who waits for whom")[1].split(".")[0]


@pytest.mark.longer
def test_centres_that_wait_for_the_setter_and_what_stands_behind_them() -> None:
    """With small magazines the night ends early, and the washer stands behind the centres."""
    works = load_works(Path(__file__).parents[2] / "scenarios" / "centres.yaml")
    few: Content = {
        "sisters": dict.fromkeys(("face mill", "finish mill", "stud drill", "rough blade", "finish blade"), 2)
    }
    few["used_up"] = 1
    spec = {"gear case": {"operations": {"Op 10": {"magazine": few}}}}
    words = told(changed(works, {"run": {"length": "1 week"}, "lines": spec}))
    assert 'Who waits for whom: "Op 10" stands ' in words
    assert "% of its time waiting for a setter; " in words
    assert '% of its time waiting for parts from "Op 10"' in words
    assert '"wash" stands ' in words


def test_who_only_has_less_to_do_is_not_said_to_wait_for_anybody() -> None:
    assert "Who waits" not in told(a_shop({"Op 10": {"minutes": 3}, "Op 20": {"minutes": 1, "buffer": 2}}, length=300))


def test_an_operator_and_what_stands_behind_him() -> None:
    """One operator loads three machines in a row; the next operation waits for what he is late with."""
    attended = {"by": "hands", "jobs": ["load"]}
    line = {
        "Op 10": {"minutes": 1, "load": 4, "machines": 3, "attended": attended},
        "Op 20": {"minutes": 1, "buffer": 2},
    }
    words = told(a_shop(line, length=300, people={"hands": {}}))
    assert 'Who waits for whom: "Op 10" stands ' in words
    assert "waiting for an operator" in words
    assert '"Op 20" stands 75 % of its time waiting for parts from "Op 10"' in words


def test_of_a_long_chain_the_nearest_are_told() -> None:
    attended = {"by": "hands", "jobs": ["load"]}
    line: Content = {"Op 10": {"minutes": 1, "load": 4, "machines": 3, "attended": attended}}
    line |= {f"Op {number}0": {"minutes": 1, "buffer": 2} for number in range(2, 11)}
    words = told(a_shop(line, length=300, people={"hands": {}}))
    assert '"Op 60" stands ' in words
    assert "behind them 4 more operations." in words
