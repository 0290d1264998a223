"""The manual: every topic is there, every block in it is right, and the command and the page show it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from linesim.cli import app
from linesim.errors import LinesimError
from linesim.manual import TOPICS, page
from linesim.works import changed, load_works, scenario_schema
from linesim.works.reading import read_text
from tests.manual_entries import entries_page, parts
from tests.unit.dashboard_app import open_page

MANUAL = Path(__file__).resolve().parents[2] / "linesim" / "manual"


def test_each_file_is_a_topic_and_each_topic_a_file() -> None:
    assert {path.stem for path in MANUAL.glob("*.md")} == set(TOPICS)


@pytest.mark.parametrize("topic", TOPICS)
def test_the_command_prints_a_topic(topic: str) -> None:
    printed = CliRunner().invoke(app, ["manual", topic, "--plain"])
    assert printed.exit_code == 0
    assert printed.stdout == page(topic)
    title = page(topic).splitlines()[0].removeprefix("# ")
    assert title in CliRunner().invoke(app, ["manual", topic]).stdout


def test_without_a_topic_the_topics_are_listed() -> None:
    printed = CliRunner().invoke(app, ["manual", "--plain"]).stdout
    assert all(f"`linesim manual {topic}`: {about}\n" in printed for topic, about in TOPICS.items())


def test_an_unknown_topic_is_told_with_those_there_are() -> None:
    expected = f'there is no page "tools" in the manual; there are: {", ".join(TOPICS)}'
    with pytest.raises(LinesimError) as error:
        page("tools")
    assert str(error.value) == expected
    asked = CliRunner().invoke(app, ["manual", "tools"])
    assert asked.exit_code == 2
    assert asked.stderr.strip() == expected


def test_every_command_that_the_manual_names_exists() -> None:
    text = "\n".join(page(topic) for topic in TOPICS)
    shells = "\n".join(re.findall(r"```sh\n(.*?)```", text, flags=re.DOTALL))
    named = set(re.findall(r"`linesim (\w+)", text)) | set(re.findall(r"^linesim (\w+)", shells, flags=re.MULTILINE))
    assert named
    for command in sorted(named):
        assert CliRunner().invoke(app, [command, "--help"]).exit_code == 0, command
    pointed_at = set(re.findall(r"`linesim manual (\w+)`", text))
    assert pointed_at <= set(TOPICS)


def test_the_page_shows_the_topic_that_is_chosen() -> None:
    app = open_page("manual")
    (chosen,) = app.selectbox
    shown = chosen.set_value(TOPICS["trust"]).run()
    assert page("trust").strip() in [block.value.strip() for block in shown.markdown]
    assert page("start").strip() not in [block.value.strip() for block in shown.markdown]


def test_every_entry_of_a_scenario_stands_in_the_manual_with_its_unit_and_default() -> None:
    """A new word lacks its entry until the page is made again: ``python -m tests.manual_entries``."""
    assert page("entries") == entries_page()
    lines = page("entries")
    for where, model in parts().items():
        own = lines.partition(f"## `{where}`\n" if where else "## The file\n")[2].partition("\n## ")[0]
        assert set(model.model_fields) == set(re.findall(r"^- `(\w+)`: .", own, flags=re.MULTILINE)), where


def test_every_part_of_a_scenario_is_walked() -> None:
    schema = scenario_schema()["$defs"]
    named = {name for name, part in schema.items() if part.get("properties") and not name.endswith(" in part")}
    assert named <= {model.__name__ for model in parts().values()}
    assert len(parts()) > 60


def test_the_example_of_parts_and_mishaps_can_be_laid_over_the_demonstration_line() -> None:
    (text,) = [
        block for block in re.findall(r"```yaml\n(.*?)```", page("scenario"), flags=re.DOTALL) if "heats" in block
    ]
    works = changed(load_works("scenarios/block-line.yaml"), read_text(text, "the manual").plain())
    assert works.lines["block"].operations["Op 80"].turns_bad is not None


def test_words_of_the_example_are_all_that_the_page_promises() -> None:
    """What came with position, tilt, form, faults, tests and setting is told by example as well as in the list."""
    words = (
        "heats", "limits", "parallelism", "squareness", "form", "length", "height", "position", "as_cast", "locating",
        "clamping", "fixtures", "measured", "spindle_tilt", "warm_up", "turns_bad", "bias", "drift", "mastered", "test",
        "weights", "at_limit", "at_twice", "floor", "rejected", "repair", "back_to", "field", "seat", "land", "run_out",
        "edge_radius", "broken", "salvage", "known_within", "room", "setting", "aims", "corrections", "rezero",
        "first_piece", "loss_at_limit",
    )  # fmt: skip
    assert [word for word in words if not re.search(rf"\b{word}\b", page("scenario"))] == []
