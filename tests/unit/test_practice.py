"""What every practitioner knows: the alternatives that claims set against each other, draws, verdicts, what is shown.

Whether a claim is so in a works is a result, not a rule; the small works of these tests is made so that each claim has
something to be about. Draws are those of the scenario's seed.
"""

from __future__ import annotations

import io
import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from rich.console import Console
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.errors import StudyError
from linesim.report.page.practice_page import practice_page
from linesim.report.terminal.practice import claim_result, practice_text
from linesim.study import StudyOptions
from linesim.study.practice import CLAIMS, Practice, Practices, PracticeStudy
from linesim.study.practice.alter import moved, only_cuts, unsorted, with_operation, without_gauge
from linesim.study.practice.answer import Record
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.compared import NOT_SO, OPEN, SO
from linesim.study.practice.draw import Draw, as_it_is, drawn
from linesim.study.practice.spare import slowed, with_time_to_spare
from linesim.study.practice.surfaces import first_cuts, metal_only, on_stiff_heads, one_heavy_cut, two_cuts
from linesim.study.search.sensitivity.inputs import inputs_of
from linesim.works import Works, changed
from linesim.works.walks import cuts_of
from linesim.works.writing import to_yaml
from tests.practice_works import a_practice_works
from tests.unit.test_study_pages import printed

DRAWS = 5


@pytest.fixture(scope="module")
def works() -> Works:
    return a_practice_works()


@pytest.fixture(scope="module")
def asked(works: Works) -> Practice:
    return PracticeStudy(works, letters="adgij", options=StudyOptions(DRAWS)).run()


def depths(works: Works, feature: str) -> dict[str, float]:
    """Depths of the cuts of a feature, by the name of the cut."""
    return {at.name: at.cut.depth for at in cuts_of(works) if at.cut.feature == feature}


# alternatives


def test_first_cuts_leave_one_cut_of_each_feature_and_what_is_ground_alone(works: Works) -> None:
    left = first_cuts(works)
    assert depths(left, "face") == {"face rough": 2.0}
    assert depths(left, "bore") == {"bore rough": 2.4}
    assert depths(left, "seat") == {}
    assert left.lines["head"].operations["Op 60"].minutes is not None
    assert depths(works, "bore") == {"bore rough": 2.4, "bore semi-finish": 0.7, "bore finish": 0.3}


def test_one_heavy_cut_takes_all_the_metal_with_the_last_cutter_and_leaves_what_follows(works: Works) -> None:
    heavy = one_heavy_cut(works)
    assert depths(heavy, "bore") == {"bore finish": pytest.approx(3.4)}
    assert depths(heavy, "face") == {"face finish": pytest.approx(2.3)}
    assert depths(heavy, "seat") == {"seat": 0.15}
    [finish] = [at for at in cuts_of(heavy) if at.name == "bore finish"]
    assert (finish.cut.cutter, finish.cut.feed) == ("fine blade", 0.12)


def test_metal_only_leaves_a_feature_that_is_only_ground(works: Works) -> None:
    assert depths(metal_only(works), "seat") == {"seat": 0.15}
    assert len(depths(metal_only(works), "bore")) == 3


def test_two_cuts_share_the_metal_and_a_stiff_head_is_ten_times_as_stiff(works: Works) -> None:
    assert depths(two_cuts(works), "bore") == {"bore rough": pytest.approx(3.1), "bore finish": 0.3}
    stiff = {at.name: at.cut.stiffness for at in cuts_of(on_stiff_heads(works)) if at.cut.feature == "bore"}
    assert set(stiff.values()) == {60.0}


def test_gauges_that_only_note_turn_nothing_down_but_go_on_correcting(works: Works) -> None:
    weak = with_operation(works, "head", "Op 30", power=1e-3)
    assert unsorted(weak).lines["head"].operations["Op 30"].power is None
    gauge = unsorted(weak).lines["head"].operations["Op 30"].gauges["depth gauge"]
    assert (gauge.reject, gauge.tries) == ("pass", 0)
    assert gauge.corrects is not None


def test_a_correction_of_a_cut_that_is_gone_goes_with_it_and_so_does_a_gauge_with_nothing_to_read(works: Works) -> None:
    left = only_cuts(works, lambda at: None if at.name in ("chamber", "seat") else at.cut)
    assert not left.lines["head"].operations["Op 30"].gauges
    assert not left.lines["head"].operations["Op 50"].gauges


