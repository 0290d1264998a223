"""The accounts of position, tilt and form: exact for every part, by source and cut, in words, tables and pictures."""

from __future__ import annotations

import math
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.ask import history
from linesim.cutting.component import SHAPE, Component
from linesim.cutting.locating import Placing, form_of_cut_um, position_of_cut_um, tilt_of_cut_um
from linesim.errors import RunError, StudyError
from linesim.plan.build import make_plan
from linesim.report.page.history_page import history_page
from linesim.report.terminal.history import history_text
from linesim.report.theme.colours import SOURCE_COLOURS, SOURCE_HATCH
from linesim.report.views.life import arising_sheet, life_picture
from linesim.routing import following
from linesim.routing.account import account_of_run
from linesim.routing.shape_tags import Met, shape_after
from linesim.routing.sources import Source
from linesim.routing.tagging import Tags, cast_tags
from linesim.study.one.runs import run_plan
from linesim.works import Works
from linesim.works.carried import carried
from tests.agree.test_twins_held import held_line
from tests.agree.works_at_random import random_works
from tests.floors import a_blade, a_cut, a_shop
from tests.printed import all_show, all_within, html_tables, terminal_tables
from tests.rounds import some_each_time

um = st.floats(-300.0, 300.0)
share = st.floats(0.0, 1.0)
amount = st.floats(0.0, 50.0)
placings = st.builds(
    Placing, st.just(-1.0) | share, st.just(-1.0) | share, st.just(-1.0) | share, share, share, share, share, share,
    share, share, share, share, share, amount, amount, amount, share, amount, share, st.just(math.inf) | share,
)  # fmt: skip
meetings = st.builds(
    Met, placings, st.just(0.0), st.just(0.0), share, amount, amount, um, um, um, amount, st.floats(-4.0, 4.0), share,
    amount, amount, st.floats(0.0, 300.0), um,
)  # fmt: skip


@given(st.sampled_from(SHAPE), meetings, um)
def test_the_parts_of_a_component_sum_to_what_the_law_of_the_cut_gives(of: Component, met: Met, before: float) -> None:
    before = abs(before) if of is Component.FORM else before
    lift = met.chip_um + met.burr_um + met.turned_um
    printed = math.hypot(met.led_um, met.wheel_um)
    value, start = {
        Component.POSITION: (
            position_of_cut_um(met.placing, met.copied, before, lift, met.held_um, met.datum_tilt_um, met.normal),
            before,
        ),
        Component.TILT: (tilt_of_cut_um(met.placing, met.copied, before, lift, met.datum_tilt_um), before),
        Component.FORM: (
            form_of_cut_um(
                met.placing, met.copied, before, met.datum_form_um, met.bow_factor, printed, met.taken_um
            ) ** 2,
            before**2,
        ),
    }[of]  # fmt: skip
    assert shape_after(of, cast_tags(start, 1), 1, met).sum() == pytest.approx(value, rel=1e-9, abs=1e-7)


def carried_in(works: Works) -> Iterator[tuple[int, int]]:
    """Numbers of lines and of the features that carry position, tilt and form."""
    names = [(line, feature) for line, of in works.lines.items() for feature in of.features]
    for number, (line, feature) in enumerate(names):
        if feature in carried(works.lines[line]):
            yield list(works.lines).index(line), number


def assert_agrees(works: Works, policy: str, of: Component) -> set[Source]:
    """Hold every account of a component against a compiled run; which sources had a part in it."""
    plan, seen = make_plan(works, policy), set()
    tally = run_plan(plan, 9, 3, engine="fast")
    for line, number in carried_in(works):
        if tally.places[number] == 0:
            continue
        account = account_of_run(plan, line, number, 9, 3, of)
        assert len(account.parts) == tally.places[number]
        whole = account.parts.sum(axis=(1, 2))
        square = whole.sum() if of is Component.FORM else (whole**2).sum()
        assert square == pytest.approx(tally.square[number, of], rel=1e-9, abs=1e-9)
        assert account.variance[-1].sum() == pytest.approx(
            whole.var(ddof=1) if len(whole) > 1 else 0.0, rel=1e-7, abs=1e-6
        )
        assert account.arising.sum() == pytest.approx(account.variance[-1].sum(), rel=1e-7, abs=1e-6)
        assert account.mean[-1] == pytest.approx(account.arising_mean.sum(axis=0), rel=1e-7, abs=1e-9)
        if of is not Component.FORM:
            assert account.mean[-1].sum() == pytest.approx(tally.total[number, of] / len(whole), rel=1e-7, abs=1e-6)
        seen |= {source for source in Source if account.parts[:, :, source].any()}
    return seen


