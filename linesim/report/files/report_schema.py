"""The JSON Schema of what ``--json`` prints, what a page carries and what lies beside CSV tables."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from linesim.errors import StudyError
from linesim.plan.tally import State
from linesim.yaml_text import data_of

__all__ = ["Column", "commands_with_reports", "report_schema", "table_columns"]

_SCALAR = {"type": ["string", "number", "boolean", "null"]}
_NAMED = {"type": "object", "additionalProperties": True}
_TYPES = {"text": "string", "number": "number", "whole": "integer", "flag": "boolean"}
_ENDS = {"_half_width": "half the width of the interval of", "_low": "lower end of the band of",
         "_high": "upper end of the band of"}  # fmt: skip
_STATE_ENDS = {"_min": ("min", "minutes"), "_share": ("", "share of the time")}


class Column(NamedTuple):
    """What a column of a table holds.

    Attributes
    ----------
    kind : {"text", "number", "whole", "flag"}
        Of its values, any of which may be missing.
    unit : str
        Empty for what has none, or where the row says it; "currency": that of the scenario.
    meaning : str
        In a few words.
    """

    kind: str
    unit: str
    meaning: str

    @property
    def schema(self) -> dict[str, Any]:
        """As JSON Schema; the unit stands under a name of its own, which validators leave alone."""
        unit = {"unit": self.unit} if self.unit else {}
        return {"type": [_TYPES[self.kind], "null"], "description": self.meaning, **unit}


def commands_with_reports() -> tuple[str, ...]:
    """Commands whose tables are described."""
    return tuple(_tables())


def table_columns(command: str) -> dict[str, dict[str, Column]]:
    """The tables of a command's report, and what each of their columns holds.

    Parameters
    ----------
    command : str
        Its name.

    Returns
    -------
    dict
        By the table's name, columns by theirs in their order.

    Raises
    ------
    StudyError
        The command gives no report.
    """
    if command not in _tables():
        raise StudyError(f'"{command}" gives no report; these do: {", ".join(_tables())}')
    of = _tables()[command]
    return {table: {name: _column(command, table, name) for name in each["columns"]} for table, each in of.items()}


def report_schema(command: str | None = None) -> dict[str, Any]:
    """The schema of a report.

    Parameters
    ----------
    command : str, optional
        Of which command; what all have in common unless given.

    Returns
    -------
    dict
        JSON Schema (2020-12). A report says how it came about (``command``, ``asked``, ``scenario``, ``provenance``),
        its answer in sentences, and its tables by name: a list of rows, each an object with a plain value for each
        column. Which tables there are is the command's; ``--csv`` and ``--parquet`` write the same ones, column for
        column.

    Raises
    ------
    StudyError
        The command gives no report.
    """
    table = {"type": "array", "items": {"type": "object", "additionalProperties": {"$ref": "#/$defs/value"}}}
    value = {"anyOf": [_SCALAR, {"type": "array", "items": _SCALAR}, {"type": "object"}]}
    own = {} if command is None else _own_tables(command)
    needed = [name for name in own if command is not None and not _tables()[command][name].get("is_optional")]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A report of linesim" if command is None else f"A report of linesim {command}",
        "type": "object",
        "required": ["command", *([] if command in _WITHOUT_SCENARIO else ["asked", "scenario"]), *needed],
        "properties": _head() | own,
        "additionalProperties": {"anyOf": [{"$ref": "#/$defs/table"}, {"$ref": "#/$defs/value"}]},
        "$defs": {"table": table, "value": value},
    }


_WITHOUT_SCENARIO = ("records", "prove", "watch", "practice", "trial")
"""Commands whose answer may rest on more than the one scenario that a report carries."""


def _head() -> dict[str, Any]:
    """What reports have in common."""
    of_asked = {
        "command": {"type": "string", "description": "Which command was given."},
        "options": _NAMED | {"description": "Its options by name; a file beside the scenario by its path."},
    }
    provenance = {
        "works": {"type": "string", "description": "Name of the works."},
        "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$", "description": "SHA-256 of the scenario."},
        "linesim": {"type": "string", "description": "Version that made it."},
        "seed": {"type": "integer", "minimum": 0, "description": "Key of all chance."},
    }
    return {
        "command": {"type": "string", "description": "The command line as it was typed, without passwords."},
        "asked": {"type": "object", "required": ["command", "options"], "properties": of_asked},
        "scenario": {"type": "string", "description": "The scenario in full, as a YAML file would have it."},
        "provenance": {"type": "object", "required": ["linesim"], "properties": provenance},
        "sentences": {"type": "array", "items": {"type": "string"}, "description": "The answer in words."},
        "currency": {"type": "string", "description": "Of all money in it."},
    }


def _own_tables(command: str) -> dict[str, Any]:
    return {name: _table(command, name, columns) for name, columns in table_columns(command).items()}


def _table(command: str, name: str, columns: Mapping[str, Column]) -> dict[str, Any]:
    """Schema of one table: rows with just these columns, and those whose names begin as it says."""
    of = _tables()[command][name]
    begins = {f"^{start}": {"type": ["number", "null"]} for start in of.get("begins", ())}
    properties = {column: held.schema for column, held in columns.items()}
    row = {"type": "object", "properties": properties, "required": list(columns), "additionalProperties": False}
    return {
        "type": "array",
        "description": of["about"],
        "items": row | ({"patternProperties": begins} if begins else {}),
    }


def _column(command: str, table: str, name: str) -> Column:
    """What a column holds: in this table, in all, or by the ending of its name."""
    known = _columns()
    for key in (f"{command}.{table}.{name}", name):
        if key in known:
            return known[key]
    for end, words in _ENDS.items():
        if name.endswith(end):
            of = _column(command, table, name.removesuffix(end))
            return Column("number", of.unit, f"{words} {name.removesuffix(end)}")
    return next(_of_state(name))


def _of_state(name: str) -> Iterator[Column]:
    for end, (unit, words) in _STATE_ENDS.items():
        for state in State:
            if name == f"{state.name.lower()}{end}":
                yield Column("number", unit, f"{words}: {state.words}")
    raise KeyError(f"nothing says what the column {name} holds; it belongs into columns.yaml")


@cache
def _columns() -> dict[str, Column]:
    """The words of columns.yaml."""
    return {name: Column(*(part.strip() for part in text.split(";", 2))) for name, text in _read("columns").items()}


@cache
def _tables() -> dict[str, dict[str, Any]]:
    """The tables of each command, as tables.yaml has them."""
    return _read("tables")


def _read(name: str) -> dict[str, Any]:
    content: dict[str, Any] = data_of("linesim.report.files", "data", f"{name}.yaml")
    return content