def test_operations_change_places_and_nothing_else(works: Works) -> None:
    early = moved(works, "head", "Op 60", "Op 10")
    assert list(early.lines["head"].operations) == ["Op 10", "Op 60", "Op 20", "Op 30", "Op 40", "Op 50"]
    assert next(iter(moved(works, "head", "Op 40", None).lines["head"].operations)) == "Op 40"
    assert early.lines["head"].operations["Op 60"] == works.lines["head"].operations["Op 60"]


def test_a_gauge_less_is_one_gauge_less(works: Works) -> None:
    left = without_gauge(works, "head", "Op 50", "dial gauge")
    assert [list(each.gauges) for each in left.lines["head"].operations.values() if each.gauges] == [["depth gauge"]]


def test_only_operations_well_under_the_constraint_are_slowed(works: Works) -> None:
    spare = with_time_to_spare(works)
    before = {at.path: at.cut.speed for at in cuts_of(works)}
    for at in cuts_of(slowed(works)):
        factor = 0.8 if (at.at.line_name, at.at.name) in spare else 1.0
        speed = before[at.path]
        assert at.cut.speed == (None if speed is None else pytest.approx(factor * speed))
    assert 0 < len(spare) < 6


# draws


def test_a_draw_is_even_by_ratio_within_the_stated_range_and_the_same_for_the_same_seed(
    works: Works, monkeypatch: pytest.MonkeyPatch
) -> None:
    inputs, given = inputs_of(works), []

    def noted(_: Works, factors: Any) -> Works:
        given.append({one.name: factor for one, factor in factors})
        return works

    monkeypatch.setattr("linesim.study.practice.draw.with_factors", noted)
    for number in range(400):
        drawn(works, inputs, 3, number)
    again = given[0]
    given.clear()
    drawn(works, inputs, 3, 0)
    assert given == [again]
    monkeypatch.undo()
    draws = [list(np.random.Generator(np.random.Philox(key=[3, number])).random(len(inputs))) for number in range(400)]
    life = inputs.index(next(one for one in inputs if one.kind == "life"))
    one = inputs[life]
    factors = [one.factor(shares[life]) for shares in draws]
    assert again[one.name] == factors[0]
    assert one.low <= min(factors)
    assert max(factors) <= one.high
    # The median of an even draw by ratio is the geometric mean; 400 draws miss it by 0.1 in the share at 4.0 sigma,
    # two-sided false-alarm rate 6e-5.
    below = np.mean([factor < math.sqrt(one.low * one.high) for factor in factors])
    assert abs(below - 0.5) < 0.1


def test_an_alternative_that_two_claims_ask_for_is_run_once(works: Works) -> None:
    draw = Draw(works, 11, 0)
    first = draw.seen("the same", as_it_is)
    assert draw.seen("the same", first_cuts) is first
    assert draw.runs == 1
    assert first.contribution == draw.as_it_stands.contribution


def test_an_alternative_that_cannot_be_cut_shows_nothing(works: Works) -> None:
    draw = Draw(works, 11, 0)
    seen = draw.seen("no power", lambda each: with_operation(each, "head", "Op 10", power=1e-3))
    assert math.isnan(seen.contribution)
    assert math.isnan(seen.figure("head", "face", "size", "sd"))
    assert draw.runs == 0


# verdicts


class _Plain(Claim):
    """A claim of which the catalogue of words has nothing."""

    words, rests_on, otherwise = "A is below b.", "nothing", "Where it is not."  # type: ignore[assignment]


def a_claim(pairs: list[list[Pair]]) -> Record:
    return Record(_Plain("z", lambda _: "", lambda _: iter(())), "", pairs)


def a_pair(less: float, more: float, of: str = "bore") -> Pair:
    return Pair(of, "a < b", "µm", less, more)


def test_a_claim_holds_in_a_draw_only_if_all_of_its_comparisons_do() -> None:
    record = a_claim([[a_pair(1, 2), a_pair(3, 2)], [a_pair(1, 2), a_pair(1, 2)], [a_pair(math.nan, 2)]])
    assert record.verdicts == [False, True]
    assert not record.comes_out


