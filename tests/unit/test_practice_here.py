"""Why a claim of practice does not come out, in minutes and money of the works itself; figures are worked by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from linesim.study.practice import CLAIMS
from linesim.study.practice.answer import Record
from linesim.study.practice.claim import Pair
from linesim.study.practice.cleaning import CHIPS
from linesim.study.practice.gauges import LAST_GAUGE
from linesim.study.practice.here import heats_add, looks_cost, paces
from linesim.study.practice.looking import LOOKING
from linesim.study.practice.spare import SLOWER
from linesim.works import Works, changed, load_works

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"


def demo(name: str) -> Works:
    return load_works(SCENARIOS / f"{name}-line.yaml")


def test_a_gauge_at_the_constraint_is_said_to_cost_output_and_how_much() -> None:
    """1.2 min at every second head: 0.6 min of the cycle, by hand; 500 EUR an hour are earned with it."""
    works = demo("head")
    minutes = paces(works)["head", "Op 70"].minutes
    told = LAST_GAUGE.here(works, "head / valve seats: dial gauge", 500.0)
    assert f"The dial gauge takes 0.6 min of each part's {minutes:.3g} at Op 70, and the line waits for it" in told
    assert f"up to {60.0 / minutes:.2g} % of the output, some {0.6 / minutes * 500.0:.2g} of 500 EUR/h." in told
    assert "It reads one part in 2" in told


def test_a_gauge_where_there_is_time_to_spare_is_said_to_cost_none() -> None:
    works = changed(demo("head"), {"lines": {"head": {"operations": {"Op 80": {"load": "0.1 min"}}}}})
    told = LAST_GAUGE.here(works, "head / joint face: height gauge", 500.0)
    share = paces(works)["head", "Op 80"].share
    assert share < 0.9
    assert f"which has {100.0 * share:.0f} % of the longest operation's minutes: it hardly costs output." in told


def test_a_chip_whose_tilt_a_later_cut_makes_good_is_said_to() -> None:
    """12 s of cleaning; chips under 3 castings in 100 and, cleaned, under 0.3."""
    told = CHIPS.here(demo("head"), "head / Op 20", 500.0)
    assert 'Op 80 cuts "joint face" again, clamped anew' in told
    assert "Cleaning takes 0.2 min" in told
    assert "It spares 2.7 parts in a hundred a chip" in told
    assert "cuts" not in CHIPS.here(demo("head"), "head / Op 80", 500.0)
    # The block's bottom face is finished on the top face, and takes its tilt over.
    assert "cuts" not in CHIPS.here(demo("block"), "block / Op 20", 500.0)


def test_looks_are_said_to_take_time_from_the_first_one_on() -> None:
    """A minute at every so many parts, at the busiest operation: by hand from the edges' lives on paper.

    Of an edge that lasts one life there are looks at 0.6, 0.7, ... 1.0, or at 0.6 and 0.85: five, or two.
    """
    works = demo("head")
    busiest = "Op 20"  # of the two that mount the mill; its edges last a little less, and it is the busier one
    told = looks_cost(works, ((0.6, 0.1), (0.6, 0.25)), frozenset({"rough mill"}))
    assert f"at {busiest} they take" in told
    few, many = (float(each) for each in re.findall(r"they take ([\d.]+) to ([\d.]+) %", told)[0])
    assert 0.0 < few < many < 100.0 / paces(works)["head", busiest].minutes
    assert many == pytest.approx(few * 2.5, rel=0.25)
    assert looks_cost(works, ((0.6, 0.1),), frozenset()) == ""
    # Edges of the chambers last hundreds of heads: busy or not, looks at them hold nothing up.
    busy = changed(works, {"lines": {"head": {"operations": {"Op 30": {"load": "8 min"}}}}})
    assert paces(busy)["head", "Op 30"].share > paces(busy)["head", "Op 20"].share
    edges = frozenset({"rough mill", "chamber rough cutter"})
    assert "at Op 20 they take" in looks_cost(busy, ((0.6, 0.1), (0.6, 0.25)), edges)
    assert LOOKING.here(works, "without heats", 0.0) == ""


def test_heats_are_set_against_what_edges_differ_by_anyway() -> None:
    """Lives that scatter by 15 % with the heat and 22 % by themselves, both lognormal: ((1.0225)(1.0484) - 1)^(1/2)."""
    told = heats_add(demo("head"), frozenset({"rough mill"}))
    assert told.startswith("Heats scatter the life of edges by 15 %, and edges of one heat differ by 22 % anyway: 27 %")
    alike = changed(demo("head"), {"lines": {"head": {"casting": {"heats": None}}}})
    assert heats_add(alike, frozenset({"rough mill"})) == ""
    assert "differ by 22 % anyway" in LOOKING.here(demo("head"), "with heats", 0.0)


def test_where_setters_are_paid_for_attendance_slower_cuts_save_edges_alone() -> None:
    works = changed(demo("head"), {"lines": {"head": {"operations": {"Op 80": {"load": "0.1 min"}}}}})
    told = SLOWER.here(works, "operations with time to spare", 500.0)
    assert "Op 80" in told
    assert "save no wages" in told
    used = changed(works, {"people": {"setters": {"paid": "time used"}}})
    assert "wages" not in SLOWER.here(used, "operations with time to spare", 500.0)


def test_what_is_said_of_the_works_itself_takes_the_place_of_the_general() -> None:
    claim = replace(CLAIMS[0], here=lambda works, of, more: f"{works.name}: {of} at {more:g}.")
    pairs = [[Pair("bore", "a < b", "µm", less, less - 1.0)] for less in (5.0, 3.0)]
    record = Record(claim, "", pairs, demo("head"))
    assert replace(record, works=None).why.endswith(claim.otherwise)
    assert record.why.endswith("the draws say the opposite. Canal-boat diesel, cylinder head: bore at 3.")