SEEN = {
    Component.POSITION: {Source.CASTING, Source.CHIPS, Source.FIXTURE, Source.DATUM, Source.CHANCE},
    Component.TILT: {Source.CASTING, Source.CHIPS, Source.FIXTURE, Source.DATUM},
    Component.FORM: {Source.CASTING, Source.OWN_FORM, Source.CLAMPING, Source.DATUM, Source.STRESS},
}


@pytest.mark.parametrize("of", SHAPE)
@pytest.mark.parametrize("reject", ["scrap", "salvage"])
def test_every_part_and_all_sums_agree_with_the_run(reject: str, of: Component) -> None:
    """The follower itself holds every part's account against its true value, and raises where they differ."""
    seen = assert_agrees(held_line(reject), "as stated", of)
    assert seen - {Source.SALVAGE} == SEEN[of]
    assert (Source.SALVAGE in seen) == (reject == "salvage" and of is not Component.FORM)  # no form is past its limit


@pytest.mark.parametrize("of", SHAPE)
@pytest.mark.parametrize("seed", some_each_time([8800, 8816, 8818, 8828, 8833, 8826], 8800, 8826))
def test_on_a_routing_drawn_at_random_they_agree(seed: int, of: Component) -> None:
    works = random_works(Random(seed), alike=True)
    assert list(carried_in(works))
    assert_agrees(works, "one", of)


@pytest.mark.parametrize(("of", "source"), [(of, source) for of in SHAPE for source in SEEN[of] - {Source.CASTING}])
def test_a_term_left_out_is_noticed(monkeypatch: pytest.MonkeyPatch, of: Component, source: Source) -> None:
    def without(of: Component, tags: Tags, origin: int, met: Met) -> Tags:
        left = shape_after(of, tags, origin, met)
        left[origin, source] = 0.0
        return left

    monkeypatch.setattr(following, "shape_after", without)
    with pytest.raises(RunError, match=f"the account of the {of.words} of part .* does not agree with the run"):
        assert_agrees(held_line("pass"), "as stated", of)


def a_face(turns_bad: Any = None, **entries: Any) -> Works:
    """A face of 100 mm that two cuts make: a rough one on two unlike fixtures, and a clamped one."""
    rough = a_cut(feature="face", copying=0.0, leaves={"own_form": 12.0, "form": 0.0})
    light = a_cut(feature="face", copying=0.0, leaves={"own_form": 4.0, "form": 0.25, "tilt": 0.5})
    measured = [{"tilt": 6.0}, {"tilt": -2.0}]
    operations = {
        "Op 10": {
            "strokes": {"one": {"cuts": {"rough": rough}}}, "fixtures": {"measured": measured},
            "locating": {"on": "foot", "pads": 200.0}, "turns_bad": turns_bad,
        },
        "Op 20": {"strokes": {"one": {"cuts": {"light": light}}}, "clamping": {"bends": 3.0}},
    }  # fmt: skip
    face = {"length": 100.0, "parallelism": {"limit": 50.0}, "as_cast": {"form": 80.0}} | entries
    line = {"features": {"face": face, "foot": {"length": 200.0}}}
    return a_shop(operations, line=line, cutters={"blade": a_blade(life=1e9)}, castings=20, length=100.0)


def test_the_tilt_of_two_fixtures_is_followed_by_hand() -> None:
    """Tilts 6 and -2 over pads of 200 mm are 3 and -1 µm over 100 mm; the second cut leaves half: 1.5 and -0.5."""
    answer = history(a_face(), "face", of="parallelism", replications=1)
    (row,) = answer.arising.to_dict(orient="records")
    assert (row["operation"], row["step"], row["source"]) == ("Op 10", "rough", "fixtures")
    assert (row["mean_um"], row["share"]) == (0.5, 1.0)
    assert row["variance_um2"] == pytest.approx(20.0 / 19.0)
    assert answer.totals["mean_um"].to_list() == [0.0, 1.0, 0.5]
    assert "The tilt of face has a standard deviation of 1" in answer.sentences[0]
    assert "100 % of the variance is fixtures, from Op 10, rough." in answer.sentences


