"""Variants of a routing that are typed into a table: what they become, what is refused, and that they are kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from dashboard.parts.typed_variants import FILE
from linesim.errors import ScenarioError, StudyError
from linesim.routing.typed_variants import (
    TypedChange,
    change_places,
    copied,
    removed,
    renamed,
    variants_text,
)
from linesim.routing.variants import variants_from_text
from linesim.works import Works, changed, load_works
from tests.unit.dashboard_app import SCENARIOS, desk_of, html_of, texts_of
from tests.unit.test_desks_kept import address_of, forget, opened, press

BLOCK = load_works(SCENARIOS / "block-line.yaml")
AT = "Op 60 (bore cylinders), cut fine"
ROUGH = "Op 60 (bore cylinders), cut rough: depth"
ROWS = [
    TypedChange("deeper", f"{AT}: depth", "0,4 mm"),
    TypedChange("deeper", ROUGH, "2.3 mm"),
    TypedChange("", "", ""),
    TypedChange("three cuts", f"{AT}: left out", ""),
    TypedChange("three cuts", ROUGH, "2.7 mm"),
]


def laid(works: Works, changes: dict[str, object]) -> Works:
    return changed(works, {"lines": {"block": {"operations": changes}}})


def strokes(rough_mm: float, fine: dict[str, float] | None) -> dict[str, object]:
    return {"out and rough": {"cuts": {"rough": {"depth": rough_mm}}}, "fine and finish": {"cuts": {"fine": fine}}}


def test_rows_become_variants_over_the_line_as_it_stands() -> None:
    variants = variants_from_text(variants_text(BLOCK, "block", "by parts", ROWS), BLOCK)
    assert variants.names == ("as it stands", "deeper", "three cuts")
    assert (variants.policy, variants.features) == ("by parts", ("cylinder bores",))
    assert variants.base == BLOCK
    assert variants.items[1].works == laid(BLOCK, {"Op 60": {"strokes": strokes(2.3, {"depth": 0.4})}})
    assert variants.items[1].about == f"{AT}: depth 0,4 mm; {ROUGH} 2.3 mm"
    assert variants.items[2].works == laid(BLOCK, {"Op 60": {"strokes": strokes(2.7, None)}})


def test_an_operation_is_left_out_or_comes_behind_another() -> None:
    rows = [
        TypedChange("early", "Op 80 (finish mill top face): after", "Op 40"),
        TypedChange("none", "Op 110 (drive core plugs): left out", ""),
    ]
    early, none = variants_from_text(variants_text(BLOCK, "block", "by parts", rows), BLOCK).items[1:]
    names = list(BLOCK.lines["block"].operations)
    assert list(early.works.lines["block"].operations)[4] == "Op 80"
    assert list(none.works.lines["block"].operations) == [name for name in names if name != "Op 110"]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        (TypedChange("", f"{AT}: depth", "1 mm"), "row 6, variant: nothing was found"),
        (TypedChange("as it stands", f"{AT}: depth", "1 mm"), "row 6, variant: .as it stands. was found"),
        (TypedChange("x", "Op 61: depth", "1 mm"), "row 6, what changes: .Op 61: depth. is not in this routing"),
        (TypedChange("x", f"{AT}: depth", " "), "row 6, becomes: nothing was found"),
        (TypedChange("deeper", f"{AT}: depth", "1 mm"), "row 6: another row of this variant changes the same"),
        (TypedChange("three cuts", f"{AT}: speed", "90 m/min"), "row 6: .fine. is left out by another row"),
        (TypedChange("three cuts", "Op 60 (bore cylinders): left out", ""), "row 6: another row of this variant"),
    ],
)
def test_a_row_that_is_not_finished_is_told_by_its_number(row: TypedChange, told: str) -> None:
    with pytest.raises(StudyError, match=told):
        variants_text(BLOCK, "block", "by parts", [*ROWS, row])


def test_a_value_that_the_scenario_refuses_is_told_by_its_entry() -> None:
    rows = [TypedChange("x", f"{AT}: depth", "3 kg")]
    with pytest.raises(ScenarioError, match='"3 kg" is a mass'):
        variants_from_text(variants_text(BLOCK, "block", "by parts", rows), BLOCK)


def test_a_variant_is_copied_renamed_and_taken_away_with_all_its_rows() -> None:
    rows = copied(ROWS, "deeper", "deepest ")
    assert [row.variant for row in rows] == ["deeper", "deeper", "", *["three cuts"] * 2, "deepest", "deepest"]
    rows = renamed(removed(rows, "deeper"), "deepest", "deep")
    assert [row.variant for row in rows] == ["", "three cuts", "three cuts", "deep", "deep"]
    for taken in ("three cuts", "", "as it stands"):
        with pytest.raises(StudyError, match="a name that no variant has yet"):
            copied(rows, "deep", taken)


def test_places_of_every_line_have_words_of_their_own_and_lead_somewhere() -> None:
    for name in ("block-line", "head-line", "crankcase-line", "mixed-line", "centres", "smallest"):
        works = load_works(SCENARIOS / f"{name}.yaml")
        for line in works.lines:
            places = change_places(works, line)
            assert len(set(places.values())) == len(places)
            operations = {path[3] for path in places.values()}
            assert operations == set(works.lines[line].operations)


def test_cuts_of_like_names_and_names_full_of_markup_are_told_apart() -> None:
    like = {"depth": 1, "feature": "face", "cutter": "finish mill", "process": "milling", "speed": 100, "feed": 0.1,
            "length": 300, "width": 100}  # fmt: skip
    strokes = {name: {"cuts": {"<b>same</b>": like}} for name in ("first", "second")}
    flange = {"flange": {"operations": {"Op 20": {"strokes": strokes}}}}
    works = changed(load_works(SCENARIOS / "smallest.yaml"), {"lines": flange})
    words = [each for each in change_places(works, "flange") if each.endswith("same</b> of second: depth")]
    assert words == ["Op 20 (mill face), cut <b>same</b> of second: depth"]
    text = variants_text(works, "flange", works.todays_policy, [TypedChange("<i>: {x}", words[0], "0.4 mm")])
    assert variants_from_text(text, works).names[1] == "<i>: {x}"


def test_the_page_asks_what_was_typed_and_keeps_it_over_a_restart(own_store: Path) -> None:
    app = opened({}, "cuts")
    desk = desk_of(app)
    assert desk.kept is not None
    desk.kept.begin(desk.works, desk.origin)
    where = "Op 10 (mill face), cut rough: depth"
    desk.kept.note(FILE, [["<b>deep</b>", where, "3.1 kg"]])
    address = address_of(app) | {"desk": desk.address}
    forget()
    app = opened(address, "cuts")
    press(app, "Set these variants side by side")
    assert "3.1 kg" in " ".join(each.value for each in app.error).replace("\\", "")
    desk_of(app).choices["typed variants"] = None
    desk.kept.note(FILE, [["<b>deep</b>", where, "3.1 mm"]])
    app.run()
    press(app, "Set these variants side by side")
    assert "Which is best: the routing as it stands, or &lt;b&gt;deep&lt;/b&gt;?" in html_of(app)
    press(app, "Copy")
    assert [row.variant for row in desk_of(app).choices["typed variants"].now] == ["<b>deep</b>", "<b>deep</b> (2)"]
    assert "<b>deep" not in texts_of(app).replace("\\", "").replace("&lt;", "")
