"""Errors of the models come out as one clear sentence each, all together, with file, line and place."""

from __future__ import annotations

import pickle

import pytest

from linesim.errors import Problem, ScenarioError, nearest, quoted
from linesim.works import works_from_dict, works_from_text
from tests.builders import a_scenario_text, a_works

FACE = "lines.block.operations[Op 20].strokes[face].cuts[deck rough]"
PROCESSES = "one of milling, boring, drilling, reaming, honing, grinding"


def error_of(*replacements: tuple[str, str]) -> str:
    text = a_scenario_text()
    for old, new in replacements:
        assert old in text
        text = text.replace(old, new, 1)
    with pytest.raises(ScenarioError) as caught:
        works_from_text(text, "b.yaml")
    return str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "error"),
    [
        (
            "depth: 3 mm",
            "depth: 3 kg",
            f'line 90, {FACE}.depth: "3 kg" is a mass; a length such as "3 mm" was expected',
        ),
        ("depth: 3 mm", "depth: -3 mm", f'line 90, {FACE}.depth: "-3 mm" is too small; it must be above 0 mm'),
        (
            "clean: true",
            "clean: nope",
            'line 113, lines.block.operations[Op 20].chips.clean: "nope" was found; true or false was expected',
        ),
        ("feed: 0.2 mm", "feedd: 0.2 mm", f'line 92, {FACE}.feedd: "feedd" is not known here; did you mean "feed"?'),
        (
            "process: boring",
            "process: borin",
            (
                'line 128, lines.block.operations[Op 40].strokes[rough].cuts[lead].process: "borin" is not known here; '
                f'{PROCESSES} was expected\n    Did you mean "boring"?'
            ),
        ),
        (
            "buffer: 4",
            "buffer: -4",
            "line 82, lines.block.operations[Op 20].buffer: -4 is too small; it must be at least 0",
        ),
        (
            "buffer: 4",
            "buffer: 2.5",
            "line 82, lines.block.operations[Op 20].buffer: 2.5 is not a whole number; a whole number was expected",
        ),
        (
            "buffer: unlimited",
            "buffer: unlimitd",
            (
                'line 121, lines.block.operations[Op 40].buffer: "unlimitd" is not known here; '
                'a whole number or "unlimited" was expected\n    Did you mean "unlimited"?'
            ),
        ),
        (
            "operators: 0.5",
            "operators: 500",
            "line 118, lines.block.operations[Op 20].operators: 500 is too large; it must be at most 100",
        ),
        (
            "breaking: never",
            "breaking: sometimes",
            (
                'line 43, cutters[finish blade].breaking: "sometimes" is not known here; a group of entries such as '
                "shape:, scale: or one of by grade, never was expected"
            ),
        ),
        (
            "scale: 2.2",
            "scale: big",
            'line 34, cutters[rough blade].breaking.scale: "big" is a text; a number was expected',
        ),
        (
            "default: run out",
            "default: run outt",
            (
                'line 175, policies[run out].default: "run outt" was found; a rule such as {parts: 300} or '
                '"run out" was expected'
            ),
        ),
        (
            "change: 6 min",
            "change: [5]",
            'line 21, cutters[face mill].change: a list is not a number; a time such as "3 min" was expected',
        ),
        (
            "change: 6 min",
            "change: 6 mm",
            'line 21, cutters[face mill].change: "6 mm" is a length; a time such as "3 min" was expected',
        ),
        (
            "change: 6 min",
            "change: {lognormal: {mean: 5}}",
            "line 21, cutters[face mill].change.lognormal.cv: missing; a number was expected",
        ),
        (
            "change: 6 min",
            "change:",
            (
                'line 21, cutters[face mill].change: nothing is given; a time such as "3 min" or '
                "{lognormal: {mean: 3, cv: 0.2}} was expected"
            ),
        ),
        (
            "change: 6 min",
            "change: {fixed: 3, uniform: {low: 1, high: 2}}",
            "line 21, cutters[face mill].change: name exactly one distribution; found uniform and fixed",
        ),
        (
            "limits: [279.95, 280.05]",
            "limits: [279.95]",
            (
                "line 65, lines.block.features[deck].size.limits: a list of 1 was found; a list of 2 such as "
                "[1, 2] was expected"
            ),
        ),
        (
            "limits: [279.95, 280.05]",
            "limits: [1, 2, 3]",
            (
                "line 65, lines.block.features[deck].size.limits: a list of 3 was found; a list of 2 such as "
                "[1, 2] was expected"
            ),
        ),
        (
            "limits: [279.95, 280.05]",
            "limits: [2, 1]",
            "line 65, lines.block.features[deck].size: the lower limit (2 mm) must be below the upper one (1 mm)",
        ),
        (
            "reads: [size]",
            "reads: []",
            (
                "line 148, lines.block.operations[Op 40].gauges[bore gauge].reads: 0 entries were found; at "
                "least 1 was expected"
            ),
        ),
        ("linesim: 1", "linesim: 2", "line 1, linesim: 2 was found; 1 was expected"),
        (
            "currency: EUR",
            "currency: E-R",
            'line 4, currency: "E-R" was found; a currency of 1 to 12 letters such as EUR was expected',
        ),
        (
            "price: 260 EUR",
            "price: 260 USD",
            (
                'line 20, cutters[face mill].price: "260 USD" is in USD, but this scenario is in EUR\n'
                "    A scenario has one currency: convert the figure, or change the entry currency."
            ),
        ),
        (
            "sets: [brush]",
            "sets: [10]",
            (
                "line 79, lines.block.operations[Op 10].sets[0]: 10 was found; a text was expected\n"
                '    Put it in quotation marks if it is a name: "10".'
            ),
        ),
        (
            "shifts_per_day: 2",
            "zzz: 2",
            (
                'line 5, calendar.zzz: "zzz" is not known here\n'
                "    Known here: shift, shifts_per_day, days_per_week, weeks_per_year, assumed."
            ),
        ),
        (
            "sets: [brush]",
            "sets: brush",
            (
                'line 79, lines.block.operations[Op 10].sets: "brush" was found; a list was expected\n'
                "    Put it in brackets: [brush]."
            ),
        ),
        (
            "corrects: {cut: trail, share: 50 %}",
            "corrects: trail",
            (
                'line 153, lines.block.operations[Op 40].gauges[bore gauge].corrects: "trail" was found; a group of '
                "entries such as cut: was expected\n    Write {cut: trail}."
            ),
        ),
        (
            "bought: {}",
            "bought: {}\n      dressed: {dressings: 3}",
            (
                "line 54, cutters[brush].renewal: name exactly one of reground, indexed, dressed, bought; found "
                "dressed and bought"
            ),
        ),
        (
            "bought: {}",
            "bought:",
            "line 54, cutters[brush].renewal: name exactly one of reground, indexed, dressed, bought; found none",
        ),
        (
            "    renewal:\n      bought: {}\n",
            "",
            (
                "line 51, cutters[brush].renewal: missing; a way such as {bought: {}} or {indexed: {edges: 8}} "
                "was expected"
            ),
        ),
        (
            "default: {parts: 150}",
            "default: {parts: 150, life: 1}",
            (
                "line 169, policies[by parts].default: name exactly one of parts, minutes, life, check, gauge, load, "
                "shift, own, or write: run out; found parts and life"
            ),
        ),
        (
            "bought: {}",
            "bought: {x: 1}",
            'line 55, cutters[brush].renewal.bought.x: "x" is not known here\n    Nothing is expected here.',
        ),
    ],
)
def test_one_wrong_entry_gives_one_clear_sentence(old: str, new: str, error: str) -> None:
    assert error_of((old, new)) == "b.yaml, " + error


