"""Scenarios made to do harm: they are refused soon, with a sentence, and never with anything but a ScenarioError."""

from __future__ import annotations

import random
import sys
import tracemalloc
from collections.abc import Callable
from functools import partial
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from linesim.errors import ScenarioError
from linesim.works import Works, changed, load_works, to_yaml, works_from_dict, works_from_text
from linesim.works.reading import LARGEST_FILE, read_text
from tests.benchmarks.attack.nasty import NASTY
from tests.builders import a_scenario_text, a_works
from tests.patience import without_holding_up

FUZZ = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True)
LINES = a_scenario_text().splitlines()
BITS = [
    "", "null", "true", "-1", "0", "1e15", "1e308", "9" * 60, "3 kg", "3 mm", "9 EUR", "[]", "{}", "[1]", "{a: 1}",
    "run out", "never", "*boring", "&x 3", "!!int 3", "2024-01-01", ".inf", "'", '"', "? a", "- 1", "|", "\t", "#",
    ": :", "Op 40", "%", "{", "[[[[", "<<: *boring", "after: start", "extends: x.yaml", "\x00", "\ud800", "\u202e",
    "fixed", "other", "text", "[key]",
]  # fmt: skip


def refused(text: str) -> str:
    with pytest.raises(ScenarioError) as caught:
        works_from_text(text, "x.yaml")
    return str(caught.value)


def outcome(text: str) -> Works | None:
    """Return the works or None; anything but a ScenarioError with lines of text goes through and fails the test."""
    return outcome_of(lambda: works_from_text(text, "x.yaml"))


def outcome_of(read: Callable[[], Works]) -> Works | None:
    """Return the works or None, as above, of any way to read one."""
    told = ""
    try:
        return read()
    except ScenarioError as error:
        told = str(error)
    assert told.strip()
    assert "Input should" not in told
    return None


@pytest.mark.parametrize(
    ("text", "error"),
    [
        (
            "a: &a [x,x,x,x,x,x,x,x,x,x]\n"
            + "".join(f"{new}: &{new} [{','.join([f'*{old}'] * 10)}]\n" for old, new in pairwise("abcdefghi")),
            "x.yaml, line 5: more than 60000 values; a scenario was expected",
        ),
        (
            "a: &a {b: *a}",
            "x.yaml, line 1: *a stands for something that it is itself a part of; a value before it was expected",
        ),
        ("a: " + "[" * 50 + "]" * 50, "x.yaml, line 1: nested deeper than 40; a scenario was expected"),
        ("a: " + "[" * 900_000, "x.yaml, line 1: nested deeper than 40; a scenario was expected"),
        ("a: " + "{a: " * 400_000, "x.yaml, line 1: nested deeper than 40; a scenario was expected"),
        (
            "a: &a " + "[" * 30 + "]" * 30 + "\nb: " + "[" * 15 + "*a" + "]" * 15,
            "x.yaml, line 2: nested deeper than 40; a scenario was expected",
        ),
        ("a: [" + "1," * 300_000 + "]", "x.yaml, line 1: more than 60000 values; a scenario was expected"),
        ("a: " + "x" * 2_100_000, "x.yaml: 2.1 MB is too large; at most 2 MB was expected"),
    ],
    ids=["laughs", "self", "deep", "deep list", "deep map", "deep alias", "many", "large"],
)  # fmt: skip
def test_bombs_are_refused_soon(text: str, error: str) -> None:
    with without_holding_up():
        assert refused(text) == error


