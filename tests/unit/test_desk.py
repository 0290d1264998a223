"""Desk figures: what a person with a pencil gets from the same scenario."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from linesim.desk import Desk, desk_figures
from linesim.errors import ScenarioError
from linesim.study import run
from linesim.works import Works, changed
from tests.builders import a_works, flow_line

LATE = {"arrivals": {"between": 9}}


def row_of(table: Any, **where: str) -> dict[str, Any]:
    """The one row of a table with these entries."""
    for name, value in where.items():
        table = table[table[name] == value]
    assert len(table) == 1
    return dict(table.iloc[0])


def with_blades(renewal: dict[str, Any], rule: Any = "run out", **cutter: Any) -> Works:
    """Two operations of fixed minutes; the second wears a set of 60 cutting minutes."""
    blade = {"life": 60, "change": 4, "renewal": renewal, "sets": 5, "breaking": "never", **cutter}
    return flow_line(
        [2.0, 3.0],
        ["unlimited"],
        [1, 2],
        {"Op 20": {"sets": ["blade"], "load": 0.5, "unload": 0.5, "access": 2, "setters": "setters"}},
        {
            "people": {"setters": {"count": 1}},
            "cutters": {"blade": blade},
            "policies": {"run out": {"default": rule}},
        },
        length=9600,
    )


def pace(desk: Desk) -> dict[str, Any]:
    return row_of(desk.operations, operation="Op 20")


def test_minutes_per_part_add_up_as_with_a_pencil() -> None:
    # Cycle 0.5 + 3 + 0.5; 2 + 4 min after each 10 parts; a repair of 30 min in 300 cutting minutes.
    works = with_blades({"bought": {}}, {"parts": 10})
    broken = {"line": {"operations": {"Op 20": {"breakdowns": {"between": 300, "repair": 30}}}}}
    row = pace(desk_figures(changed(works, {"lines": broken}), "run out"))
    assert row["handling_min"] == 1.0
    assert row["cycle_min"] == 4.0
    assert row["change_min"] == pytest.approx(0.6)
    assert row["breakdown_min"] == pytest.approx(0.3)
    assert row["minutes_per_part"] == pytest.approx(4.9)
    assert row["parts_per_hour"] == pytest.approx(2 * 60 / 4.9)


def test_the_constraint_has_the_fewest_parts_per_hour_and_the_whole_load() -> None:
    desk = desk_figures(with_blades({"bought": {}}, {"parts": 10}), "run out")
    assert row_of(desk.constraints, line="line")["operation"] == "Op 20"
    assert pace(desk)["load_percent"] == pytest.approx(100.0)
    # 30 parts an hour against 2 machines with 4.6 min a part: 26.09 an hour.
    assert row_of(desk.operations, operation="Op 10")["load_percent"] == pytest.approx(100 * 26.0869565 / 30)


@pytest.mark.parametrize(
    ("rule", "parts"),
    [
        (None, 20),  # 60 min of life at 3 min a part
        ({"life": 0.5}, 10),
        ({"life": 0.51}, 11),  # asked before each part: the eleventh passes the mark
        ({"minutes": 6.0}, 2),
        ({"parts": 7}, 7),
        ({"shift": 1}, 120),  # 480 min of a shift at 4 min a part
        ("run out", 20),
    ],
)
def test_parts_from_change_to_change_follow_the_rule(rule: Any, parts: float) -> None:
    works = with_blades({"bought": {}}, rule or "run out")
    desk = desk_figures(works, at_full_life=rule is None)
    assert row_of(desk.sets, cutter="blade")["parts_between"] == parts


def test_a_rule_without_an_interval_is_said_to_be_reckoned_at_full_life() -> None:
    desk = desk_figures(with_blades({"bought": {}}), "run out")
    assert "its rule sets no interval" in row_of(desk.sets, cutter="blade")["worked_out"]


def test_a_checked_set_is_changed_at_the_first_look_past_the_figure() -> None:
    # Without break-in and acceleration the wear land grows with the life share: 0.15 of 0.3 mm is 10 parts.
    rule = {"check": {"every": 4, "past": 0.15, "minutes": 0.8}}
    desk = desk_figures(with_blades({"bought": {}}, rule, wear_limit=0.3), "run out")
    row = row_of(desk.sets, cutter="blade")
    assert row["parts_between"] == 12
    assert row["look_min_per_part"] == pytest.approx(0.2)
    assert pace(desk)["minutes_per_part"] == pytest.approx(4 + 6 / 12 + 0.2)


@pytest.mark.parametrize(("first", "parts", "looks"), [(2, 10, 3), (3, 11, 3), (10, 10, 1), (11, 11, 1), (30, 30, 1)])
def test_looks_begin_with_the_first_one(first: int, parts: int, looks: int) -> None:
    """Worn past it after 10 parts, looked at every 4 from the first look on."""
    rule = {"check": {"every": 4, "first": first, "past": 0.15, "minutes": 0.8}}
    row = row_of(desk_figures(with_blades({"bought": {}}, rule, wear_limit=0.3), "run out").sets, cutter="blade")
    assert row["parts_between"] == parts
    assert row["look_min_per_part"] == pytest.approx(0.8 * looks / parts)


def test_changes_in_place_and_replacements_are_mixed_by_their_numbers() -> None:
    # Four edges: three indexings of 2 + 4 min and one replacement of 2 + 9 min.
    desk = desk_figures(with_blades({"indexed": {"edges": 4}}, replace=9))
    assert row_of(desk.sets, cutter="blade")["change_min"] == pytest.approx((3 * 6 + 11) / 4)
    # Five dressings that the machine makes by itself need nobody at the spindle: 4 min; then 2 + 4 min.
    desk = desk_figures(with_blades({"dressed": {"dressings": 5, "by_machine": True}}))
    assert row_of(desk.sets, cutter="blade")["change_min"] == pytest.approx((5 * 4 + 6) / 6)


def test_the_desk_foretells_the_pace_of_a_line_in_which_nothing_is_random() -> None:
    works = with_blades({"bought": {}}, {"parts": 10}, sets=20)
    desk = desk_figures(works, "run out")
    simulated = float(run(works, engine="simpy").lines["good_per_hour"].iloc[0])
    assert row_of(desk.constraints, line="line")["parts_per_hour"] == pytest.approx(simulated, rel=0.005)


def test_cuts_carry_speed_feed_power_life_and_what_was_assumed() -> None:
    desk = desk_figures(a_works())
    face, bore = row_of(desk.cuts, cut="deck rough"), row_of(desk.cuts, cut="trail")
    rpm = 1000 * 160 / (math.pi * 200)
    assert face["spindle_rpm"] == pytest.approx(rpm)
    assert face["feed_rate_mm_min"] == pytest.approx(0.2 * 12 * rpm)
    assert face["rating_kw"] == 15.0
    assert 0.0 < face["power_kw"] < 15.0
    assert bore["passes"] == 3
    feed_mm_min = 0.25 * 1000 * 90 / (math.pi * 80.0125)  # the diameter in the middle of the limits
    assert bore["cut_min"] == pytest.approx(3 * (150 + 4) / feed_mm_min)  # 150 mm and 2 mm clear at either end
    assert "by grade coated carbide" in face["assumed"]
    hone = row_of(desk.cuts, cut="hone")
    assert "stiffness" in hone["assumed"]
    assert hone["spindle_rpm"] is None or math.isnan(hone["spindle_rpm"])
    assert hone["copying_percent"] > 0.0


def test_an_edge_that_makes_two_cuts_is_shared_by_both() -> None:
    desk = desk_figures(a_works())
    cuts = desk.cuts[desk.cuts["cutter"] == "face mill"]
    used_per_part = float((cuts["cut_min"] / cuts["life_min"]).sum())
    assert cuts["parts_per_edge"].to_list() == pytest.approx([1 / used_per_part] * 2)


def test_a_set_that_never_dulls_lasts_without_end() -> None:
    works = with_blades({"bought": {}}, life=None)
    row = row_of(desk_figures(works).sets, cutter="blade")
    assert math.isinf(row["parts_per_edge"])
    assert row["change_min_per_part"] == 0.0


@pytest.mark.parametrize(
    ("words", "works"),
    [
        ("no room before \"Op 20\"", lambda: flow_line([1, 1], [0])),
        ("is dull after 0.33 of one part", lambda: with_blades({"bought": {}}, life=1.0)),
        ("no spare, so that a machine waits at every change", lambda: with_blades({"bought": {}}, sets=2)),
        ("once its edges or dressings are used up", lambda: with_blades({"indexed": {"edges": 4}}, sets=2)),
        ("a casting comes every 9 min", lambda: flow_line([1], line={"casting": LATE})),
        ("tool grinders busy", lambda: with_blades({"reground": {"stock": 9, "minutes": 500}})),
        ('"setters": planned changes alone keep', lambda: with_blades({"bought": {}}, change=500)),
        (
            "0.5 mm stay on",
            lambda: a_works(lines={"block": {"features": {"deck": {"as_cast": {"stock": "4 mm"}}}}}),
        ),
        (
            'nothing cuts the feature "studs"',
            lambda: a_works(lines={"block": {"features": {"studs": {"kind": "position"}}}}),
        ),
    ],
)  # fmt: skip
def test_what_a_production_engineer_would_remark_on_is_remarked(words: str, works: Any) -> None:
    assert any(words in remark for remark in desk_figures(works()).remarks), desk_figures(works()).remarks


EVERY_MINUTE = {"casting": {"arrivals": {"between": 1}}}


@pytest.mark.parametrize(
    ("works", "expected"),
    [
        (
            flow_line([2.0], ["unlimited"], line=EVERY_MINUTE),
            'before "Op 10": 60 an hour come, "Op 10" does 30 an hour, and the buffer has no limit.',
        ),
        (
            flow_line([1.0, 2.0], [5, 5], line=EVERY_MINUTE),
            'before "Op 10": 60 an hour come, "Op 20" does 30 an hour, and castings that find no room wait outside.',
        ),
        (
            flow_line([2.0], ["unlimited"], line={"pallets": 4, **EVERY_MINUTE}),
            'before "Op 10": 60 an hour come, "Op 10" does 30 an hour, and castings that find no room wait outside.',
        ),
        (
            flow_line([1.0, 4.0, 1.0], ["unlimited", 3], [1, 3, 1], line=EVERY_MINUTE),
            'before "Op 20": 60 an hour come, "Op 20" does 45 an hour, and the buffer has no limit.',
        ),
        (
            flow_line([1.5, 0.5, 3.0], ["unlimited", 5]),
            'before "Op 20": 40 an hour come, "Op 30" does 20 an hour, and the buffer has no limit.',
        ),
    ],
)  # fmt: skip
def test_more_parts_than_an_endless_buffer_lets_out_are_remarked_with_both_rates(works: Works, expected: str) -> None:
    assert f"line: parts pile up without end {expected}" in desk_figures(works).remarks


@pytest.mark.parametrize(
    "works",
    [
        flow_line([2.0], [5], line={"casting": {"arrivals": {"between": 1, "when_full": "turn away"}}}),
        flow_line([2.0, 1.0], ["unlimited"]),
        flow_line([1.5, 3.0], ["unlimited"], line={"pallets": 12}),
        flow_line([2.0], ["unlimited"], line={"casting": LATE}),
        flow_line([1.0, 5.0], ["unlimited"], line={"casting": LATE}),
    ],
    ids=[
        "castings are turned away",
        "the next is quicker",
        "pallets are few",
        "castings come late",
        "late castings pass a quick one",
    ],
)
def test_no_end_is_not_remarked_where_there_is_one(works: Works) -> None:
    assert not any("without end" in remark for remark in desk_figures(works).remarks)


def test_a_line_in_order_draws_no_remark() -> None:
    room = {"lines": {"line": {"operations": {"Op 20": {"buffer": 5}}}}}
    works = changed(with_blades({"bought": {}}, {"parts": 10}), room)
    assert desk_figures(works).remarks == ()


def test_every_handbook_figure_is_listed_with_its_source() -> None:
    sources = desk_figures(a_works()).sources
    assert {"EN-GJL-250", "carbide on grey iron", "honing stone 220"} <= set(sources["entry"])
    assert set(sources["strength"]) <= {"read", "memory", "derived", "assumption"}
    assert sources["source"].str.len().min() > 3


def test_a_figure_of_the_shop_is_its_own_source() -> None:
    works = a_works(handbook={"grades": {"carbide": {"n": 0.3}}})
    sources = desk_figures(works).sources
    own = sources[(sources["entry"] == "carbide on grey iron") & (sources["figure"] == "n")]
    assert own["source"].to_list() == ["the scenario's own figure"]


def test_an_unknown_policy_is_refused_with_the_known_ones() -> None:
    with pytest.raises(ScenarioError, match=r'no policy "weekly".*"by parts", "run out"'):
        desk_figures(a_works(), "weekly")


def test_all_figures_go_into_json_as_plain_values() -> None:
    content = json.loads(json.dumps(desk_figures(a_works(), at_full_life=True).as_dict(), allow_nan=False))
    assert content["policy"] is None
    assert {row["cut"] for row in content["cuts"]} >= {"lead", "trail", "hone"}
    assert "full life" in content["basis"]
