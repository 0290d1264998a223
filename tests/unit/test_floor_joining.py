"""Lines that meet on the SimPy floor, worked out by hand."""

from __future__ import annotations

from typing import Any

from linesim.plan.tally import State
from tests.floors import Seen, a_shop, run_shop


def caps_and_blocks(cap: dict[str, Any], block: dict[str, Any], castings: int = 6) -> Seen:
    """Caps are taken off their block, machined apart, and joined to it again."""
    blocks = {
        "Op 10": {"minutes": 1, "takes_off": "caps"},
        "Op 20": {"minutes": 2, "buffer": 3, **block},
        "join": {"minutes": 1, "buffer": 2, "joins": {"caps": {"stock": 4}}},
    }
    lines = {
        "blocks": {"operations": blocks, "casting": {"limit": castings}},
        "caps": {"operations": {"Op c": {"minutes": 4, **cap}}},
    }
    return run_shop(a_shop(lines=lines, length=60))


def test_a_cap_comes_back_to_its_own_block() -> None:
    seen = caps_and_blocks({}, {})
    # The first cap is off at 1 and done at 5, the others four minutes apart; the blocks are there from 3, 5, 7 ... on.
    assert seen.when("loaded", "join", "blocks") == [5.0, 9.0, 13.0, 17.0, 21.0, 25.0]
    assert seen.spans_in("join", State.WAITING_FOR_PART)[0] == (0.0, 3.0)
    assert seen.spans_in("join", State.WAITING_FOR_FELLOW)[:2] == [(3.0, 5.0), (6.0, 9.0)]
    assert seen.tally.fellows_joined.tolist() == [6]


def test_what_has_lost_its_fellow_is_of_no_more_use() -> None:
    no_caps = caps_and_blocks({"scrap_chance": 1.0}, {})
    assert no_caps.tally.scrapped_parts.tolist() == [6, 6]
    no_blocks = caps_and_blocks({}, {"scrap_chance": 1.0})
    assert no_blocks.tally.left_over.tolist() == [6]
    assert no_blocks.tally.shipped.tolist() == [0, 6]
