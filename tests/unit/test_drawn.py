"""What a line can have is on the drawing of its routing: each entry of an operation, with an example of it."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.desk import desk_figures
from linesim.report.views.routing_picture import routing_picture
from linesim.works.operations import Operation
from tests.floors import a_blade, a_cut, a_shop, a_tool

Content = dict[str, Any]

FACE = {"face": {"size": {"limits": [99.98, 100.02]}, "height": 100, "length": 100, "as_cast": {"stock": 20}}}
CUTS = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}
TESTED = {"floor": 0.1, "cause": "leak", "rejected": {"repair": {"minutes": 5, "succeeds": 0.5, "tries": 2}}}
GAUGE = {"gauge": {"feature": "face"}}
ROOM = {"carry": 20, "meanwhile": "quarantine"}
IN_ROOM = {"gauge": {"feature": "face", "where": "measuring room"}}
BREAKDOWNS = {"between": {"exponential": {"mean": 400}}, "repair": 20}
AGES = {"ages": {"shape": 2, "scale": 400}, "repair": 20, "overhaul": {"every": 300, "minutes": 60}}

DRAWN: dict[str, tuple[Content, Content]] = {
    "about": ({"about": "the base"}, {}),
    "machines": ({"machines": 2}, {}),
    "buffer": ({"buffer": 3}, {}),
    "minutes": ({"minutes": 7}, {"minutes": 6}),
    "strokes": (CUTS, {"minutes": 1}),
    "load": ({"load": 1}, {}),
    "unload": ({"unload": 1}, {}),
    "setters": ({"setters": "hands"}, {}),
    "fitters": ({"fitters": "hands"}, {}),
    "chips": (CUTS | {"chips": {"located_on": "face", "chance": 0.1, "clean": True, "clean_minutes": 1}}, CUTS),
    "gauges": (CUTS | {"gauges": GAUGE}, CUTS),
    "breakdowns": ({"breakdowns": AGES}, {"breakdowns": BREAKDOWNS}),
    "turns_bad": (CUTS | {"turns_bad": {"chance": 0.01, "shift": 20}}, CUTS),
    "test": ({"test": TESTED}, {}),
    "first_piece": (CUTS | {"first_piece": {"minutes": 4}}, CUTS),
    "measuring_room": (CUTS | {"gauges": IN_ROOM, "measuring_room": ROOM}, CUTS | {"gauges": GAUGE}),
    "magazine": (CUTS | {"magazine": {"sisters": {"blade": 3}}}, CUTS),
    "breakage_probe": (CUTS | {"breakage_probe": {"minutes": "4 s"}}, CUTS),
    "batch": ({"batch": {"most": 4}}, {}),
    "move": ({"move": {"minutes": 2, "carriers": 2}}, {}),
    "only": ({"only": ["long"]}, {}),
    "minutes_by_type": ({"minutes": 5, "minutes_by_type": {"long": 9}}, {"minutes": 5}),
    "changeover": ({"changeover": {"minutes": 20}}, {}),
    "sequence": (
        {"changeover": {"minutes": 20}, "buffer": 3, "sequence": "same type first"},
        {"changeover": {"minutes": 20}, "buffer": 3},
    ),
    "attended": ({"load": 1, "attended": {"by": "hands", "jobs": ["load"]}}, {"load": 1}),
    "branch": ({"branch": "this way"}, {}),
    "takes_off": ({"takes_off": "caps"}, {}),
    "joins": ({"buffer": 2, "joins": {"caps": {}}}, {"buffer": 2}),
    "unlike": ({"machines": 2, "unlike": {"old": {"time": 2}, "new": {}}}, {"machines": 2}),
    "warm_up": (CUTS | {"warm_up": {"rise": 20, "minutes": 60, "cools": 60}}, CUTS),
    "fixtures": (CUTS | {"fixtures": {"count": 3, "position": 5}}, CUTS),
}
"""Each entry with what has it, and the same without it."""

NOT_DRAWN = {
    "after", "sets", "access", "power", "efficiency", "max_rpm", "stiffness", "disturbs", "locating", "clamping",
    "does", "spindle_tilt", "scrap_chance", "recut_chance", "rate", "operators", "turn", "next_machine", "assumed",
}  # fmt: skip
"""Figures and rules within a machine, money and marks."""


def _drawn(spec: Content) -> str:
    """All that the drawing of a line with this operation in its middle says and shows."""
    middle = spec if spec.keys() & {"strokes", "minutes"} else {"minutes": 6} | spec
    line: Content = {"features": FACE, "parts": {"long": {"share": 0.5}, "short": {"share": 0.5}}}
    if "branch" in spec:
        line["branches"] = {"fork": {"this way": 0.5, "that way": 0.5}}
    joins = "joins" in spec or "takes_off" in spec
    off = {"takes_off": "caps"} if "joins" in spec else {}
    on = {"buffer": 2, "joins": {"caps": {}}} if "takes_off" in spec else {}
    last = {"minutes": 1, "buffer": 1} | on
    line["operations"] = {"Op 10": {"minutes": 1} | off, "Op 20": middle, "Op 30": last}
    if "branch" in spec:
        line["operations"]["Op 25"] = {"minutes": 1, "branch": "that way"}
    lines = {"line": {"material": "EN-GJL-250"} | line}
    if joins:
        lines["caps"] = {"operations": {"mill": {"minutes": 1}}}
    kinds = {"blade": a_blade(sets=9, seen_after=6, breaking={"shape": 2, "scale": 1.5}), "tool": a_tool()}
    works = a_shop(lines=lines, cutters=kinds, people={"hands": {}})
    return str(routing_picture(works, desk_figures(works), "line").figure.to_json())


@pytest.mark.parametrize("entry", DRAWN)
def test_an_entry_of_an_operation_is_on_the_drawing(entry: str) -> None:
    with_it, without = DRAWN[entry]
    assert _drawn(with_it) != _drawn(without)


def test_no_entry_is_forgotten() -> None:
    assert set(Operation.model_fields) == DRAWN.keys() | NOT_DRAWN
    assert not DRAWN.keys() & NOT_DRAWN