def test_nine_draws_of_ten_are_enough_and_eight_are_not() -> None:
    good, bad = [a_pair(1, 2)], [a_pair(2, 1)]
    assert a_claim([good] * 9 + [bad]).comes_out
    assert not a_claim([good] * 8 + [bad] * 2).comes_out


def test_equal_figures_do_not_hold_unless_slack_is_given() -> None:
    assert a_pair(2, 2).holds is False
    assert Pair("bore", "a <= b", "µm", 2.09, 2.0, 0.05).holds is True
    assert Pair("bore", "a <= b", "µm", 2.11, 2.0, 0.05).holds is False


def test_why_names_the_weakest_comparison_and_where_it_need_not_be_so() -> None:
    weak = a_claim([[a_pair(1, 2), a_pair(5, 4, "face")], [a_pair(1, 2), a_pair(3, 2, "face")]])
    said = (
        "face, a < b: 4 and 3 µm in the mean (a difference of -1 ± 0), so in 0 of 2 draws; the draws say the opposite"
    )
    assert weak.why == f"{said}. Where it is not."
    assert weak.in_the_mean == NOT_SO
    assert a_claim([[a_pair(1, 2)]]).why == "bore, a < b: 1 and 2 µm in the mean"


@pytest.mark.parametrize(
    ("margins", "says", "result", "words"),
    [
        (
            (3.0, -1.0),
            SO,
            "so in the mean: 10 of 20",
            "a single run may say otherwise, as its luck is larger than that.",
        ),
        ((1.0, -1.0), OPEN, "open: 10 of 20", "that is no more than the luck of the runs. Where it is not."),
        ((1.0, -3.0), NOT_SO, "not so: 10 of 20", "the draws say the opposite. Where it is not."),
    ],
)
def test_the_mean_tells_a_small_difference_from_none_and_from_the_opposite(
    margins: tuple[float, float], says: str, result: str, words: str
) -> None:
    """Twenty margins of sd 2.05: half a t interval of 95 % is 2.093 x 2.05 / sqrt(20), 0.96."""
    record = a_claim([[a_pair(10.0, 10.0 + margin)] for margin in margins * 10])
    assert not record.comes_out
    assert record.in_the_mean == says
    assert claim_result(record.row()) == result
    assert record.why.endswith(words)
    [row] = record.details()
    assert (row["difference"], row["half_width"]) == pytest.approx(
        (sum(margins) / 2.0, abs(margins[0] - margins[1]) * 0.240), rel=1e-2
    )


def test_one_comparison_against_a_claim_is_enough_and_all_intervals_hold_together() -> None:
    """Two comparisons: of each 97.5 %. A margin of 1.1 is outside of its own 95 % (0.96) and not of 97.5 % (1.11)."""
    margins = [3.1 if number % 2 else -0.9 for number in range(20)]
    alone = a_claim([[a_pair(10.0, 10.0 + margin)] for margin in margins])
    beside = a_claim([[a_pair(10.0, 10.0 + margin), a_pair(1.0, 2.0, "face")] for margin in margins])
    against = a_claim([[a_pair(1.0, 2.0), a_pair(2.0, 1.0, "face")]] * 5)
    assert (alone.in_the_mean, beside.in_the_mean, against.in_the_mean) == (SO, OPEN, NOT_SO)


def test_slack_counts_in_the_mean_too_and_one_draw_says_nothing() -> None:
    slack = [[Pair("bore", "a <= b", "µm", 2.05 + 0.01 * (number % 2), 2.0, 0.05)] for number in range(6)]
    assert a_claim(slack).in_the_mean == SO
    assert a_claim([[a_pair(1.0, 2.0)]]).in_the_mean == OPEN
    assert a_claim([[a_pair(1.0, 2.0)]]).comes_out


def test_a_clear_difference_about_as_small_as_what_counts_as_equal_is_not_called_luck() -> None:
    """2.08 and 2.12 by turns against 2.00, where 5 % (2.10) count as equal: -0.10 ± 0.01 and half of the draws."""
    near = [[Pair("bore", "a <= b", "µm", 2.08 + 0.04 * (number % 2), 2.0, 0.05)] for number in range(40)]
    record = a_claim(near)
    assert record.in_the_mean == OPEN
    assert "that is beyond luck, but hardly more than the 5 % that count as equal" in record.why
    loose = [[Pair("bore", "a <= b", "µm", 1.0 + 2.2 * (number % 2), 2.0, 0.05)] for number in range(40)]
    assert "no more than the luck of the runs" in a_claim(loose).why


