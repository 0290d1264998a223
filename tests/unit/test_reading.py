"""A YAML text becomes a plain tree with lines; what could surprise is refused with its line.

Source for what a plain scalar means: YAML 1.2.2, section 10.3.2 (core schema).
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from linesim.errors import Problem, ScenarioError
from linesim.works.nodes import UNREADABLE, node_from_plain
from linesim.works.reading import read_file, read_text


def refused(text: str) -> str:
    with pytest.raises(ScenarioError) as caught:
        read_text(text, "x.yaml")
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("~", None), ("null", None), ("", None), ("true", True), ("False", False), ("12", 12), ("-3", -3), ("+4", 4),
        ("1e3", 1000.0), ("1.5", 1.5), (".5", 0.5), ("5.", 5.0), ("1E-2", 0.01),
        ("yes", "yes"), ("no", "no"), ("on", "on"), ("off", "off"), ("y", "y"), ("1:30", "1:30"), ("1_000", "1_000"),
        ("0x1F", "0x1F"), ("0b1", "0b1"), ("3 mm", "3 mm"), ("'12'", "12"), ('"true"', "true"),
        ("'2024-01-01'", "2024-01-01"),
        ("012", 12), ("tRUE", "tRUE"), ("=", "="), ("nan", "nan"), ("inf", "inf"),
    ],
)  # fmt: skip
def test_plain_scalars_mean_what_the_core_schema_says(text: str, value: Any) -> None:
    read = read_text(f"a: {text}", "x.yaml").plain()["a"]
    assert read == value
    assert type(read) is type(value)


def test_every_value_knows_its_line() -> None:
    tree = read_text("a:\n  b: 1\n  c:\n    - 5\n    - {d: 6,\n       e: 7}\n", "x.yaml")
    lines = {path: [*tree.along(path)][-1].line for path in [("a",), ("a", "b"), ("a", "c", 0), ("a", "c", 1, "e")]}
    assert lines == {("a",): 1, ("a", "b"): 2, ("a", "c", 0): 4, ("a", "c", 1, "e"): 6}


def test_numbers_as_names_are_names() -> None:
    assert read_text("10: a\n1.50: b\ntrue: c\nyes: d", "x.yaml").plain() == {
        "10": "a",
        "1.50": "b",
        "true": "c",
        "yes": "d",
    }


def test_an_alias_stands_for_what_was_anchored_and_has_its_own_line() -> None:
    tree = read_text("a: &x {b: 1}\nc: *x\nd: [*x]\n", "x.yaml")
    assert tree.plain() == {"a": {"b": 1}, "c": {"b": 1}, "d": [{"b": 1}]}
    assert tree.value["c"].line == 2


def test_a_byte_order_mark_is_passed_over() -> None:
    assert read_text("\ufeffa: 1", "x.yaml").plain() == {"a": 1}


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("a: 1\nb: 2\na: 3", 'x.yaml, line 3: "a" is given twice, here and in line 1; once was expected'),
        ("10: 1\n'10': 3", 'x.yaml, line 2: "10" is given twice, here and in line 1; once was expected'),
        (
            "a:\n  b: 2024-05-01",
            (
                'x.yaml, line 2: "2024-05-01" is a date; a number or a text was expected\n'
                "    Put it in quotation marks if it is meant as text."
            ),
        ),
        (
            "a: 2001-12-14t21:59:43.10-05:00",
            (
                'x.yaml, line 1: "2001-12-14t21:59:43.10-05:00" is a date; a number or a text was expected\n'
                "    Put it in quotation marks if it is meant as text."
            ),
        ),
        ("a: .nan", 'x.yaml, line 1: ".nan" is not a finite number; a number was expected'),
        ("a:\n- 1\n- -.inf", 'x.yaml, line 3: "-.inf" is not a finite number; a number was expected'),
        ("a: 1e999", 'x.yaml, line 1: "1e999" is far too large; a number was expected'),
        (f"a: {'9' * 500}", f'x.yaml, line 1: "{"9" * 57}..." is far too large; a number was expected'),
        (
            "a: 1\n? [b, c]\n: 2",
            "x.yaml, line 2: the name of an entry must be a plain text or number",
        ),
        ("a: 1\n? {b: c}\n: 2", "x.yaml, line 2: the name of an entry must be a plain text or number"),
        ("~: 1", "x.yaml, line 1: the name of an entry is missing; a text before the colon was expected"),
        ("'': 1", "x.yaml, line 1: the name of an entry is missing; a text before the colon was expected"),
        (
            "a: &x {b: 1}\nc:\n  <<: *x\n",
            "x.yaml, line 3: << is not taken here\n    Write the entries out, or use extends: other.yaml.",
        ),
        ("a: *x", "x.yaml, line 1: *x stands for nothing; an earlier &x was expected"),
        (
            "a: &x\n  b: *x",
            "x.yaml, line 2: *x stands for something that it is itself a part of; a value before it was expected",
        ),
        ("a: !!binary aGVsbG8=", 'x.yaml, line 1: the tag "!!binary" is not taken here; plain values were expected'),
        (
            "a: 1\nb: !!python/object/apply:os.system ['true']",
            'x.yaml, line 2: the tag "!!python/object/apply:os.system" is not taken here; plain values were expected',
        ),
        ("a: !mine 3", 'x.yaml, line 1: the tag "!mine" is not taken here; plain values were expected'),
        ("!!map {a: 3}", 'x.yaml, line 1: the tag "!!map" is not taken here; plain values were expected'),
        ("a: 1\n---\nb: 2", "x.yaml, line 2: a second document begins here; a file holds one scenario"),
        ("", "x.yaml: the file is empty; a scenario was expected"),
        ("# only a remark\n", "x.yaml: the file is empty; a scenario was expected"),
        ("---\n", "x.yaml: the file is empty; a scenario was expected"),
        ("- 1\n- 2", "x.yaml, line 1: a list was found; entries such as name: and lines: were expected"),
        ("hello", 'x.yaml, line 1: "hello" was found; entries such as name: and lines: were expected'),
        ("a: 1\nb: \x07", "x.yaml, line 2: a control character (U+0007) was found; plain text was expected"),
        ("a: 1\nb: \ud800", "x.yaml, line 2: a control character (U+D800) was found; plain text was expected"),
        (
            'a: "\\0"',
            'x.yaml, line 1: "\N{REPLACEMENT CHARACTER}" holds a control character; plain text was expected',
        ),
        (
            "a: [1, 2\nb: 3",
            (
                "x.yaml, line 2: this is not YAML: did not find expected ',' or ']'\n"
                "    It was found while parsing a flow sequence that begins in line 1."
            ),
        ),
    ],
)
def test_what_could_surprise_is_refused_with_its_line(text: str, error: str) -> None:
    assert refused(text) == error


def test_values_that_are_refused_do_not_end_the_reading() -> None:
    text = "a: 2024-05-01\nb: {c: .inf, d: 3}\ne: 1\ne: 2\nf: [1, 1e999]\n"
    assert refused(text).splitlines() == [
        'x.yaml, line 1: "2024-05-01" is a date; a number or a text was expected',
        "    Put it in quotation marks if it is meant as text.",
        'x.yaml, line 2: ".inf" is not a finite number; a number was expected',
        'x.yaml, line 4: "e" is given twice, here and in line 3; once was expected',
        'x.yaml, line 5: "1e999" is far too large; a number was expected',
    ]
    assert refused(text + "g: [").splitlines()[:5] == refused(text).splitlines()
    problems: list[Problem] = []
    tree = read_text(text, "x.yaml", problems)
    assert tree.plain() == {
        "a": UNREADABLE, "b": {"c": UNREADABLE, "d": 3}, "e": UNREADABLE, "f": [1, UNREADABLE],
    }  # fmt: skip
    assert len(problems) == 4


def test_a_file_that_is_not_utf_8_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(b"a: 1\nb: \xe9\n")
    with pytest.raises(ScenarioError) as caught:
        read_file(path, "x.yaml")
    assert str(caught.value) == "x.yaml, line 2: byte 0xE9 is not UTF-8 text\n    Save the file as UTF-8."


def test_what_is_not_a_file_is_refused(tmp_path: Path) -> None:
    queue = tmp_path / "queue.yaml"
    os.mkfifo(queue)
    for path in (tmp_path, queue, Path("/dev/zero")):
        with pytest.raises(ScenarioError, match=r"^x: this is not a file; a scenario file was expected$"):
            read_file(path, "x")


def test_a_missing_file_and_an_impossible_name_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ScenarioError, match=r"^x: the file cannot be read: No such file or directory$"):
        read_file(tmp_path / "none.yaml", "x")
    with pytest.raises(ScenarioError, match=r"^x: the file cannot be read: its name cannot be used$"):
        read_file(tmp_path / "a\0b.yaml", "x")


def test_plain_values_become_a_tree_under_the_same_limits() -> None:
    assert node_from_plain({10: [1, (2.5,)], "b": None}, "given").plain() == {"10": [1, [2.5]], "b": None}
    endless: dict[str, Any] = {}
    endless["a"] = endless
    for content, error in [
        (endless, "given, a.a.a.a.a: nested deeper than 40; a scenario was expected"),
        (
            {"a": object()},
            "given, a: a value of type object cannot be part of a scenario; a number or a text was expected",
        ),
        ({10: 1, "10": 2}, 'given: "10" is given twice; once was expected'),
        ({None: 1}, "given: nothing is not a name; a text was expected as the name of an entry"),
        (
            {"a": {"b": "\x00"}},
            'given, a.b: "\N{REPLACEMENT CHARACTER}" holds a control character; plain text was expected',
        ),
    ]:
        with pytest.raises(ScenarioError) as caught:
            node_from_plain(content, "given")
        assert str(caught.value) == error