def test_a_machine_that_holds_parts_out_of_square_stands_under_its_fault() -> None:
    """It turns bad at the first part and is never found: 8 over the pads is 4 µm on the face, of which 2 stay."""
    answer = history(a_face({"chance": 1.0, "tilt": 8.0}), "face", of="tilt", replications=1)
    means = answer.arising.set_index("source")["mean_um"]
    assert means.to_dict() == {"fixtures": 0.5, "hidden faults": 2.0}


def test_the_form_is_followed_in_squares_by_hand() -> None:
    """A quarter of 12 µm, 4 of the cut and 3 of the clamps: 9, 16 and 9 µm², of which the root is 5.831 µm."""
    answer = history(a_face(), "face", of="form", replications=1)
    rows = answer.arising.set_index(["operation", "step", "source"])
    assert rows["mean_um2"].to_dict() == pytest.approx({
        ("Op 10", "rough", "form of the cut itself"): 9.0, ("Op 20", "light", "clamping"): 9.0,
        ("Op 20", "light", "form of the cut itself"): 16.0,
    })  # fmt: skip
    assert rows["share"].sum() == pytest.approx(1.0)
    assert (rows["variance_um4"] == 0.0).all()
    assert answer.totals["rms_um"].to_list() == pytest.approx([80.0, 12.0, math.sqrt(34.0)])
    assert "The form of face has a root mean square of 5.83 µm" in answer.sentences[0]
    assert "its account is kept in squares, which add up" in answer.sentences[0]


@pytest.mark.parametrize("of", SHAPE)
def test_it_is_shown_as_it_is_in_terminal_page_picture_and_json(of: Component) -> None:
    answer = history(held_line("pass"), "bore", of=of.words, replications=2)
    measured = answer.measured
    steps, *_, arising, _ = terminal_tables(history_text(answer))
    all_show(steps.column(f"{measured.spread_short} µm"), answer.totals[measured.spread])
    ordered = answer.arising.sort_values(measured.shared, ascending=False, key=abs, kind="stable").head(14)
    all_show(arising.column(f"{measured.shared_words} µm²")[:-1], ordered[measured.shared])
    table, _ = html_tables(history_page(answer))
    rows = answer.arising.sort_values(measured.shared, ascending=False, kind="stable")
    column = table.column(f"{measured.shared_words}, µm²")
    all_within(column, rows[measured.shared], rows[f"{measured.shared}_half_width"])
    picture = life_picture(answer)
    ends = [sum(trace.x[at] for trace in picture.figure.data) for at in range(len(answer.totals))]
    assert ends == pytest.approx(answer.totals[measured.spread].to_list())
    assert len(arising_sheet(answer).rows) == len(answer.arising)
    plain = answer.as_dict()
    assert plain["provenance"]["of"] == of.words
    assert sum(row["share"] for row in plain["arising"]) == pytest.approx(1.0)


def test_every_source_has_a_colour_and_a_hatching_of_its_own() -> None:
    words = {source.words for source in Source}
    assert set(SOURCE_COLOURS) == words
    assert len(set(SOURCE_COLOURS.values())) == len(set(SOURCE_HATCH.values())) == len(words)


def test_the_account_of_a_size_names_the_others_and_that_of_a_datum_whose_it_is() -> None:
    works = held_line("pass")
    assert "This is the account of its size; " in history(works, "bore", replications=1).sentences[-1]
    last = history(works, "bore", of="tilt", replications=1).sentences[-1]
    assert last == "Where the tilt of a datum comes from, its own account says: bottom."
    plain = a_face(parallelism=None, size={"limits": [99.0, 101.0]})
    assert "This is the account" not in " ".join(history(plain, "face", replications=1).sentences)


@pytest.mark.parametrize(
    ("of", "complaint"),
    [
        ("roughness", 'there is no account of "roughness"; one of size, position, tilt, form'),
        ("tillt", 'there is no account of "tillt"; did you mean "tilt"?'),
        ("form", 'nothing asks for position, tilt or form of "face", so that its form is not known. Give it a limit'),
    ],
)
def test_what_has_no_account_is_said(of: str, complaint: str) -> None:
    with pytest.raises(StudyError) as error:
        history(a_face(parallelism=None, size={"limits": [99.0, 101.0]}), "face", of=of, replications=1)
    assert complaint in str(error.value)


def test_what_never_moves_has_an_account_of_nothing() -> None:
    answer = history(a_face(), "face", of="position", replications=1)
    assert answer.arising.empty
    assert answer.totals["sd_um"].to_list() == [0.0] * 3
    assert terminal_tables(history_text(answer))
    assert life_picture(answer).figure.data == ()
