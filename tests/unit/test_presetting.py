"""Sharp sets are preset in the crib before they go onto the shelf: who waits, what it costs, what is said of it."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.desk.people_remarks import on_presetters
from linesim.desk.sets import set_table
from linesim.errors import ScenarioError
from linesim.ledger import ledger_rows
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.report.views.routing_picture import routing_picture
from linesim.result.crib_tables import people_table
from linesim.result.words import findings_of
from linesim.study import run
from linesim.study.search.numbers.answer import Holding
from linesim.study.search.numbers.items import items_of
from linesim.works import Works, changed
from tests.agree.twins import assert_twins_agree, different_fields
from tests.floors import a_shop, a_tool, run_shop

OPERATION = {"minutes": 10.0, "sets": ["blade", "reamer"]}


def preset(length: float, minutes: Any = 3.0, people: Any = None, calendar: Any = None) -> Works:
    """A machine whose two sets, one of a kind, come off after every part: the blade is ground in 5 min, the reamer
    bought in 5; both are then preset.
    """
    stone = {"stock": 1000.0, "minutes": 5.0}
    blade = a_tool(sets=1, presetting=minutes, renewal={"reground": stone})
    reamer = a_tool(sets=1, presetting=minutes, lead_time=5.0)
    return a_shop(
        {"Op 10": OPERATION},
        cutters={"blade": blade, "reamer": reamer},
        rule={"parts": 1},
        length=length,
        people={"tool room": {"count": 1, "rate": 30.0, **(people or {})}},
        crib={"presetters": "tool room"},
        calendar=calendar or {},
    )


def test_sets_wait_for_the_presetter_in_order_of_arrival() -> None:
    """Cut to 10, both sharp at 15, the blade preset to 18, the reamer to 21; every 21 min again (worked by hand)."""
    works = preset(length=63.5)
    seen = run_shop(works)
    assert seen.spans_in("Op 10", State.WAITING_FOR_SET) == [(10.0, 21.0), (31.0, 42.0), (52.0, 63.0)]
    tally, plan = seen.tally, make_plan(works, "as stated")
    assert tally.presettings.tolist() == [3, 3]
    assert tally.preset_min.tolist() == [9.0, 9.0]
    assert tally.preset_waited_min.tolist() == [0.0, 9.0]
    assert people_table(works, plan, tally)[["busy_min", "jobs", "mean_wait_min"]].iloc[0].tolist() == [18.0, 6, 1.5]
    assert not different_fields(tally, assert_twins_agree(plan, 1))


def test_a_trace_tells_where_each_set_is() -> None:
    """The blade is ground at once and preset from 15 to 18; the new reamer waits for the presetter until then."""
    works = preset(length=24.0)
    for engine in ("simpy", "fast"):
        trace = run(works, engine=engine, trace=True).trace
        assert trace is not None
        table = trace.sets
        came = dict(list(table.groupby("cutter", sort=False)))
        assert list(zip(came["blade"]["now_min"], came["blade"]["place"], strict=True)) == [
            (10.0, "waits for a grinder"), (10.0, "at the grinder"), (15.0, "waits for a presetter"),
            (15.0, "at the presetter"), (18.0, "on the shelf"), (18.0, "drawn"),
        ]  # fmt: skip
        assert list(zip(came["reamer"]["now_min"], came["reamer"]["place"], strict=True)) == [
            (10.0, "on order"), (15.0, "waits for a presetter"), (18.0, "at the presetter"), (21.0, "on the shelf"),
            (21.0, "drawn"),
        ]  # fmt: skip
        assert set(came["blade"]["set"]) == {1}
        assert set(came["reamer"]["set"]) == {2}
        assert table[table["place"] == "drawn"]["machine"].tolist() == ["Op 10", "Op 10"]
        assert table[table["place"] != "drawn"]["machine"].isna().all()


def test_the_drawing_of_the_routing_shows_which_sets_are_preset() -> None:
    works = preset(length=63.5)
    drawn = routing_picture(works, desk_figures(works), "line").figure
    sign = next(trace for trace in drawn.data if trace.name == "sharp sets are preset")
    assert list(sign.hovertext) == ["preset by tool room: blade 3.0 min, reamer 3.0 min"]
    without = changed(works, {"cutters": {"blade": {"presetting": 0}, "reamer": {"presetting": 0}}})
    drawn = routing_picture(without, desk_figures(without), "line").figure
    assert "sharp sets are preset" not in [trace.name for trace in drawn.data]


def test_two_of_them_work_at_the_same_time() -> None:
    seen = run_shop(preset(length=37.0, people={"count": 2}))
    assert seen.spans_in("Op 10", State.WAITING_FOR_SET) == [(10.0, 18.0), (28.0, 36.0)]


@pytest.mark.parametrize(("at_bell", "goes_on_min"), [("finishes", 48.0), ("hands over", 51.0)])
def test_a_set_in_hand_at_the_bell_is_finished_or_taken_up_again(at_bell: str, goes_on_min: float) -> None:
    """Shifts of 20 min, nobody in every second one. Both sets sharp at 15, 8 min each. He finishes the blade at 23, and
    the reamer, begun at 40, at 48; or leaves the blade at 20 with 3 min to go and is done with it at 43 and with the
    reamer at 51 (worked by hand).
    """
    calendar = {"shift": 20.0, "shifts_per_day": 2, "days_per_week": 5}
    works = preset(length=60.0, minutes=8.0, people={"by_shift": [1, 0], "at_bell": at_bell}, calendar=calendar)
    seen = run_shop(works)
    assert seen.spans_in("Op 10", State.WAITING_FOR_SET)[0] == (10.0, goes_on_min)
    assert_twins_agree(make_plan(works, "as stated"), 1)


def test_without_minutes_of_presetting_nothing_changes() -> None:
    works = preset(length=600.0, minutes=0.0)
    alone = changed(works, {"crib": {"presetters": None}})
    assert not different_fields(run_shop(works).tally, run_shop(alone).tally)


def test_presetting_is_paid_told_counted_and_remarked_upon() -> None:
    works = preset(length=600.0, minutes=8.0, people={"paid": "attendance"})
    plan = make_plan(works, "as stated")
    tally = run_shop(works).tally
    rows = ledger_rows(works, plan, tally)
    own = rows[rows["what"] == "tool room"]
    assert (own["item"].tolist(), own["minor_units"].tolist()) == (["setters"], [30_000])
    used = changed(works, {"people": {"tool room": {"paid": "time used"}}})
    paid = ledger_rows(used, plan, tally)
    at = paid[paid["what"] == "tool room"]
    assert at["operation"].tolist() == ["Op 10"]
    assert at["minor_units"].sum() == round(float(tally.busy_min[0]) / 60.0 * 3000)
    texts = [finding.text for finding in findings_of(works, plan, tally)]
    assert [text for text in texts if '"reamer"' in text and '"tool room" to preset them' in text], texts
    assert ("setter", "tool room") in [(item.kind, item.name) for item in items_of(works, Holding())]
    sets = set_table(works, plan, "as stated").to_dict(orient="records")
    (remark,) = on_presetters(works, sets, {"line": 0.1})
    assert "presetting keeps 1.60 of 1 busy" in remark


def test_presetting_without_presetters_says_what_to_do() -> None:
    with pytest.raises(ScenarioError) as refused:
        changed(preset(length=60.0), {"crib": {"presetters": None}})
    text = str(refused.value)
    assert '"blade" has minutes of presetting' in text
    assert "name a pool of people there" in text
    with pytest.raises(ScenarioError, match="tool room"):
        changed(preset(length=60.0), {"crib": {"presetters": "tool rom"}})


def test_a_rate_of_pallets_wants_pallets_and_a_rate_of_the_way_wants_carriers() -> None:
    works = a_shop({"Op 10": {"minutes": 1.0}, "Op 20": {"minutes": 1.0, "move": {"minutes": 2.0}}})
    with pytest.raises(ScenarioError, match="rate for its pallets"):
        changed(works, {"lines": {"line": {"pallet_rate": 0.5}}})
    with pytest.raises(ScenarioError, match="say how many carriers"):
        changed(works, {"lines": {"line": {"operations": {"Op 20": {"move": {"rate": 2.0}}}}}})