def test_all_errors_come_together_in_the_order_of_the_lines() -> None:
    lines = error_of(
        ("depth: 3 mm", "depth: 3 kg"),
        ("teeth: 12", "teeth: twelve"),
        ("seed: 7", "seed: -7"),
        ("depth: 2.5 mm", "depht: 2.5 mm"),
    )
    assert lines.splitlines() == [
        "b.yaml, line 6, run.seed: -7 is too small; it must be at least 0",
        'b.yaml, line 16, cutters[face mill].teeth: "twelve" is a text; a whole number was expected',
        f'b.yaml, line 90, {FACE}.depth: "3 kg" is a mass; a length such as "3 mm" was expected',
        (
            'b.yaml, line 129, lines.block.operations[Op 40].strokes[rough].cuts[lead].depht: "depht" is '
            "not known here; "
            'did you mean "depth"?'
        ),
    ]


def test_a_name_that_the_checking_library_uses_for_its_own_steps_does_not_lead_astray() -> None:
    told = error_of(("breaking: {shape: 4, scale: 2.2}", "breaking: {shape: 4, other: {scale: 3}}"))
    assert told.splitlines() == [
        "b.yaml, line 34, cutters[rough blade].breaking.scale: missing; a number was expected",
        'b.yaml, line 34, cutters[rough blade].breaking.other: "other" is not known here',
        "    Known here: shape, scale.",
    ]


