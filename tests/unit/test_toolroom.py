"""The tool room's plan: weeks that add up to the run, orders worked out by hand, the sheet, the workbook."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.fast.run import run_fast
from linesim.ledger import Ledger
from linesim.plan.build import make_plan
from linesim.study.toolroom.orders import Lead, order_rows
from linesim.study.toolroom.weeks import weeks_of
from linesim.works import Works, changed, load_works

BLOCK = Path(__file__).resolve().parents[2] / "scenarios" / "block-line.yaml"


def block(**run: float) -> Works:
    return changed(load_works(BLOCK), {"run": {"warm_up": 2400, **run}})


def test_the_weeks_of_either_engine_add_up_to_one_long_run() -> None:
    week = block().calendar.minutes_per()["week"]
    works = block(length=3 * week)
    plan = make_plan(works, "by parts")
    ledger, whole = Ledger(works, plan), run_fast(plan, 7, 1)
    weeks = list(weeks_of(plan, ledger, (7, 1), (3, week), "fast"))
    by_kind = np.bincount(plan.mounts.kind, weights=whole.planned + whole.joined + whole.unplanned)
    assert sum(each.changes for each in weeks).tolist() == by_kind.tolist()
    assert sum(each.regrinds for each in weeks).tolist() == whole.regrinds.tolist()
    assert sum(each.used_up for each in weeks).tolist() == whole.bought.tolist()
    assert sum(each.grinder_h for each in weeks) == pytest.approx(whole.busy_min[-1] / 60.0, rel=1e-12)
    assert max(each.out_at_most[0] for each in weeks) == plan.kinds.sets[0] - whole.fewest_sharp[0]
    assert sum(each.regrinds.sum() for each in weeks) > 50.0
    cold = make_plan(changed(works, {"run": {"warm_up": 0}}), "by parts")
    slow, fast = (list(weeks_of(cold, ledger, (7, 1), (2, 200.0), engine)) for engine in ("simpy", "fast"))
    assert fast[1].changes.sum() > 0.0
    for ours, theirs in zip(slow, fast, strict=True):
        assert all(np.array_equal(*pair) for pair in zip(ours, theirs, strict=True))


def test_orders_are_there_before_a_set_is_used_up_in_nineteen_runs_of_twenty() -> None:
    # Used up by the end of week 1, 2, 3, 4 in the worse of two runs: 1, 3, 3, 4. Two weeks of lead time and a part of
    # a third: the order of week 1 covers weeks 1 to 4, and one is on order already.
    used = np.array([[1.0, 2.0, 0.0, 1.0, 2.0], [0.0, 1.0, 1.0, 1.0, 0.0]])
    rows = order_rows(Lead("blade", 2.2, 1, 50.0), used, 2, 0.95)
    assert [tuple(row.values()) for row in rows] == [("blade", 1, 3, 4, 150.0), ("blade", 2, 2, 5, 100.0)]


def test_the_plan_goes_to_page_and_workbook_and_its_page_can_be_asked_again(tmp_path: Path) -> None:
    file = tmp_path / "line.yaml"
    hostile = '=cmd|"<script>alert(1)</script>" a set with a long name for the tool room'
    text = BLOCK.read_text(encoding="utf-8").replace("bore reamer", json.dumps(hostile))
    file.write_text(text, encoding="utf-8")
    page, book = (tmp_path / f"plan.{ending}" for ending in ("html", "xlsx"))
    asked = ["--replications", "3", "--weeks", "14", "--html", str(page), "--excel", str(book)]
    done = CliRunner().invoke(app, ["toolroom", str(file), *asked])
    assert done.exit_code == 0, done.output
    html = page.read_text(encoding="utf-8")
    assert "<script>alert" not in html
    assert not re.search(r"(src|href)=|url\(|@import", html)
    assert html.count("Made ") == 1
    sheets = load_workbook(book)
    weeks, kinds = sheets["weeks"], sheets["kinds"]
    assert weeks["B1"].value == "=SUBTOTAL(109,B3:B16)"
    assert [table.ref for table in weeks.tables.values()] == [f"A2:{weeks.cell(2, weeks.max_column).column_letter}16"]
    assert isinstance(weeks["B3"].value, (int, float))
    reamers = [cell for cell in kinds["A"] if str(cell.value).startswith("'=cmd")]
    assert len(reamers) == 14
    assert {cell.data_type for cell in reamers} == {"s"}
    again = CliRunner().invoke(app, ["rerun", str(page)])
    assert again.exit_code == 0, again.output
    changed_page = tmp_path / "changed.html"
    changed_page.write_text(re.sub(r'"lead_weeks": [\d.]+', '"lead_weeks": 9.5', html, count=1), encoding="utf-8")
    assert CliRunner().invoke(app, ["rerun", str(changed_page)]).exit_code == 1


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (["--weeks", "0"], "at least 1 was expected"),
        (["--weeks", "200"], "104 weeks in all at the most"),
        (["--paper", "A5"], "A4 or Letter was expected"),
        (["--policy", "by part"], 'Did you mean "by parts"?'),
        (["--excel", "plan.csv"], "a workbook's name ends in .xlsx"),
    ],
)
def test_what_cannot_be_planned_is_refused_in_words(asked: list[str], words: str) -> None:
    answer = CliRunner().invoke(app, ["toolroom", str(BLOCK), *asked])
    assert answer.exit_code == 2
    assert words in " ".join(answer.output.split())