def test_a_claim_with_nothing_to_compare_does_not_apply() -> None:
    row = a_claim([[a_pair(math.nan, 1)]]).row()
    assert (row["applies"], row["holds"], row["draws"]) == (False, 0, 0)
    assert row["why"] == "no run shows the figures that are compared"


# claims on the small works


def share_of(answer: Practice, letter: str) -> tuple[int, int]:
    row = answer.claims.set_index("claim").loc[letter]
    return int(row["holds"]), int(row["draws"])


def details_of(answer: Practice, of: str, what: str) -> Any:
    rows = answer.details
    [row] = rows[(rows["of"] == of) & (rows["what"] == what)].to_dict(orient="records")
    return row


@pytest.mark.parametrize("letter", ["d", "g", "i", "j"])
def test_claims_come_out_where_the_works_has_what_they_are_about(asked: Practice, letter: str) -> None:
    assert share_of(asked, letter) == (DRAWS, DRAWS)


def test_a_finish_cut_leaves_a_better_finish_than_the_rough_cut(asked: Practice) -> None:
    for feature in ("face", "bore"):
        row = details_of(asked, f"head / {feature}", "Ra: last cut < first cut")
        assert (row["holds"], row["draws"]) == (DRAWS, DRAWS)


def test_what_moves_a_face_after_its_last_cut_adds_its_own_scatter(asked: Practice) -> None:
    row = details_of(asked, "head / Op 40: face", "sd of size: before < after last cut")
    # Independent scatters add by their squares: 25 µm from the operation. Some 3000 faces in five draws: a standard
    # deviation has a standard error of sd / sqrt(2 n), 0.3 µm; 2 µm are 6 sigma.
    added_um = 1000.0 * math.sqrt(row["more"] ** 2 - row["less"] ** 2)
    assert added_um == pytest.approx(25.0, abs=2.0)


SOFT = {
    "cutters": {"rough blade": {"lead_angle": "60 deg"}, "fine blade": {"lead_angle": "45 deg"}},
    "lines": {
        "head": {
            "features": {"bore": {"position": {"limit": "15 um"}, "squareness": {"limit": "15 um"}}},
            "operations": {
                "Op 20": {
                    "stiffness": "5 N/um",
                    "chips": {"chance": 0, "chance_when_cleaned": 0},
                    "strokes": {"finish": {"cuts": {"bore finish": {"feed": "0.2 mm"}}}},
                }
            },
        }
    },
}


def test_one_cut_on_a_soft_head_does_not_hold_position_and_three_do() -> None:
    """A share mu = k / (k + K) of the core's shift stays: with k of 0.16 N/µm (lead 45°) against 5, 3 % of 500 µm."""
    answer = PracticeStudy(a_practice_works(**SOFT), letters="b", options=StudyOptions(DRAWS)).run()
    assert share_of(answer, "b") == (DRAWS, DRAWS)
    one, stands, stiff = (row["less"] for row in answer.details.to_dict(orient="records"))
    assert one < 0.5
    assert stands == stiff == 1.0


def test_a_cut_that_leaves_nothing_of_what_it_finds_holds_position_in_one() -> None:
    leaves = {"leaves": {"position": 0, "tilt": 0, "form": 0}}
    true = changed(
        a_practice_works(**SOFT),
        {"lines": {"head": {"operations": {"Op 20": {"strokes": {"finish": {"cuts": {"bore finish": leaves}}}}}}}},
    )
    answer = PracticeStudy(true, letters="b", options=StudyOptions(2)).run()
    assert share_of(answer, "b") == (0, 2)


def test_on_a_stiff_head_two_cuts_would_do() -> None:
    stiff = changed(a_practice_works(**SOFT), {"lines": {"head": {"operations": {"Op 20": {"stiffness": "60 N/um"}}}}})
    answer = PracticeStudy(stiff, letters="b", options=StudyOptions(2)).run()
    assert share_of(answer, "b") == (2, 2)
    assert list(answer.details["what"]) == ["1 < two cuts"]
    assert list(answer.details["unit"]) == ["Cpk"]


