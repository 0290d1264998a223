"""A scenario that extends another: names merge, null takes away, operations find their place, folders are not left."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from linesim.errors import ScenarioError
from linesim.works import changed, load_works
from linesim.works.chain import LONGEST_CHAIN, read_chain
from linesim.works.merging import merged
from linesim.works.nodes import node_from_plain
from linesim.works.ordering import in_routing_order
from linesim.works.reading import read_text
from tests.builders import a_scenario_text, a_works, flow_line


def write(folder: Path, **files: str) -> None:
    for name, text in files.items():
        path = folder / (name.replace("__", "/") + ".yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def over(base: str, upper: str) -> Any:
    return in_routing_order(merged(read_text(base, "base"), read_text(upper, "upper"))).plain()


def refused(folder: Path, name: str = "a.yaml") -> str:
    with pytest.raises(ScenarioError) as caught:
        read_chain(folder / name)
    return str(caught.value)


def order(upper: str) -> list[str]:
    base = "lines: {l: {operations: {Op 10: {}, Op 20: {}, Op 30: {}, Op 40: {}}}}"
    return list(over(base, f"lines: {{l: {{operations: {upper}}}}}")["lines"]["l"]["operations"])


def order_refused(upper: str) -> str:
    with pytest.raises(ScenarioError) as caught:
        order(upper)
    return str(caught.value)


def test_groups_merge_by_name_and_everything_else_replaces() -> None:
    merged_plain = over(
        "cutters: {a: {sets: 2, price: 3}, b: {sets: 1}}\nname: x", "cutters: {c: {sets: 4}, a: {price: 5}}\nname: y"
    )
    assert merged_plain == {
        "cutters": {"a": {"sets": 2, "price": 5}, "b": {"sets": 1}, "c": {"sets": 4}},
        "name": "y",
    }
    assert list(merged_plain["cutters"]) == ["a", "b", "c"]
    feature = "lines: {l: {features: {f: {size: {limits: %s}}}}}"
    assert over(feature % "[1, 2]", feature % "[3, 4]") == read_text(feature % "[3, 4]", "").plain()


def test_null_takes_an_entry_away() -> None:
    base = "cutters: {a: {sets: 2, price: 3}, b: {sets: 1}}"
    assert over(base, "cutters: {a: {price: ~}, b: null}") == {"cutters": {"a": {"sets": 2}}}
    assert over(base, "cutters: {a: {grade: ~}}") == read_text(base, "").plain()


def test_taking_away_what_is_not_there_is_an_error() -> None:
    with pytest.raises(ScenarioError) as caught:
        over("cutters: {face mill: {sets: 2}}", "cutters:\n  face mil: ~\n  zzz: ~\n")
    assert str(caught.value) == (
        'upper, line 2, cutters[face mil]: there is no "face mil" to take away\n    Did you mean "face mill"?\n'
        'upper, line 3, cutters[zzz]: there is no "zzz" to take away'
    )


@pytest.mark.parametrize(
    ("place", "below", "above", "result"),
    [
        ("cutters: {c: {change: %s}}", "{lognormal: {mean: 3, cv: 0.2}}", "{uniform: {low: 1, high: 2}}", None),
        ("cutters: {c: {change: %s}}", "{lognormal: {mean: 3, cv: 0.2}}", "4 min", None),
        (
            "cutters: {c: {change: %s}}",
            "{lognormal: {mean: 3, cv: 0.2}}",
            "{lognormal: {cv: 0.5}}",
            "{lognormal: {mean: 3, cv: 0.5}}",
        ),
        (
            "cutters: {c: {change: %s}}",
            "{weibull: {shape: 2, mean: 3}}",
            "{weibull: {scale: 4}}",
            "{weibull: {shape: 2, scale: 4}}",
        ),
        ("cutters: {c: {renewal: %s}}", "{reground: {stock: 3}}", "{bought: {}}", None),
        ("policies: {p: {default: %s}}", "{parts: 3}", "{minutes: 5}", None),
        ("policies: {p: {exceptions: {c: %s}}}", "run out", "{life: 1}", None),
        (
            "policies: {p: {default: %s}}",
            "{check: {every: 3, past: 0.2}}",
            "{check: {past_share: 0.8}}",
            "{check: {every: 3, past_share: 0.8}}",
        ),
        (
            "lines: {l: {operations: {o: %s}}}",
            "{strokes: {s: {}}, buffer: 2}",
            "{minutes: 4}",
            "{buffer: 2, minutes: 4}",
        ),
    ],
)
def test_where_one_entry_stands_for_the_whole_another_replaces_it(
    place: str, below: str, above: str, result: str | None
) -> None:
    assert over(place % below, place % above) == read_text(place % (result or above), "").plain()


def test_names_of_the_users_own_never_count_as_alternatives() -> None:
    operations = "lines: {l: {operations: {%s: {buffer: 1}}}}"
    assert set(over(operations % "minutes", operations % "strokes")["lines"]["l"]["operations"]) == {
        "minutes",
        "strokes",
    }


@pytest.mark.parametrize(
    ("upper", "names"),
    [
        ("{Op 25: {after: Op 20}}", "Op 10, Op 20, Op 25, Op 30, Op 40"),
        ("{Op 5: {after: start}}", "Op 5, Op 10, Op 20, Op 30, Op 40"),
        ("{Op 50: {}}", "Op 10, Op 20, Op 30, Op 40, Op 50"),
        ("{Op 20: {after: Op 40}}", "Op 10, Op 30, Op 40, Op 20"),
        ("{Op 21: {after: Op 20}, Op 22: {after: Op 20}}", "Op 10, Op 20, Op 21, Op 22, Op 30, Op 40"),
        ("{Op 22: {after: Op 21}, Op 21: {after: Op 20}}", "Op 10, Op 20, Op 21, Op 22, Op 30, Op 40"),
        ("{Op 20: {after: Op 40}, Op 10: {after: Op 20}}", "Op 30, Op 40, Op 20, Op 10"),
        ("{Op 20: ~, Op 30: {after: start}}", "Op 30, Op 10, Op 40"),
    ],
)
def test_an_operation_finds_its_place(upper: str, names: str) -> None:
    assert ", ".join(order(upper)) == names


def test_the_word_after_is_used_up() -> None:
    tree = over("lines: {l: {operations: {a: {}}}}", "lines: {l: {operations: {b: {after: start, buffer: 2}}}}")
    assert tree["lines"]["l"]["operations"] == {"b": {"buffer": 2}, "a": {}}


@pytest.mark.parametrize(
    ("upper", "error"),
    [
        (
            "{Op 25: {after: Op 2O}}",
            (
                'upper, line 1, lines.l.operations[Op 25].after: "Op 2O" is not an operation of this line; '
                'an operation or start was expected\n    Did you mean "Op 20"?'
            ),
        ),
        (
            "{Op 20: {after: Op 20}}",
            (
                'upper, line 1, lines.l.operations[Op 20].after: "Op 20" cannot follow itself; '
                "the operation before it was expected"
            ),
        ),
        (
            "{Op 25: {after: [1]}}",
            (
                "upper, line 1, lines.l.operations[Op 25].after: a list is not an operation of this line; "
                "an operation or start was expected"
            ),
        ),
        (
            "{Op 20: {after: Op 30}, Op 30: {after: Op 20}}",
            (
                'upper, line 1, lines.l.operations[Op 20].after: "Op 20" follows "Op 30", which follows '
                "it in its turn; "
                "one that stands was expected\n"
                'upper, line 1, lines.l.operations[Op 30].after: "Op 30" follows "Op 20", which follows '
                "it in its turn; "
                "one that stands was expected"
            ),
        ),
    ],
)
def test_a_place_that_cannot_be_found_is_an_error(upper: str, error: str) -> None:
    assert order_refused(upper) == error


def test_a_file_extends_another_and_errors_name_the_file_they_stand_in(tmp_path: Path) -> None:
    write(
        tmp_path,
        base__block=a_scenario_text().replace("depth: 3 mm", "depth: 3 kg"),
        a="extends: base/block.yaml\nname: Other\nlines:\n  block:\n    operations:\n      Op 20: {buffer: none}\n",
    )
    with pytest.raises(ScenarioError) as caught:
        load_works(tmp_path / "a.yaml")
    assert str(caught.value) == (
        'a.yaml, line 6, lines.block.operations[Op 20].buffer: "none" is not known here; '
        'a whole number or "unlimited" was expected\n'
        "base/block.yaml, line 90, lines.block.operations[Op 20].strokes[face].cuts[deck rough].depth: "
        '"3 kg" is a mass; a length such as "3 mm" was expected'
    )


def test_a_chain_of_files_merges_from_the_bottom_up(tmp_path: Path) -> None:
    write(
        tmp_path,
        a="extends: b.yaml\nname: A",
        b="extends: deep/c.yaml\nname: B\nrun: {seed: 3}",
        deep__c="extends: ../d.yml\nrun: {seed: 4, replications: 9}",
    )
    (tmp_path / "d.yml").write_text(a_scenario_text())
    works = load_works(str(tmp_path / "a.yaml"))
    assert (works.name, works.run.seed, works.run.replications) == ("A", 3, 9)


def test_several_files_are_laid_one_over_another_in_the_order_named(tmp_path: Path) -> None:
    lines = "lines: {%s: {operations: {Op 10: {minutes: 2}}}}"
    write(
        tmp_path,
        a="extends: [b.yaml, deep/c.yaml]\nname: A",
        b=f"extends: d.yaml\nname: B\nrun: {{seed: 3, replications: 5}}\n{lines % 'crankcase'}",
        deep__c=f"name: C\nrun: {{seed: 4}}\n{lines % 'head'}",
        d=a_scenario_text(),
    )
    works = load_works(tmp_path / "a.yaml")
    assert (works.name, works.run.seed, works.run.replications) == ("A", 4, 5)
    assert list(works.lines) == ["block", "crankcase", "head"]


def test_one_file_may_stand_under_two_others(tmp_path: Path) -> None:
    upper = "extends: d.yaml\nrun: {seed: %d}"
    write(tmp_path, a="extends: [b.yaml, c.yaml]", b=upper % 3, c=upper % 4, d=a_scenario_text())
    assert load_works(tmp_path / "a.yaml").run.seed == 4


def test_too_many_files_are_refused_however_they_are_named(tmp_path: Path) -> None:
    names = [f"f{at}.yaml" for at in range(LONGEST_CHAIN)]
    write(tmp_path, a=f"extends: [{', '.join(names)}]", **{name.removesuffix(".yaml"): "name: x" for name in names})
    assert refused(tmp_path) == (
        f"a.yaml, line 1, extends: more than {LONGEST_CHAIN} files extend one another; a shorter chain was expected"
    )


@pytest.mark.parametrize("link", ["../b.yaml", "deep/../../b.yaml", "outside.yaml", "outside/b.yaml"])
def test_a_file_outside_the_folder_is_not_read(tmp_path: Path, link: str) -> None:
    write(tmp_path, b=a_scenario_text(), inner__a=f"name: x\nextends: {link}\n")
    (tmp_path / "inner" / "outside.yaml").symlink_to(tmp_path / "b.yaml")
    (tmp_path / "inner" / "outside").symlink_to(tmp_path)
    assert refused(tmp_path / "inner") == (
        f'a.yaml, line 2, extends: "{link}" lies outside the folder of a.yaml\n'
        "    Files that are extended lie in the folder of a.yaml or below it."
    )


@pytest.mark.parametrize("link", ["/etc/b.yaml", "C:\\b.yaml", "C:b.yaml", "\\\\host\\b.yaml", "deep\\b.yaml"])
def test_an_absolute_name_is_not_read(tmp_path: Path, link: str) -> None:
    write(tmp_path, a=f"extends: '{link}'\n")
    assert refused(tmp_path) == (
        f'a.yaml, line 1, extends: "{link}" is not relative to this file; one such as "other.yaml" was expected'
    )


@pytest.mark.parametrize(
    ("link", "said"), [("3", "3"), ("passwd", '"passwd"'), ("[]", "a list"), ("[[b.yaml]]", "a list"), ("''", '""')]
)
def test_only_yaml_files_are_extended(tmp_path: Path, link: str, said: str) -> None:
    write(tmp_path, a=f"extends: {link}\n")
    assert refused(tmp_path) == f'a.yaml, line 1, extends: {said} was found; a file such as "other.yaml" was expected'


def test_circles_are_refused(tmp_path: Path) -> None:
    write(tmp_path, a="extends: b.yaml", b="name: b\nextends: a.yaml", c="extends: ./c.yaml")
    told = "extends this file in its turn; a file that does not was expected"
    assert refused(tmp_path) == f'b.yaml, line 2, extends: "a.yaml" {told}'
    assert refused(tmp_path, "c.yaml") == f'c.yaml, line 1, extends: "./c.yaml" {told}'


def test_long_chains_are_refused(tmp_path: Path) -> None:
    write(tmp_path, **{f"f{at}": f"extends: f{at + 1}.yaml" for at in range(20)})
    assert refused(tmp_path, "f0.yaml") == (
        f"f{LONGEST_CHAIN - 1}.yaml, line 1, extends: more than {LONGEST_CHAIN} files extend one another; "
        "a shorter chain was expected"
    )


def test_a_missing_base_is_told_by_its_name(tmp_path: Path) -> None:
    write(tmp_path, a="extends: b.yaml")
    assert refused(tmp_path) == "b.yaml: the file cannot be read: No such file or directory"


def test_changes_over_a_works_are_checked_anew_and_leave_it_as_it_was() -> None:
    works = a_works()
    other = changed(
        works, {"lines": {"block": {"operations": {"Op 20": {"buffer": 9}, "Op 15": {"minutes": 2, "after": "Op 10"}}}}}
    )
    assert list(other.lines["block"].operations) == ["Op 10", "Op 15", "Op 20", "Op 40", "Op 50"]
    assert (works.lines["block"].operations["Op 20"].buffer, other.lines["block"].operations["Op 20"].buffer) == (4, 9)
    assert changed(works, {}) == works


def test_a_change_that_does_not_fit_is_told_as_such() -> None:
    with pytest.raises(ScenarioError) as caught:
        changed(a_works(), {"lines": {"block": {"operations": {"Op 20": {"bufer": 9}}}}})
    assert str(caught.value) == (
        'changes, lines.block.operations[Op 20].bufer: "bufer" is not known here; did you mean "buffer"?'
    )


def test_worked_time_is_measured_by_the_calendar_after_the_change() -> None:
    assert a_works().run.length == 9600.0
    assert a_works(calendar={"shift": "7 h"}).run.length == 8400.0


def test_changes_over_a_copy_build_on_the_copy() -> None:
    works = flow_line([1, 2])
    copy = works.model_copy(update={"name": "copied"})
    assert changed(copy, {"run": {"seed": 5}}).name == "copied"
    assert changed(works, {"run": {"seed": 5}}).name == "flow line"


def test_a_merged_tree_keeps_both_its_sources() -> None:
    tree = merged(read_text("a: {x: 1}\nb: 2", "low"), node_from_plain({"a": {"y": 3}}, "high"))
    assert [[*tree.along(path)][-1].file for path in [("a", "x"), ("a", "y"), ("b",)]] == ["low", "high", "low"]
