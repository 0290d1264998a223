"""The JSON Schema of what ``--json`` prints, what a page carries and what lies beside CSV tables."""

from __future__ import annotations

from typing import Any

__all__ = ["report_schema"]

_SCALAR = {"type": ["string", "number", "boolean", "null"]}
_NAMED = {"type": "object", "additionalProperties": True}


def report_schema() -> dict[str, Any]:
    """The schema of a report.

    Returns
    -------
    dict
        JSON Schema (2020-12). A report says how it came about (``command``, ``asked``, ``scenario``, ``provenance``),
        its answer in sentences, and its tables by name: a list of rows, each an object with a plain value for each
        column. Which tables there are is the command's; ``--csv`` writes the same ones, column for column.
    """
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
    table = {"type": "array", "items": {"type": "object", "additionalProperties": {"$ref": "#/$defs/value"}}}
    value = {"anyOf": [_SCALAR, {"type": "array", "items": _SCALAR}, {"type": "object"}]}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A report of linesim",
        "type": "object",
        "required": ["command", "asked", "scenario"],
        "properties": {
            "command": {"type": "string", "description": "The command line as it was typed, without passwords."},
            "asked": {"type": "object", "required": ["command", "options"], "properties": of_asked},
            "scenario": {"type": "string", "description": "The scenario in full, as a YAML file would have it."},
            "provenance": {"type": "object", "required": ["works", "digest", "linesim"], "properties": provenance},
            "sentences": {"type": "array", "items": {"type": "string"}, "description": "The answer in words."},
            "currency": {"type": "string", "description": "Of all money in it."},
        },
        "additionalProperties": {"anyOf": [{"$ref": "#/$defs/table"}, {"$ref": "#/$defs/value"}]},
        "$defs": {"table": table, "value": value},
    }