def test_a_hundred_megabytes_are_refused_without_being_read(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    with path.open("wb") as file:
        file.truncate(100_000_000)
    tracemalloc.start()
    with pytest.raises(ScenarioError) as caught:
        load_works(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert str(caught.value) == "large.yaml: 100.0 MB is too large; at most 2 MB was expected"
    assert peak < 1_000_000


def test_a_hundred_megabytes_of_text_are_refused_at_once() -> None:
    with without_holding_up():
        assert refused("a" * 100_000_000) == "x.yaml: 100.0 MB is too large; at most 2 MB was expected"


@pytest.mark.parametrize(
    "text",
    [
        "!!python/object/apply:os.system ['touch {marker}']",
        "a: !!python/object/new:subprocess.Popen [['touch', '{marker}']]",
        "a: !!python/name:os.system",
        "a: !!python/module:os",
        "? !!python/object/apply:os.system ['touch {marker}']\n: 1",
        "%TAG ! tag:yaml.org,2002:python/object/apply:\n---\na: !os.system ['touch {marker}']",
    ],
)
def test_no_text_runs_code(text: str, tmp_path: Path) -> None:
    marker = tmp_path / "marker"
    assert "plain values were expected" in refused(text.replace("{marker}", str(marker)))
    assert not marker.exists()


@pytest.mark.parametrize(
    "place", ["extends: base.yaml\nname: x", "extends: /etc/passwd", "extends: ~", "extends: ../../x.yaml"]
)
def test_an_upload_extends_nothing(place: str) -> None:
    assert refused(place).startswith(
        "x.yaml, line 1, extends: extends needs a file to stand in a folder; a text that is complete in "
        "itself was expected"
    )


def test_errors_do_not_print_controls_or_long_values() -> None:
    told = refused(a_scenario_text().replace("depth: 3 mm", 'depth: "3\\x85\\u202e' + "y" * 10_000 + '"'))
    assert len(told) < 400
    assert "\u202e" not in told
    assert "\x85" not in told


def test_many_errors_are_told_in_good_time() -> None:
    text = "name: x\nlines: {l: {operations: {" + ", ".join(f"o{at}: {{zzz: 1}}" for at in range(400)) + "}}}"
    with without_holding_up():
        told = refused(text).splitlines()
    assert (len(told), told[-1]) == (200, "x.yaml: and 301 further errors")  # most with a hint on a line of its own


@pytest.mark.parametrize("kind", NASTY)
def test_a_file_made_to_hold_the_reader_up_is_answered_soon(kind: str) -> None:
    text = NASTY[kind]()
    assert len(text) <= LARGEST_FILE, kind
    with without_holding_up():
        outcome(text)


def test_guesses_are_few_but_not_none() -> None:
    misspelt = ", ".join(f"o{at}: {{minutes: 1, after: operation nubmer {at}}}" for at in range(300))
    named = ", ".join(f"operation number {at}: {{minutes: 1}}" for at in range(90))
    told = refused(
        f"name: x\nlines: {{l: {{operations: {{{misspelt}, {named}}}}}}}\npolicies: {{p: {{default: run out}}}}"
    )
    assert 'Did you mean "operation number 0"?' in told
    assert told.count("Did you mean") < 99


def test_files_of_one_scenario_hold_no_more_together_than_one_may(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("extends: [b.yaml, c.yaml]\nname: x\n")
    for name in "bc":
        (tmp_path / f"{name}.yaml").write_text("#" + "x" * 1_100_000 + "\nabout: x\n")
    with pytest.raises(ScenarioError, match=r"2\.2 MB is too large for all files of a scenario together; at most 2 MB"):
        load_works(tmp_path / "a.yaml")
    for name in "bc":
        (tmp_path / f"{name}.yaml").write_text("about: x\nx: [" + "1, " * 40_000 + "1]\n")
    with pytest.raises(ScenarioError, match="more than 60000 values"):
        load_works(tmp_path / "a.yaml")


@pytest.mark.parametrize("sign", ["\u200b", "\u202e", "\u2066", "\ufeff", "\x85", "\t"])
def test_a_sign_that_cannot_be_seen_is_refused_in_a_name(sign: str) -> None:
    shown = f"\\u{ord(sign):04x}"
    for name, operation in ((f'"x{shown}y"', "o"), ("x", f'"Op{shown}10"')):
        line = f"lines: {{l: {{operations: {{{operation}: {{minutes: 1}}}}}}}}"
        told = refused(f"name: {name}\n{line}\npolicies: {{p: {{default: run out}}}}\n")
        assert f"a sign that cannot be seen (U+{ord(sign):04X})" in told
        assert sign not in told


def test_the_depth_of_pythons_own_stack_is_never_met() -> None:
    here = sys.getrecursionlimit()
    for depth in (38, 39, 40, 41, 60):
        outcome("a: " + "[" * depth + "]" * depth)
        outcome("".join("  " * at + f"k{at}:\n" for at in range(depth)))
    assert sys.getrecursionlimit() == here


@FUZZ
@given(st.text(max_size=200))
def test_random_text_gives_a_works_or_an_error(text: str) -> None:
    outcome(text)


@FUZZ
@given(st.binary(max_size=200))
def test_random_bytes_in_a_file_give_a_works_or_an_error(
    tmp_path_factory: pytest.TempPathFactory, content: bytes
) -> None:
    path = tmp_path_factory.mktemp("hostile") / "x.yaml"
    path.write_bytes(content)
    with pytest.raises(ScenarioError):
        load_works(path)


@FUZZ
@given(
    st.integers(0, len(LINES) - 1),
    st.sampled_from(BITS),
    st.sampled_from(["value", "name", "line", "indent", "drop", "twice"]),
)
def test_one_changed_line_gives_a_works_or_an_error(at: int, bit: str, how: str) -> None:
    lines = list(LINES)
    name, colon, _ = lines[at].partition(":")
    indent = " " * (len(lines[at]) - len(lines[at].lstrip()))
    lines[at : at + 1] = {
        "value": [f"{name}{colon} {bit}"],
        "name": [f"{indent}{bit}: {lines[at].partition(':')[2]}"],
        "line": [f"{indent}{bit}"],
        "indent": ["  " + lines[at]],
        "drop": [],
        "twice": [lines[at], lines[at]],
    }[how]
    works = outcome("\n".join(lines))
    if works is not None:
        assert works_from_text(to_yaml(works)) == works


@FUZZ
@given(st.integers(0, 2**32))
def test_many_changed_signs_give_a_works_or_an_error(seed: int) -> None:
    chance = random.Random(seed)
    signs = list(a_scenario_text())
    for _ in range(chance.randint(1, 12)):
        signs[chance.randrange(len(signs))] = chance.choice(":{}[],'\"&*!|>%@`#-? \n\tax19.")
    outcome("".join(signs))


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.sampled_from(BITS),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Return every place of a plain tree."""
    below = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(place for key, entry in below for place in places(entry, (*path, key)))]


CONTENT = read_text(a_scenario_text(), "x").plain()
PLACES = [place for place in places(CONTENT) if place]


@FUZZ
@given(st.sampled_from(PLACES), ANYTHING)
def test_any_value_at_any_place_gives_a_works_or_an_error(place: tuple[Any, ...], value: Any) -> None:
    content = read_text(a_scenario_text(), "x").plain()
    around = content
    for key in place[:-1]:
        around = around[key]
    around[place[-1]] = value
    works = outcome_of(lambda: works_from_dict(content))
    if works is not None:
        assert works_from_text(to_yaml(works)) == works


@FUZZ
@given(ANYTHING)
def test_any_change_gives_a_works_or_an_error(value: Any) -> None:
    works = a_works()
    for changes in (
        {"lines": {"block": value}},
        {"policies": value},
        {"cutters": {"brush": value}},
        {"handbook": value},
    ):
        outcome_of(partial(changed, works, changes))