def test_a_chip_costs_more_than_cleaning_where_tilt_is_limited_and_else_nothing_is_claimed(works: Works) -> None:
    answer = PracticeStudy(works, letters="c", options=StudyOptions(DRAWS)).run()
    assert share_of(answer, "c") == (DRAWS, DRAWS)
    clean = {"lines": {"head": {"operations": {"Op 20": {"chips": {"chance": "0.2 %"}}}}}}
    assert share_of(PracticeStudy(changed(works, clean), letters="c", options=StudyOptions(1)).run(), "c") == (0, 0)


def test_on_pads_so_far_apart_that_nothing_tilts_a_chip_is_not_worth_its_cleaning() -> None:
    """With L of ten kilometres a chip of 60 µm tilts nothing (h l / L), and it costs a few seconds to clean it off."""
    wide = {"lines": {"head": {"operations": {"Op 20": {"locating": {"pads": "10000000 mm"}}}}}}
    answer = PracticeStudy(a_practice_works(**wide), letters="c", options=StudyOptions(2)).run()
    [row] = answer.details.to_dict(orient="records")
    tilting = PracticeStudy(a_practice_works(), letters="c", options=StudyOptions(2)).run().details.iloc[0]
    assert row["more"] - row["less"] < 0.2 * (tilting["more"] - tilting["less"])


def test_a_finish_mill_whose_teeth_run_out_leaves_a_worse_face_than_the_rough_one() -> None:
    loose = {
        "cutters": {
            "face mill": {"run_out": "400 um"},
            "end mill": {"run_out": "2 um", "diameter": "100 mm", "teeth": 6},
        }
    }
    rough = {"face rough": {"cutter": "end mill", "feed": "0.1 mm"}}
    strokes = {"lines": {"head": {"operations": {"Op 10": {"strokes": {"rough": {"cuts": rough}}}}}}}
    answer = PracticeStudy(a_practice_works(**loose, **strokes), letters="a", options=StudyOptions(2)).run()
    row = details_of(answer, "head / face", "Ra: last cut < first cut")
    assert (row["holds"], row["draws"]) == (0, 2)


def test_looking_at_edges_is_asked_with_heats_and_without() -> None:
    heats = {"lines": {"head": {"casting": {"heats": {"of": 80, "life": "40 %"}}}}}
    answer = PracticeStudy(a_practice_works(**heats), letters="f", options=StudyOptions(2)).run()
    assert list(answer.details["of"]) == ["with heats", "without heats"]
    first, second = answer.details.to_dict(orient="records")
    assert (first["less"], first["more"]) != (second["more"], second["less"])


def test_aims_and_corrections_are_set_against_intervals() -> None:
    answer = PracticeStudy(a_practice_works(), letters="l", options=StudyOptions(2)).run()
    [row] = answer.details.to_dict(orient="records")
    assert row["what"] == "gained: by best interval < by levers"
    assert row["more"] > 0.0  # edges drift here, and nothing else centres the bore


def test_edges_that_do_not_drift_leave_nothing_to_the_levers() -> None:
    """With a clearance of next to nothing, and no gauge that corrects, aims move nothing and gain nothing."""
    square = {name: {"clearance_angle": "0.001 deg"} for name in ("rough blade", "fine blade", "end mill", "face mill")}
    stiff = {name: {"stiffness": "100000 N/um"} for name in ("Op 10", "Op 20", "Op 30", "Op 60")}
    stiff["Op 30"]["gauges"] = {"depth gauge": {"corrects": None}}
    works = a_practice_works(cutters=square, lines={"head": {"operations": stiff}})
    [row] = PracticeStudy(works, letters="l", options=StudyOptions(2)).run().details.to_dict(orient="records")
    drifting = PracticeStudy(a_practice_works(), letters="l", options=StudyOptions(2)).run().details.iloc[0]
    assert abs(row["more"]) < 0.05 * drifting["more"]