def test_a_wrong_calendar_and_currency_do_not_hide_or_multiply_other_errors() -> None:
    assert error_of(
        ("calendar: {shift: 8 h", "calendar: {shift: 8 kg"), ("currency: EUR", "currency: 7")
    ).splitlines() == [
        "b.yaml, line 4, currency: 7 was found; a text was expected",
        '    Put it in quotation marks if it is a name: "7".',
        'b.yaml, line 5, calendar.shift: "8 kg" is a mass; a time such as "8 h" was expected',
    ]


def test_an_empty_scenario_asks_for_what_is_needed() -> None:
    with pytest.raises(ScenarioError) as caught:
        works_from_dict({}, "given")
    assert str(caught.value).splitlines() == [
        "given, name: missing; a text was expected",
        "given, lines: missing; a group of entries by name was expected",
        "given, policies: missing; a group of entries by name was expected",
    ]


ODD_VALUES = ("3", "x y", "[]", "{}", "true", "~", "[[1]]", "{a: {b: 1}}", "-1", "1e15", "9" * 25)
NOT_OURS = ("Input should", "valid dictionary", "instance of", "pydantic", "Traceback", "validator", "Error")


@pytest.mark.parametrize("start", [0, *(pytest.param(at, marks=pytest.mark.longer) for at in (1, 2, 3))])
def test_no_word_of_the_checking_library_comes_out(start: int) -> None:
    """Each round a quarter of all pairs of an entry and a value, in which every entry and every value comes up."""
    text = a_scenario_text()
    entries = [line for line in text.splitlines() if ": " in line and "&" not in line.partition(": ")[2]]
    pairs = [(line, value) for at, line in enumerate(entries) for value in ODD_VALUES[(at + start) % 4 :: 4]]
    assert {value for _, value in pairs} == set(ODD_VALUES)
    for line, value in pairs:
        told = ""
        try:
            works_from_text(text.replace(line, f"{line.partition(': ')[0]}: {value}", 1))
        except ScenarioError as error:
            told = str(error)
        assert not [word for word in NOT_OURS if word in told], told


def test_names_are_shown_in_brackets_and_entries_with_dots() -> None:
    works = a_works()
    path = ("lines", "block", "operations", "Op 40", "strokes", "rough", "cuts", "lead", "depth")
    assert works.problem(path, "x").path == "lines.block.operations[Op 40].strokes[rough].cuts[lead].depth"
    assert works.problem(("policies", "by parts", "exceptions", "finish blade"), "x").path == (
        "policies[by parts].exceptions[finish blade]"
    )


