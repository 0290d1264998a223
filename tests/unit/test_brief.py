"""The manager's brief: figures worked out by hand, the proposal as a policy, one page however full it is."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from linesim.ask import advise
from linesim.cli.main import app
from linesim.report.files.pdf_file import write_pdf
from linesim.report.page.brief_page import SIGNED_BY, brief_page
from linesim.study.advice.brief import POLICY, Brief
from linesim.works import load_works, to_yaml, works_from_dict

TODAY = date(2031, 4, 1)


@pytest.fixture(scope="module")
def brief() -> Brief:
    """One machine, a part a minute, edges that last 100 minutes, five minutes a change: 10 parts an edge today."""
    works = works_from_dict(
        {
            "name": "one <b>machine</b>",
            "run": {"length": 21_000, "warm_up": 0, "replications": 2, "seed": 20311},
            "cutters": {"tool": {"sets": 2, "renewal": {"bought": {}}, "life": 100, "change": 5, "breaking": "never"}},
            "lines": {"line": {"worth": 10, "operations": {"Op 10": {"minutes": 1, "sets": ["tool"]}}}},
            "policies": {"today": {"default": {"parts": 10}}},
        }
    )
    return Brief(advise(works, replications=2, workers=1))


def test_the_brief_says_what_was_worked_out_by_hand_and_hands_it_over_as_a_policy(brief: Brief) -> None:
    # n parts take n + 5 minutes; 320 worked hours a month at 10 EUR a part: 54 857 EUR more at 100 parts than at 10.
    by_hand = 320.0 * 10.0 * 60.0 * (100.0 / 105.0 - 10.0 / 15.0)
    assert brief.chosen is not None
    assert brief.chosen.gain.mean == pytest.approx(by_hand, rel=1e-3)
    assert brief.headline.startswith("One change brings +54 8".replace(" 8", "\N{NARROW NO-BREAK SPACE}8"))
    assert any(text.startswith("Saves 2") and "planned changes a week" in text for text in brief.costs)
    assert any("Edges that last shorter or longer than in the scenario: tool." in text for text in brief.doubts)
    assert any("new cards of Op 10" in text for text in brief.steps)
    works, policy = brief.trial
    assert policy == POLICY
    assert works.policies[policy].rule_for("Op 10", "tool").parts == 100
    assert works.todays_policy == "today"
    assert set(brief.as_dict()) >= {"provenance", "sentences", "actions", "figures", "texts"}


@pytest.mark.longer
def test_a_full_brief_stays_on_one_page_and_says_first_what_must_be_said_first(brief: Brief, tmp_path: Path) -> None:
    action = brief.advice.actions[0]
    label = "Change the <script>set of blades with a name that goes on and on</script> at the operation far down " * 3
    many = tuple(replace(action, label=f"{number} {label}") for number in range(5))
    past = ("Goes past the wear limit of Op 60 / blade.",)
    amiss = tuple(f"As it runs today the line does not hold the drawing ({name * 30})." for name in ("top ", "bore "))
    both = replace(action, first=past, label="All five together", moves=5 * action.moves)
    full = Brief(replace(brief.advice, proposals=many, together=both, first=amiss))
    page = brief_page(full, TODAY, "Letter")
    assert "<script>" not in page
    assert page.index("With what is proposed the line goes past the wear limit") < page.index('class="answer"')
    write_pdf(tmp_path / "brief.pdf", page)
    sheets = PdfReader(tmp_path / "brief.pdf").pages
    assert len(sheets) == 1
    assert all(name in sheets[0].extract_text() for name in SIGNED_BY)


@pytest.mark.longer
def test_the_command_writes_the_scenario_with_the_proposal_and_guards_what_lies_there(
    brief: Brief, tmp_path: Path
) -> None:
    file, written = tmp_path / "line.yaml", tmp_path / "advised.yaml"
    file.write_text(to_yaml(brief.advice.works), encoding="utf-8")
    asked = ["brief", str(file), "--replications", "2", "--store", "none", "--workers", "1", "--write", str(written)]
    done = CliRunner().invoke(app, asked)
    assert done.exit_code == 0, done.output
    assert "The first week" in done.output
    assert POLICY in load_works(written).policies
    refused = CliRunner().invoke(app, asked)
    assert refused.exit_code == 2
    assert "lies there already" in " ".join(refused.output.split())
