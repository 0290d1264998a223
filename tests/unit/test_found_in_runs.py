"""What was found in the runs of a comparison, as it is shown: problems first, then what matters most, and no flood."""

from __future__ import annotations

from rich.console import Console

from linesim.ask import compare
from linesim.desk import desk_figures
from linesim.report.page.comparison_page import comparison_page
from linesim.report.terminal.compare import comparison_text
from linesim.study import Comparison
from linesim.works import load_works

FINDINGS = 12


def told() -> Comparison:
    """A comparison of the block line that finds more than a screen takes."""
    answer = compare(load_works("scenarios/block-line.yaml"), replications=2)
    assert len(answer.notes) > FINDINGS
    return answer


def test_a_screen_tells_of_today_and_the_best_and_counts_the_rest() -> None:
    answer = told()
    console = Console(width=400, no_color=True)
    with console.capture() as capture:
        console.print(comparison_text(answer))
    lines = [line.strip() for line in capture.get().splitlines()]
    shown = [line for line in lines if line.startswith('- "')]
    (rest,) = [line for line in lines if "further findings" in line]
    assert int(rest.split()[0]) == len(answer.notes) - len(shown)
    assert {line.split('"')[1] for line in shown} <= {answer.base, answer.best.policy}
    texts = {f'- "{row["policy"]}", {row["runs"]} of 2 runs: {row["text"]}' for _, row in answer.notes.iterrows()}
    assert set(shown) <= texts
    assert shown


def test_a_page_has_them_all_folded_away_by_policy() -> None:
    answer = told()
    page = comparison_page(answer, desk_figures(answer.works))
    for name in answer.names:
        own = answer.notes[(answer.notes["policy"] == name) & ~answer.notes["is_problem"].astype(bool)]
        assert f"{len(own)} findings under &#34;{name}&#34;" in page or f'{len(own)} findings under "{name}"' in page
    assert page.count(" of 2 runs: ") == len(answer.notes)
