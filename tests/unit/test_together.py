"""Everything that is wrong with a scenario is told at once, and nothing that only comes of another error."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from linesim.errors import Problem, ScenarioError
from linesim.plan.figures import cut_figures
from linesim.works import changed, load_works, works_from_dict, works_from_text
from linesim.works.load import MOST_SHOWN
from linesim.works.nodes import MOST_PROBLEMS
from tests.builders import a_scenario_text
from tests.unit.changes_refused import BASE, OPERATIONS, op


def broken(*replacements: tuple[str, str]) -> str:
    text = a_scenario_text()
    for old, new in replacements:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def told(*replacements: tuple[str, str]) -> list[str]:
    with pytest.raises(ScenarioError) as caught:
        works_from_text(broken(*replacements), "b.yaml")
    return str(caught.value).splitlines()


HONE = "feature: bores\n                cutter: stones"


def test_errors_of_every_kind_come_together_in_the_order_of_the_lines() -> None:
    assert told(
        ("depth: 3 mm", "depth: 3 kg"),
        ("teeth: 12", "teethe: 12"),
        (HONE, HONE.replace("bores", "bore")),
        ("buffer: 4", "buffer: -4"),
        ("access: 2 min", "access: 2024-05-01"),
        ("stock: 3.04 mm", "stock: 1 mm"),
        ("fitters: fitters", "fitters: fiters"),
    ) == [
        'b.yaml, line 16, cutters[face mill].teethe: "teethe" is not known here; did you mean "teeth"?',
        (
            "b.yaml, line 74, lines.block.features[bores].as_cast.stock: the cuts take off 3 mm (2.5 + 0.5), but the "
            "casting has 1 mm of stock; at most that was expected"
        ),
        f"b.yaml, line 82, {OPERATIONS}[Op 20].buffer: -4 is too small; it must be at least 0",
        (
            f"b.yaml, line 90, {OPERATIONS}[Op 20].strokes[face].cuts[deck rough].depth: "
            '"3 kg" is a mass; a length such as "3 mm" was expected'
        ),
        'b.yaml, line 108: "2024-05-01" is a date; a number or a text was expected',
        "    Put it in quotation marks if it is meant as text.",
        (
            f'b.yaml, line 110, {OPERATIONS}[Op 20].fitters: "fiters" is not a pool of people; one of setters, fitters '
            "was expected"
        ),
        '    Did you mean "fitters"?',
        (
            f'b.yaml, line 160, {OPERATIONS}[Op 50].strokes[hone].cuts[hone].feature: "bore" is not a feature of this '
            "line; one of deck, bores was expected"
        ),
        '    Did you mean "bores"?',
    ]


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ("sets: 2\n    price: 60", "sets: 2 kg\n    price: 60", "cutters[stones].sets"),
        ("dressings: 40", "dressings: 0", "cutters[stones].renewal.dressed.dressings"),
        ("count: 1, rate: 38", "count: 0, rate: 38", "people[setters].count"),
        ("kind: bore", "kind: hole", "lines.block.features[bores].kind"),
        ("limits: [80.000, 80.025]", "limits: [80.000]", "lines.block.features[bores].size.limits"),
        ("diameter: 200 mm", "diameter: 200 kg", "cutters[face mill].diameter"),
        ("grade: carbide", "grade: 3", "cutters[rough blade].grade"),
        ("feed: 0.2 mm", "feed: 0.2 kg", f"{OPERATIONS}[Op 20].strokes[face].cuts[deck rough].feed"),
        ("depth: 0.5 mm", "depth: 0.5 kg", f"{OPERATIONS}[Op 40].strokes[rough].cuts[trail].depth"),
        ("minutes: {lognormal: {mean: 3.5, cv: 0.2}}", "minutes: {lognormal: {mean: 3.5, cv: -1}}",
         f"{OPERATIONS}[Op 10].minutes.lognormal.cv"),
        ("machines: 2", "machines: 2.5", f"{OPERATIONS}[Op 40].machines"),
        ("material: EN-GJL-250", "material: [EN-GJL-250]", "lines.block.material"),
        ("default: run out", "default: {life: -1}", "policies[run out].default.life"),
        ("every: 20, past: 0.2 mm", "every: 20, past: 2 kg",
         "policies[by parts].exceptions[finish blade].check.past"),
        ("price: 260 EUR", "price: 260 kg", "cutters[face mill].price"),
        ("currency: EUR", "currency: 7", "currency"),
        ("name: Canal-boat diesel, cylinder block", "name: [x]", "name"),
        ("policies:\n", "policies: []\nabout_policies:\n", "policies"),
    ],
)  # fmt: skip
def test_one_error_brings_no_others_with_it(old: str, new: str, place: str) -> None:
    lines = [line for line in told((old, new)) if not line.startswith(" ") and "about_policies" not in line]
    assert len(lines) == 1, lines
    assert f", {place}: " in lines[0]


def test_a_misspelt_entry_is_one_error_and_its_value_is_checked_as_what_was_meant() -> None:
    place = f"b.yaml, line 129, {OPERATIONS}[Op 40].strokes[rough].cuts[lead]"
    assert told(("depth: 2.5 mm", "depht: 2.5 kg")) == [
        f'{place}.depht: "depht" is not known here; did you mean "depth"?',
        f'{place}.depth: "2.5 kg" is a mass; a length such as "3 mm" was expected',
    ]
    assert len(told(("feature: deck\n", "featur: deck\n"))) == 1


def test_a_date_or_an_entry_given_twice_brings_no_others_with_it() -> None:
    assert len(told(("grade: carbide", "grade: 2024-05-01"))) == 2
    assert told(("sets: 2\n    price: 60 EUR", "sets: 2\n    sets: 0\n    price: 60 EUR")) == [
        'b.yaml, line 47: "sets" is given twice, here and in line 46; once was expected'
    ]
    assert told(("limits: [80.000, 80.025]", "limits: [80.000, 1e999]")) == [
        'b.yaml, line 72: "1e999" is far too large; a number was expected'
    ]


def test_names_that_are_wrongly_defined_are_listed_among_those_that_are_there() -> None:
    lines = told(("dressings: 40", "dressings: 0"), ("sets: [brush]", "sets: [bruhs]"))
    assert lines[1] == (
        f'b.yaml, line 79, {OPERATIONS}[Op 10].sets[0]: "bruhs" is not a cutter of this works; one of face mill, rough '
        "blade, finish blade, brush, stones was expected"
    )


def test_errors_of_a_whole_group_show_once_its_entries_can_be_read() -> None:
    lines = told(("shift: 8 h", "shift: 8 kg"), ("limits: [279.95, 280.05]", "limits: [2, 1]"))
    assert [line.split(":")[0] for line in lines] == [
        "b.yaml, line 5, calendar.shift",
        "b.yaml, line 65, lines.block.features[deck].size",
    ]


def test_what_cannot_be_merged_is_told_with_the_rest(tmp_path: Path) -> None:
    (tmp_path / "base.yaml").write_text(broken(("depth: 3 mm", "depth: 3 kg"), ("load: 45 s", "load: 2024-05-01")))
    (tmp_path / "a.yaml").write_text(
        "extends: base.yaml\ncutters:\n  brus: ~\nlines:\n  block:\n    operations:\n"
        "      Op 15: {minutes: 2, after: Op 1, setters: nobody}\n      Op 20: {buffer: -1}\n"
    )
    with pytest.raises(ScenarioError) as caught:
        load_works(tmp_path / "a.yaml")
    assert str(caught.value).splitlines() == [
        'a.yaml, line 3, cutters[brus]: there is no "brus" to take away',
        '    Did you mean "brush"?',
        (
            f'a.yaml, line 7, {OPERATIONS}[Op 15].after: "Op 1" is not an operation of this line; an operation or '
            "start was expected"
        ),
        '    Did you mean "Op 10"?',
        (
            f'a.yaml, line 7, {OPERATIONS}[Op 15].setters: "nobody" is not a pool of people; one of setters, fitters '
            "was expected"
        ),
        f"a.yaml, line 8, {OPERATIONS}[Op 20].buffer: -1 is too small; it must be at least 0",
        (
            f"base.yaml, line 90, {OPERATIONS}[Op 20].strokes[face].cuts[deck rough].depth: "
            '"3 kg" is a mass; a length such as "3 mm" was expected'
        ),
        'base.yaml, line 106: "2024-05-01" is a date; a number or a text was expected',
        "    Put it in quotation marks if it is meant as text.",
    ]


def test_errors_before_a_file_that_cannot_be_read_are_told_with_it(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("name: 2024-05-01\nextends: b.yaml\n")
    with pytest.raises(ScenarioError) as caught:
        load_works(tmp_path / "a.yaml")
    assert [problem.file for problem in caught.value.problems] == ["a.yaml", "b.yaml"]
    (tmp_path / "a.yaml").write_text("extends: 2024-05-01\n")
    with pytest.raises(ScenarioError) as caught:
        load_works(tmp_path / "a.yaml")
    assert [problem.line for problem in caught.value.problems] == [1]


def test_an_order_that_is_not_known_is_not_complained_of() -> None:
    gauge = {"feature": "bores", "corrects": {"cut": "hone", "operation": "Op 50"}}
    changes = op("Op 40", gauges={"bore gauge": gauge}, after="Op 5O")
    with pytest.raises(ScenarioError) as caught:
        changed(BASE, changes)
    assert [problem.path for problem in caught.value.problems] == [f"{OPERATIONS}[Op 40].after"]


def test_a_currency_that_cannot_be_read_makes_no_amount_wrong() -> None:
    text = a_scenario_text().replace("EUR", "GBP").replace("currency: GBP", "currency: 2024-05-01")
    with pytest.raises(ScenarioError) as caught:
        works_from_text(text, "b.yaml")
    assert [problem.line for problem in caught.value.problems] == [4]


def test_what_was_to_be_taken_away_by_a_misspelt_name_is_not_complained_of() -> None:
    again = BASE.sources.root.plain()["lines"]["block"]["operations"]["Op 40"]
    changes = {"lines": {"block": {"operations": {"Op 4": None, "Op 45": {**again, "machines": 2}}}}}
    with pytest.raises(ScenarioError) as caught:
        changed(BASE, {**changes, "cutters": {"rough blade": {"sets": 3}}})
    assert [problem.path for problem in caught.value.problems][:1] == [f"{OPERATIONS}[Op 4]"]
    assert not [problem for problem in caught.value.problems if "machines mount" in problem.text]


def test_changes_and_plain_values_tell_everything_too() -> None:
    with pytest.raises(ScenarioError) as caught:
        changed(BASE, {"crib": {"grinders": 0}, "run": {"seed": -1}, "people": {"x": None}, "about": object()})
    assert [problem.path for problem in caught.value.problems] == ["about", "people[x]", "run.seed", "crib.grinders"]
    with pytest.raises(ScenarioError) as caught:
        works_from_dict({"name": b"x"}, "given")
    assert [problem.path for problem in caught.value.problems] == ["name", "lines", "policies"]


def test_nobody_is_told_of_a_hundred_thousand_errors() -> None:
    operations = ", ".join(f"o{at}: {{minutes: -1}}" for at in range(MOST_PROBLEMS))
    with pytest.raises(ScenarioError) as caught:
        works_from_text(
            f"name: x\nlines: {{l: {{operations: {{{operations}}}}}}}\npolicies: {{p: {{default: 3}}}}", "b.yaml"
        )
    assert len(caught.value.problems) == MOST_SHOWN + 1
    assert [problem.line for problem in caught.value.problems[:-1]] == [2] * MOST_SHOWN
    assert caught.value.problems[-1] == Problem("b.yaml", None, "", "and 900 or more further errors")


def test_of_more_errors_than_anybody_reads_the_number_is_told() -> None:
    operations = ", ".join(f"o{at}: {{minutes: -1}}" for at in range(MOST_SHOWN + 7))
    with pytest.raises(ScenarioError) as caught:
        works_from_text(
            f"name: x\nlines: {{l: {{operations: {{{operations}}}}}}}\npolicies: {{p: {{default: 3}}}}", "b"
        )
    assert len(caught.value.problems) == MOST_SHOWN + 1
    assert str(caught.value.problems[-1]) == "b: and 8 further errors"


def test_what_the_machines_cannot_do_is_told_together() -> None:
    works = changed(BASE, {"lines": {"block": {"operations": {
        "Op 20": {"power": 2, "max_rpm": 100}, "Op 40": {"power": 2.5},
    }}}})  # fmt: skip
    with pytest.raises(ScenarioError) as caught:
        cut_figures(works)
    places: list[Any] = [problem.path.removeprefix(OPERATIONS) for problem in caught.value.problems]
    assert places == [
        "[Op 20].strokes[face].cuts[deck rough]",
        "[Op 20].strokes[face].cuts[deck rough].speed",
        "[Op 20].strokes[finish].cuts[deck finish].speed",
        "[Op 40].strokes[rough]",
    ]
    assert "together take" in caught.value.problems[-1].text


def test_a_wrong_depth_does_not_hide_what_else_is_wrong_with_its_cut() -> None:
    lines = a_scenario_text().splitlines()
    at = next(number for number, line in enumerate(lines) if line.strip() == "depth: 2.5 mm")
    feature = max(number for number in range(at) if lines[number].strip().startswith("feature:"))
    found = told(
        (lines[at], lines[at].replace("2.5 mm", "3 kg")),
        ("\n".join(lines[feature:at]), "\n".join([lines[feature] + "s", *lines[feature + 1 : at]])),
    )
    assert any('"3 kg" is a mass; a length such as "3 mm" was expected' in line for line in found)
    assert any("is not a feature of this line" in line for line in found)
    assert sum(", line " in line for line in found) == 2