def test_without_scratches_there_is_nothing_that_a_late_cut_could_save() -> None:
    careful = a_practice_works(lines={"head": {"features": {"face": {"scratch": {"chance_per_move": "0 %"}}}}})
    answer = PracticeStudy(careful, letters="g", options=StudyOptions(1)).run()
    assert share_of(answer, "g") == (0, 0)
    assert "last cut some operations after the others" in answer.claims.loc[0, "why"]


def test_an_edge_that_stands_off_for_weeks_is_off_its_aim_though_it_hardly_scatters() -> None:
    """One edge for the whole run, 50 µm too deep by a bias of its setting: scatter does not see what the gauge does."""
    lasting = {"end mill": {"setting": {"bias": "50 um"}, "life": "100000 min"}}
    rules = {"by parts": {"default": {"parts": 60}, "exceptions": {"end mill": {"parts": 100_000}}}}
    draw = Draw(a_practice_works(cutters=lasting, policies=rules), 11, 0)
    without = draw.seen("without", lambda each: without_gauge(each, "head", "Op 30", "depth gauge"))
    assert draw.as_it_stands.off_aim("head", "chamber", "size") < 0.02
    assert without.off_aim("head", "chamber", "size") == pytest.approx(0.05, abs=0.01)
    assert without.figure("head", "chamber", "size", "sd") < 0.02
    assert math.isnan(without.off_aim("head", "chamber", "tilt"))


def test_a_gauge_of_nothing_but_error_does_not_hold_the_depth() -> None:
    blind = {"head": {"operations": {"Op 30": {"gauges": {"depth gauge": {"error": "400 um", "reject": "pass"}}}}}}
    answer = PracticeStudy(a_practice_works(lines=blind), letters="j", options=StudyOptions(3)).run()
    assert share_of(answer, "j") == (0, 3)


# what is shown


def test_tables_fit_a_hundred_columns_and_every_claim_stands_once(asked: Practice) -> None:
    text = printed(practice_text(Practices((asked,))))
    assert max(map(len, text.splitlines())) <= 100
    for record in asked.records:
        assert text.count(f"({record.claim.letter}) ") == 1
    assert "so: 5 of 5" in text


def test_a_long_reason_folds_below_where_it_begins(asked: Practice) -> None:
    console = Console(width=100, file=io.StringIO())
    console.print(practice_text(Practices((asked,))))
    assert isinstance(console.file, io.StringIO)
    text = console.file.getvalue()
    claims = text[text.index("(a) ") : text.index("Every comparison")].splitlines()
    assert all(line.startswith(("(", "    ")) or not line.strip() for line in claims)
    assert sum(line.startswith("    ") for line in claims) > 3 * len(asked.records)


def test_the_page_holds_claims_reasons_and_comparisons(asked: Practice) -> None:
    page = practice_page(Practices((asked,)), "linesim practice")
    for row in asked.claims.to_dict(orient="records"):
        assert f"{row['holds']} of {row['draws']}" in page
        assert str(row["rests_on"]).replace("'", "&#39;") in page
    assert "default-src &#39;none&#39;" in page or "default-src 'none'" in page


def test_letters_are_those_of_claims_and_each_claim_has_its_own(works: Works) -> None:
    assert len({claim.letter for claim in CLAIMS}) == len(CLAIMS)
    with pytest.raises(StudyError, match='there is no claim "z"; letters among'):
        PracticeStudy(works, letters="az", options=StudyOptions(1)).run()


def called(*arguments: Any) -> Any:
    return CliRunner().invoke(app, ["practice", *(str(argument) for argument in arguments)])


def test_the_command_prints_every_claim_as_json(works: Works, tmp_path: Path) -> None:
    file = tmp_path / "small.yaml"
    file.write_text(to_yaml(works), encoding="utf-8")
    shown = called(file, "--draws", 1, "--claims", "fg", "--json")
    assert shown.exit_code == 0, shown.stderr
    claims = json.loads(shown.stdout)["claims"]
    assert [each["claim"] for each in claims] == ["f", "g"]
    assert [each["applies"] for each in claims] == [False, True]
    assert [(each["holds"], each["draws"]) for each in claims] == [(0, 0), (1, 1)]
    assert all(each["why"] and each["works"] == works.name for each in claims)


def test_without_a_file_the_lines_of_the_demo_are_wanted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    shown = called("--draws", 1)
    assert shown.exit_code == 2
    assert "name a scenario file" in shown.stderr
