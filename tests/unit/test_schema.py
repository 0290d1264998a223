"""The JSON Schema takes real scenarios and refuses wrong ones; a scenario written out reads back to an equal one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import jsonschema
import pytest
import yaml

from linesim.rules import KINDS
from linesim.works import changed, digest, scenario_schema, to_yaml, works_from_dict, works_from_text
from linesim.works.reading import read_text
from linesim.works.writing import plain
from tests.builders import a_scenario_text, a_works, flow_line

SCHEMA = scenario_schema()
CHECKER = jsonschema.Draft202012Validator(SCHEMA)


def content(text: str) -> Any:
    return read_text(text, "x").plain()


def is_taken(text: str) -> bool:
    return bool(CHECKER.is_valid(content(text)))


def test_the_schema_is_a_schema() -> None:
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def test_real_scenarios_are_taken() -> None:
    for text in (a_scenario_text(), to_yaml(a_works()), to_yaml(flow_line([1, "2 min", {"exponential": {"mean": 3}}]))):
        assert [error.message for error in CHECKER.iter_errors(content(text))] == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("depth: 3 mm", "depth: [3]"), ("depth: 3 mm", "depth: 0"), ("depth: 3 mm", "depht: 3 mm"),
        ("teeth: 12", "teeth: 0"),
        ("teeth: 12", "teeth: '12'"), ("process: boring", "process: borin"),
        ("change: 6 min", "change: {lognorml: {mean: 3}}"),
        ("change: 6 min", "change: true"), ("default: run out", "default: run"),
        ("breaking: never", "breaking: seldom"),
        ("buffer: 4", "buffer: none"), ("buffer: 4", "buffer: -1"), ("limits: [279.95, 280.05]", "limits: [1]"),
        ("linesim: 1", "linesim: 2"), ("operators: 0.5", "operators: 101"), ("life: 60", "life: 0"),
        ("name: Canal", "nam: Canal"),
    ],
)  # fmt: skip
def test_wrong_scenarios_are_refused(old: str, new: str) -> None:
    assert old in a_scenario_text()
    assert not is_taken(a_scenario_text().replace(old, new, 1))


def test_a_file_that_extends_may_leave_out_and_take_away() -> None:
    operations = "{Op 20: {chips: ~, load: ~}, Op 15: {after: Op 10, minutes: 2}}"
    upper = f"extends: other.yaml\nlines: {{block: {{operations: {operations}}}}}"
    assert is_taken(upper)
    assert not is_taken(upper.replace("extends: other.yaml", "name: x"))
    assert not is_taken(upper.replace("chips", "chisp"))
    assert not is_taken(upper.replace("other.yaml", "other.txt"))


def test_every_bound_has_its_standard_name() -> None:
    def names(schema: Any) -> Iterator[str]:
        if isinstance(schema, dict):
            if "type" in schema:
                yield from schema
            for entry in schema.values():
                yield from names(entry)
        elif isinstance(schema, list):
            for item in schema:
                yield from names(item)

    assert not {"gt", "ge", "lt", "le"} & set(names(SCHEMA))


def test_quantities_and_times_say_what_may_be_written() -> None:
    properties = SCHEMA["$defs"]["Cut"]["properties"]
    assert properties["depth"]["type"] == ["number", "string"]
    assert properties["depth"]["description"] == "Depth of cut a, mm per side."
    assert properties["depth"]["examples"] == ["3 mm"]
    kinds = SCHEMA["$defs"]["Cutter"]["properties"]["change"]["anyOf"]
    assert [kind.get("type", kind.get("$ref")) for kind in kinds] == ["number", "string", "#/$defs/Spread"]


def properties() -> Iterator[tuple[str, dict[str, Any]]]:
    for part, schema in SCHEMA["$defs"].items():
        if not part.endswith(" in part"):
            yield from ((f"{part}.{name}", entry) for name, entry in schema.get("properties", {}).items())


def test_every_entry_is_described() -> None:
    assert [place for place, entry in properties() if not entry.get("description")] == []
    assert len(list(properties())) > 150


UNITS = {
    "3 mm": "mm", "0.12 mm": "mm", "12 um": "µm", "90 m/min": "m/min", "20 um/min": "µm per minute", "7.5 kW": "kW",
    "20 N/um": "N/µm", "45 deg": "degrees", "3 um/mm": "µm per mm", "3 min": "minutes", "8 h": "minutes",
    "12.50 EUR": "currency", "60 EUR/h": "hour", "8 kN": "N", "3 K": "K",
}  # fmt: skip


def test_every_quantity_says_its_unit() -> None:
    found = {}
    for place, entry in properties():
        for kind in (entry, *entry.get("anyOf", ())):
            for example in kind.get("examples", ()):
                found[place] = UNITS.get(example, "") in entry["description"].replace("Minutes", "minutes")
    assert [place for place, said in found.items() if not said] == []
    assert len(found) > 70


def test_an_editor_can_complete_rules_renewals_processes_and_distributions() -> None:
    parts = SCHEMA["$defs"]
    assert set(parts["Rule"]["properties"]) == {kind.entry for kind in KINDS}
    default = parts["Policy"]["properties"]["default"]["anyOf"]
    assert default == [{"const": "run out"}, {"$ref": "#/$defs/Rule"}]
    assert list(parts["Renewal"]["properties"]) == ["reground", "indexed", "dressed", "bought"]
    processes = ["milling", "boring", "drilling", "reaming", "honing", "grinding"]
    assert parts["Cut"]["properties"]["process"]["enum"] == processes
    assert {"lognormal", "exponential", "listed"} < set(parts["Spread"]["properties"])


def test_a_works_written_out_reads_back_to_an_equal_one() -> None:
    for works in (
        a_works(),
        flow_line([1, {"listed": [1, 2.5]}, {"weibull": {"shape": 2, "mean": 3}}], [1, "unlimited"]),
    ):
        again = works_from_text(to_yaml(works))
        assert again == works
        assert digest(again) == digest(works)
        assert to_yaml(again) == to_yaml(works)


def test_what_is_written_is_short_and_plain() -> None:
    written = to_yaml(a_works())
    assert written.startswith("linesim: 1\nname: Canal-boat diesel, cylinder block\n")
    assert "    breaking: never\n" in written
    assert "    change: 6.0\n" in written
    assert "        default: run out\n" not in written
    assert "    default: run out\n" in written
    assert "approach" not in written
    assert "null" not in written
    assert "          limits: [279.95, 280.05]\n" in written


@pytest.mark.parametrize(
    "name",
    ["10", "1e3", "1.50", "true", "no", "null", "~", "2024-01-01", ".nan", "<<", "=", "a: b", "# x", "- x", " x ", "*a",
     "&a",
     "!t", "{", "'", '"', "\N{SNOWMAN}", "x" * 200, "\\", "%", "@", "`", "|", ">", "?", "\N{NO-BREAK SPACE}x"],
)  # fmt: skip
def test_any_name_and_any_text_can_be_written_and_read(name: str) -> None:
    works = works_from_dict({
        "name": name, "about": name,
        "lines": {name: {"operations": {name: {"minutes": 1, "about": name}}}},
        "policies": {name: {"default": {"own": {"name": name, "options": {name: [name, 1, 1.0, True, None, {}]}}}}},
    })  # fmt: skip
    again = works_from_text(to_yaml(works))
    assert again == works
    assert digest(again) == digest(works)


def test_the_digest_follows_the_content_and_not_the_writing() -> None:
    works = a_works()
    assert digest(works) == digest(
        works_from_text(a_scenario_text().replace("depth: 0.5\n", "depth: 500 um\n"), "other")
    )
    assert digest(works) != digest(changed(works, {"run": {"seed": 8}}))
    assert len(digest(works)) == 64


def test_the_digest_follows_the_order_of_the_routing() -> None:
    one, other = ({"operations": {name: {"minutes": 1} for name in names}} for names in (("a", "b"), ("b", "a")))
    lines = ({"name": "x", "lines": {"l": line}, "policies": {"p": {"default": "run out"}}} for line in (one, other))
    first, second = (digest(works_from_dict(entry)) for entry in lines)
    assert first != second


def test_plain_values_are_those_of_the_file() -> None:
    works = flow_line([1, "2 min"], [3], length="1 shift", seed=5)
    assert plain(works) == {
        "name": "flow line",
        "run": {"length": 480.0, "seed": 5},
        "lines": {"line": {"operations": {"Op 10": {"minutes": 1.0}, "Op 20": {"buffer": 3, "minutes": 2.0}}}},
        "policies": {"run out": {"default": "run out"}},
    }


def test_other_readers_of_yaml_read_the_same_figures() -> None:
    read = yaml.safe_load(to_yaml(a_works()))
    assert read["lines"]["block"]["features"]["deck"]["size"]["limits"] == [279.95, 280.05]
    assert read["cutters"]["rough blade"]["lead_time"] == 1920.0