def test_a_works_knows_where_everything_stands() -> None:
    works = works_from_text(a_scenario_text(), "b.yaml")
    problem = works.problem(("lines", "block", "operations", "Op 20", "power"), "too weak", "Feed less.")
    assert problem == Problem("b.yaml", 111, "lines.block.operations[Op 20].power", "too weak", "Feed less.")
    assert works.problem(("lines", "block", "operations", "Op 20", "max_rpm"), "x").line == 81
    assert pickle.loads(pickle.dumps(works)).problem(("name",), "x").line == 2


def test_a_works_built_in_python_has_its_name_for_a_file() -> None:
    works = a_works().model_copy(update={"name": "copied"})
    assert str(works.problem(("run", "seed"), "x")) == "copied, run.seed: x"


def test_an_error_survives_the_way_back_from_a_worker() -> None:
    error = ScenarioError([Problem("a", 1, "b", "c", "d"), Problem("a", None, "", "e")])
    assert pickle.loads(pickle.dumps(error)).problems == error.problems
    assert str(error) == "a, line 1, b: c\n    d\na: e"


def test_quotes_are_short_and_fit_to_print() -> None:
    assert quoted("x" * 100) == '"' + "x" * 57 + '..."'
    assert quoted("a\nb\x1b[31m") == '"a\N{REPLACEMENT CHARACTER}b\N{REPLACEMENT CHARACTER}[31m"'
    assert quoted(10**30) == "a very long number"


def test_the_nearest_name_forgives_capitals_and_blanks() -> None:
    assert nearest("op40", ["Op 10", "Op 40"]) == "Op 40"
    assert nearest("loss at limit", ["loss_at_limit", "limit"]) == "loss_at_limit"
    assert nearest("q", ["face mill"]) is None


def test_a_text_that_is_too_long_or_too_short_is_told_by_its_own_bound() -> None:
    text = "name: x\nlines: {l: {operations: {Op 10: {minutes: 1, does: %s}}}}\npolicies: {p: {default: run out}}\n"
    with pytest.raises(ScenarioError, match=r"l\.operations\[Op 10\]\.does: .* has 41 signs; at most 40 were expected"):
        works_from_text(text % ("x" * 41), "b.yaml")
    with pytest.raises(ScenarioError, match='name: "" has 0 signs; at least 1 was expected'):
        works_from_text(text.replace("name: x", 'name: ""') % "bore", "b.yaml")


def test_a_guess_breeds_no_second_error() -> None:
    text = "name: x\nlines: {l: {operations: {Op 10: {minutes: 1, servers: 3}}}}\npolicies: {p: {default: run out}}\n"
    with pytest.raises(ScenarioError) as caught:
        works_from_text(text, "b.yaml")
    (problem,) = caught.value.problems
    assert problem.text == '"servers" is not known here'
    assert problem.hint.startswith("Known here: does, about, ")
    with pytest.raises(ScenarioError, match='"seters" is not known here; did you mean "setters"'):
        works_from_text(text.replace("servers: 3", "seters: crew"), "b.yaml")


@pytest.mark.parametrize("value", [{"weibull": {"shape": 2, "mean": 30}}, {"mean": 30}])
def test_a_life_that_is_a_distribution_is_pointed_to_the_right_entries(value: object) -> None:
    cutter = {"life": value, "renewal": {"bought": {}}}
    with pytest.raises(ScenarioError) as caught:
        works_from_dict({
            "name": "x", "cutters": {"c": cutter}, "lines": {"l": {"operations": {"o": {"minutes": 1}}}},
            "policies": {"p": {"default": "run out"}},
        })  # fmt: skip
    (problem,) = caught.value.problems
    assert problem.text.startswith("a life is not a distribution")
    assert "life_cv" in problem.text
    assert "breaking" in problem.text


def test_a_name_that_linesim_does_not_offer_is_told_with_the_nearest() -> None:
    import linesim  # noqa: PLC0415 - the module itself is asked

    with pytest.raises(AttributeError, match=r'Did you mean "load_works"\?'):
        _ = linesim.load_work
    with pytest.raises(AttributeError, match="no attribute 'quux'; public names: "):
        _ = linesim.quux
