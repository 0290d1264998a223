"""What is told of machining centres beside their figures: magazine places, false alarms, the drawing of the routing."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from linesim.desk import desk_figures
from linesim.fast.run import run_fast
from linesim.plan.build import make_plan
from linesim.report.views.routing_picture import routing_picture
from linesim.result.magazine_words import load_sentences
from linesim.study.one.shift_record import record_shift
from linesim.study.search import Circulation, Holding
from linesim.study.search.numbers.items import items_of, with_counts
from linesim.works import Works, changed, digest, load_works
from tests.floors import a_shop, a_tool


@cache
def centres() -> Works:
    return load_works(Path(__file__).parents[2] / "scenarios" / "centres.yaml")


def test_magazine_places_are_counted_with_the_sets_and_pockets_that_they_take() -> None:
    works = changed(centres(), {"lines": {"gear case": {"operations": {"Op 10": {"magazine": {"pockets": 16}}}}}})
    items = items_of(works, Holding())
    places = {item.at[2]: at for at, item in enumerate(items) if item.kind == "place"}
    assert [items[at].now for at in places.values()] == [4, 3, 4, 2, 3]
    assert {items[at].least for at in places.values()} == {2, 3}
    counts = [item.now for item in items]
    counts[places["face mill"]] += 1
    counts[places["stud drill"]] -= 1
    counts[places["finish blade"]] += 2
    more = with_counts(works, items, counts)
    magazine = more.lines["gear case"].operations["Op 10"].magazine
    assert magazine is not None
    assert magazine.pockets == 19
    assert more.cutters["face mill"].sets == works.cutters["face mill"].sets + 4
    answer = Circulation(works, "by count", Holding(), items, tuple(counts), "EUR/h", 0.95, 1)
    assert digest(changed(works, answer.changes)) == digest(more)


def test_carriers_are_counted() -> None:
    operations = {"Op 10": {"minutes": 1}, "Op 20": {"minutes": 1, "move": {"minutes": 2, "carriers": 3}}}
    works = a_shop(operations)
    items = items_of(works, Holding())
    assert [(item.words, item.now, item.least) for item in items] == [("carriers to Op 20", 3, 1)]
    move = with_counts(works, items, [4]).lines["line"].operations["Op 20"].move
    assert move is not None
    assert (move.carriers, move.minutes) == (4, works.lines["line"].operations["Op 20"].move.minutes)  # type: ignore[union-attr]


def test_pallets_are_counted() -> None:
    works = a_shop({"Op 10": {"minutes": 1, "sets": ["drill"]}}, line={"pallets": 3}, cutters={"drill": a_tool()})
    items = items_of(works, Holding())
    assert [(item.words, item.now) for item in items] == [("sets of drill", 2), ("pallets of line", 3)]
    assert with_counts(works, items, [2, 5]).lines["line"].pallets == 5
    answer = Circulation(works, "as stated", Holding(), items, (2, 5), "EUR/h", 0.95, 1)
    assert digest(changed(works, answer.changes)) == digest(with_counts(works, items, [2, 5]))


def test_false_and_missed_alarms_are_told_with_what_to_do() -> None:
    """Hard heats mislead the rule; taught for each heat it has noise alone; a mean of six comes too late."""
    deaf = {"default": {"load": {"past": 1.2, "readings": 6, "noise": 0, "per_heat": True}}}
    works = changed(centres(), {"run": {"length": "1 week"}, "policies": {"deaf": deaf}})
    told = {}
    for policy in ("by count", "by load", "by load for each heat", "deaf"):
        plan = make_plan(works, policy)
        tally = run_fast(plan, 1, 0)
        told[policy] = [each for each in load_sentences(works, plan, tally) if '"face mill"' in each]
        if policy == "by load":
            here = plan.mounts.kind == plan.names.kinds.index("face mill")
            alarms, false = np.sum(tally.load_alarms[here]), np.sum(tally.load_false[here])
            assert told[policy][0].startswith(f'Of {alarms} alarms by the load of "face mill" at "Op 10" {false} were ')
    assert told["by count"] == []
    assert "have the base load taught for each heat" in told["by load"][0]
    assert "higher figure" in told["by load for each heat"][0]
    assert "Take a lower figure, or the mean of fewer readings." in told["deaf"][0]


def test_the_drawing_shows_magazines_and_probes() -> None:
    works = centres()
    figure = routing_picture(works, desk_figures(works, works.todays_policy), "gear case").figure
    [magazines] = [trace for trace in figure.data if trace.name == "a magazine with sister cutters"]
    assert list(magazines.x) == [-0.2]
    assert magazines.hovertext[0].startswith(
        "magazine of 24 pockets: 4 of face mill, 3 of rough blade, 4 of stud drill"
    )
    [machines] = [trace for trace in figure.data if trace.name == "machines"]
    assert "probes from the spindle: bore probe" in machines.hovertext[0]


def test_the_replay_of_a_shift_says_where_a_sister_took_over() -> None:
    """Two in three changes need no stop; every one of those is told, and no other."""
    drill = a_tool(sets=9, breaking="never")
    operation = {"minutes": 1, "sets": ["drill"], "magazine": {"sisters": {"drill": 3}}}
    works = a_shop({"Op 10": operation}, cutters={"drill": drill}, rule={"parts": 10}, length=480, line={"worth": 1})
    why = record_shift(works).changes["why"].tolist()
    assert why[:6] == ["due, by a sister", "due, by a sister", "due"] * 2
