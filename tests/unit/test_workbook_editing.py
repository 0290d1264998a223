"""A scenario under the hands of who puts it in: what is typed stays, and what belongs to a row goes with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim.errors import Cell, ScenarioError, StudyError
from linesim.works import Works, changed, load_works
from linesim.works.book.editing import Draft, Names
from linesim.works.book.layout import layout_of

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
OP_20: Names = ("block", "Op 20")


@pytest.fixture(scope="module")
def block() -> Works:
    return load_works(SCENARIOS / "block-line.yaml")


@pytest.fixture(scope="module")
def draft(block: Works) -> Draft:
    return Draft.of(block)


def everywhere(draft: Draft, name: str) -> list[str]:
    """Sheets on which a cell says a name, once for each cell."""
    return [title for title, grid in draft.grids.items() for row in grid[1:] for cell in row if cell == name]


@pytest.mark.parametrize("is_inch", [False, True])
def test_what_is_laid_out_reads_back_to_the_same(block: Works, is_inch: bool) -> None:
    assert Draft.of(block, is_inch).works("again") == block


def test_an_operation_is_renamed_wherever_it_is_spoken_of(block: Works, draft: Draft) -> None:
    new = draft.renamed("Operations", OP_20, "Op 25").works("new").lines["block"].operations
    old = block.lines["block"].operations
    assert list(new) == ["Op 25" if name == "Op 20" else name for name in old]
    assert new["Op 25"] == old["Op 20"]


def test_what_a_set_is_called_changes_in_cuts_operations_and_policies(block: Works, draft: Draft) -> None:
    name = next(iter(next(iter(policy for policy in block.policies.values() if policy.exceptions)).exceptions))
    new = draft.renamed("Cutters", (name,), "the new one")
    assert not everywhere(new, name)
    assert sorted(everywhere(new, "the new one")) == sorted(everywhere(draft, name))
    works = new.works("new")
    assert "the new one" in works.cutters
    assert any("the new one" in policy.exceptions for policy in works.policies.values())


def test_of_two_lines_only_the_one_is_renamed(block: Works) -> None:
    draft = Draft.of(block)
    grids = {
        title: [grid[0], *(["second", *row[1:]] if grid[0][0] == "line" else row for row in grid[1:])]
        for title, grid in draft.grids.items()
    }
    both = Draft(
        {title: [*grid, *(grids[title][1:] if grid[0][0] == "line" else [])] for title, grid in draft.grids.items()}
    )
    new = both.renamed("Operations", OP_20, "only here").works("new")
    assert "only here" in new.lines["block"].operations
    assert list(new.lines["second"].operations) == list(block.lines["block"].operations)


def test_with_an_operation_all_that_stands_below_it_goes(block: Works, draft: Draft) -> None:
    left = draft.without("Operations", OP_20)
    titles = ("Operations", "Cuts", "Strokes", "Gauges")
    assert not [names for title in titles for names in left.names(title) if names[:2] == OP_20]
    assert len(left.names("Cuts")) == len(draft.names("Cuts")) - sum(
        len(stroke.cuts) for stroke in block.lines["block"].operations["Op 20"].strokes.values()
    )


def test_a_copy_has_all_of_it_and_stands_behind_it(block: Works, draft: Draft) -> None:
    rows = [row for row in draft.rows("Features") if row[1] == "top face"]
    assert len(rows) == 1
    deeper = draft.copied("Operations", OP_20, "Op 25")
    cuts = [names[2:] for names in deeper.names("Cuts") if names[1] == "Op 25"]
    assert cuts == [names[2:] for names in draft.names("Cuts") if names[1] == "Op 20"]
    names = [names[1] for names in deeper.names("Operations")]
    assert names.index("Op 25") == names.index("Op 20") + 1
    with pytest.raises(ScenarioError, match="of stock"):
        deeper.works("the top face is cut twice as deep as there is metal")


@pytest.mark.parametrize(("to", "why"), [("  ", "a name for the copy"), ("Op 30", '"Op 30" is there already')])
def test_a_copy_needs_a_name_of_its_own(draft: Draft, to: str, why: str) -> None:
    with pytest.raises(StudyError, match=why):
        draft.copied("Operations", OP_20, to)


def test_operations_are_passed_in_the_order_of_their_rows(block: Works, draft: Draft) -> None:
    order = list(block.lines["block"].operations)
    up = draft.moved("Operations", ("block", order[5]), -1)
    assert [names[1] for names in up.names("Operations")][4:6] == [order[5], order[4]]
    assert up.moved("Operations", ("block", order[5]), 1).grids == draft.grids
    assert draft.moved("Operations", ("block", order[0]), -1) is draft
    assert draft.moved("Operations", ("block", order[-1]), 1) is draft


def test_what_is_typed_over_added_and_taken_away_is_told_apart(draft: Draft) -> None:
    rows = [list(row) for row in draft.rows("People")]
    pool = str(rows[0][0])
    typed = [*enumerate(rows)]
    typed[0] = (0, ["day setters", *rows[0][1:]])
    new = draft.edited("People", [*typed, (None, ["night hands", 2, None])])
    assert new.names("People")[0] == ("day setters",)
    assert new.names("People")[-1] == ("night hands",)
    assert not everywhere(new, pool)
    gone = draft.edited(
        "Operations", [(at, row) for at, row in enumerate(draft.rows("Operations")) if row[1] != "Op 20"]
    )
    assert gone.grids == draft.without("Operations", OP_20).grids


def test_a_name_typed_over_is_changed_where_its_own_sheet_speaks_of_it(draft: Draft) -> None:
    """An operation says after which other one it comes, and that one gets another name; what is typed beside stays."""
    head, laid_out = draft.grids["Operations"][0], [list(row) for row in draft.rows("Operations")]
    names, after, buffer = [str(row[1]) for row in laid_out], head.index("after"), head.index("buffer")
    laid_out[names.index("Op 30")][after] = "Op 20"
    rows = [list(row) for row in laid_out]
    rows[names.index("Op 20")][1] = "Op 25"
    rows[names.index("Op 40")][buffer] = 3
    new = draft.with_rows("Operations", laid_out).edited("Operations", enumerate(rows)).rows("Operations")
    assert new[names.index("Op 20")][1] == new[names.index("Op 30")][after] == "Op 25"
    assert new[names.index("Op 40")][buffer] == 3


def test_what_cannot_be_read_stays_as_it_was_typed_and_says_its_cell(block: Works, draft: Draft) -> None:
    at = draft.grids["Cuts"][0].index("depth (mm)")
    rows = [list(row) for row in draft.rows("Cuts")]
    rows[2][at] = "3 kg"
    new = draft.with_rows("Cuts", rows)
    assert new.rows("Cuts")[2][at] == "3 kg"
    with pytest.raises(ScenarioError) as caught:
        new.works("your line")
    (problem,) = caught.value.problems
    assert isinstance(problem.line, Cell)
    assert problem.line.name == f"Cuts!{chr(65 + at)}4"
    assert "length" in problem.text
    rows[2][at] = "2,5 mm"
    rows[2][at] = "2,75 mm"
    again = new.with_rows("Cuts", rows).works("your line").lines["block"].operations["Op 20"]
    assert next(cut.depth for stroke in again.strokes.values() for cut in stroke.cuts.values()) == 2.75


def test_every_sheet_of_names_can_be_renamed_in_without_losing_anything(block: Works, draft: Draft) -> None:
    for table in layout_of().tables:
        for names in draft.names(table.title)[:1] if not (table.is_list or table.is_items) else ():
            new = draft.renamed(table.title, names, "another name")
            back = new.renamed(table.title, (*names[:-1], "another name"), names[-1])
            assert back.grids == draft.grids
    assert changed(block, {}) == block
