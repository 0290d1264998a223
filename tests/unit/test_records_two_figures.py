"""Castings, regrinds, offset practice and counts: from rows to figures, and from figures to a scenario."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.records.castings import SPREAD, casting_figures
from linesim.records.coefficient import UNKNOWN, Coefficient
from linesim.records.counted import SCRAP, count_figures
from linesim.records.fitted import fit_records
from linesim.records.offsets import CORRECTED, DEAD_BAND, offset_figures
from linesim.records.overlay import overlay_of
from linesim.records.reading import Record, Records
from linesim.records.regrinds import MARGIN, PAST_LIMIT, PER_LAND, regrind_figures
from linesim.records.using import uses_of, with_figures
from linesim.report.charts.records_all import records_pictures
from linesim.works import load_works
from tests.benchmarks.recovery_two_figures import CASES, castings, counts, held, offsets, regrinds
from tests.unit.test_records_fitting import rows


def named(figures: list[Coefficient]) -> dict[str, Coefficient]:
    return {each.name: each for each in figures}


@pytest.mark.parametrize("name", CASES)
def test_what_the_laws_write_is_fitted_back(name: str) -> None:
    """Twenty-five logs of known truth: each interval of 95 % holds it in 19 or more (less: 1 time in 1,500)."""
    holds, known = held(name, logs=25, seed=17)
    assert known
    assert all(holds[figure] >= known[figure] - 6 for figure in known), (holds, known)
    assert min(known.values()) >= 23


def test_castings_without_heats_have_their_spread_alone() -> None:
    """4.0, 4.1, 4.2 mm: mean 4.1, spread 100 µm; like castings set nothing."""
    bare = rows("castings", *({"feature": "face", "stock": each} for each in (4.0, 4.1, 4.2)))
    figures = named(casting_figures("face", bare))
    assert figures[SPREAD].interval.value == pytest.approx(100.0)
    assert "heats are not told" in figures[SPREAD].note
    assert casting_figures("face", bare[:1] * 5) == []


def test_a_regrind_takes_land_margin_and_more_past_the_limit() -> None:
    """Exact rows: 0.1 + 2 land + 0.5 past 0.3; lands that are alike give the mean alone."""
    lands = (0.1, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5)
    exact = [{"wear land": land, "metal taken": 0.1 + 2.0 * land + 0.5 * max(0.0, land - 0.3)} for land in lands]
    figures = named(regrind_figures("mill", rows("regrinds", *exact), 0.3))
    values = [figures[name].interval.value for name in (MARGIN, PER_LAND, PAST_LIMIT)]
    assert values == pytest.approx([0.1, 2.0, 0.5])
    alike = regrind_figures("mill", rows("regrinds", *exact[:1] * 9), 0.3)
    assert [each.name for each in alike] == ["mean metal ground away"]


def test_a_sharp_dead_band_lies_between_the_last_left_and_the_first_corrected() -> None:
    """Up to 4 left alone, from 5 on half of it, written against the error."""
    errors = (1.0, -2.0, 3.0, -4.0, 5.0, -6.0, 7.0, 9.0)
    values = [{"error read": each, "offset": -0.5 * each if abs(each) > 4.5 else 0.0} for each in errors]
    figures = named(offset_figures("gauge", rows("offsets", *values)))
    assert figures[CORRECTED].interval.value == pytest.approx(0.5)
    assert "against the error" in figures[CORRECTED].note
    band = figures[DEAD_BAND].interval
    assert band.value == pytest.approx(4.5)
    assert band.low <= 4.0
    assert band.high >= 5.0
    always = offset_figures("gauge", rows("offsets", *({"error read": each, "offset": each} for each in errors)))
    assert [each.name for each in always] == [CORRECTED]


def test_scrap_of_none_is_bounded_and_bad_days_widen_the_interval() -> None:
    """0 of 300: up to 1 - 0.025^(1/300), 1.22 %. The same scrap on one bad day is known less well than evenly."""
    none, even, uneven = (
        named(count_figures("", rows("counts", *({"good": 100 - bad, "scrap": bad} for bad in each))))[SCRAP].interval
        for each in ((0, 0, 0), (3,) * 10, (21, *(1,) * 9))
    )
    assert (none.value, none.low, none.high) == (0.0, 0.0, pytest.approx(1.2221, abs=1e-3))
    assert even.value == pytest.approx(3.0, abs=1e-3)
    assert uneven.high - uneven.low > 2.0 * (even.high - even.low)


def test_figures_go_into_a_scenario_and_are_drawn() -> None:
    """Each kind that a scenario has a place for, with its origin; each has its picture; what has no place is said."""
    works = load_works("scenarios/block-line.yaml")
    line, feature, gauge, operation, cutter = places(works)
    chance = np.random.default_rng(17)
    written: list[tuple[str, dict[str, Any], Any]] = [
        ("castings", {"feature": feature}, castings), ("regrinds", {"set": cutter}, regrinds),
        ("offsets", {"gauge": gauge}, offsets), ("counts", {"machine": "Op 10"}, counts),
    ]  # fmt: skip
    every = tuple(
        Record(f"{kind}.csv", at, kind, value | own)
        for kind, own, write in written
        for at, value in enumerate(write(chance)[0], start=2)
    )
    fitted = fit_records(Records(every), works)
    overlay = overlay_of(fitted, works)
    changed = with_figures(works, overlay)
    own = named(fitted.coefficients)
    cast = changed.lines[line].features[feature].as_cast
    assert cast is not None
    assert cast.spread == pytest.approx(own[SPREAD].interval.value, rel=1e-3)
    ground = changed.cutters[cutter].renewal.reground
    assert ground is not None
    assert (ground.margin, ground.per_wear_land) == (
        pytest.approx(own[MARGIN].interval.value, rel=1e-3), pytest.approx(own[PER_LAND].interval.value, rel=1e-3)
    )  # fmt: skip
    corrects = changed.lines[line].operations[operation].gauges[gauge].corrects
    assert corrects is not None
    assert corrects.share == pytest.approx(own[CORRECTED].interval.value, rel=1e-3)
    assert corrects.dead_band == pytest.approx(own[DEAD_BAND].interval.value, rel=1e-3)
    assert "offsets.csv rows 2-61" in changed.lines[line].operations[operation].about
    assert any("Scrap is foretold" in each for each in overlay.remarks)
    assert any("belongs to the heat" in each for each in overlay.remarks)
    assert {"spread as cast, µm", "ground away per mm of wear land"} <= {each.what for each in uses_of(overlay, works)}
    assert {each.of for each in records_pictures(fitted)} == {feature, cutter, gauge, "Op 10"}


def places(works: Any) -> tuple[str, str, str, str, str]:
    """A line with a feature, a gauge that corrects a cut with its operation, and a reground set."""
    cutter = next(name for name, each in works.cutters.items() if each.renewal.reground is not None)
    for line_name, line in works.lines.items():
        for name, operation in line.operations.items():
            for gauge_name, gauge in operation.gauges.items():
                if gauge.corrects is not None:
                    return line_name, next(iter(line.features)), gauge_name, name, cutter
    raise AssertionError("no gauge corrects a cut")


def test_what_a_scenario_has_no_place_for_is_said() -> None:
    works = load_works("scenarios/smallest.yaml")
    chance = np.random.default_rng(3)
    every = tuple(
        Record("r.csv", at, kind, value | {"set": "ghost", "feature": "ghost", "gauge": "ghost"})
        for kind, write in (("castings", castings), ("regrinds", regrinds), ("offsets", offsets))
        for at, value in enumerate(write(chance)[0], start=2)
    )
    overlay = overlay_of(fit_records(Records(every), works), works)
    assert not overlay.entries
    assert sum('"ghost" is in the records of' in each for each in overlay.remarks) == 3


def test_a_share_that_may_be_nothing_is_not_established() -> None:
    """Castings of which the heats are alike: the step from heat to heat is not told from none."""
    values = [{"batch": str(at % 4), "stock": 4.0 + 0.1 * (at // 4)} for at in range(16)]
    figures = named(casting_figures("face", rows("castings", *values)))
    assert figures["spread from heat to heat"].state == UNKNOWN
    assert figures["spread from heat to heat"].interval.low == 0.0
