"""The JSON Schema of a scenario file, so that editors complete it and check it while it is written."""

from __future__ import annotations

from typing import Any

from linesim.works.model import Works

__all__ = ["scenario_schema", "with_standard_bounds"]

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_BOUNDS = {"gt": "exclusiveMinimum", "ge": "minimum", "lt": "exclusiveMaximum", "le": "maximum"}
_PARTIAL = " in part"
_FILE = {"type": "string", "pattern": r"\.(?:ya?ml|xlsx)$", "examples": ["other.yaml"]}
_EXTENDS = {
    "anyOf": [_FILE, {"type": "array", "items": _FILE, "minItems": 1}],
    "title": "Extends",
    "description": "a file in this folder or below, or several, each over the one before it; "
    "what is said here goes over what they say, and null takes away",
}


def scenario_schema() -> dict[str, Any]:
    """Return the JSON Schema (draft 2020-12) of scenario files.

    Returns
    -------
    dict
        A file that extends another may leave out anything, and may take entries away with null; any other is checked
        in full.
    """
    full = with_standard_bounds(Works.model_json_schema(mode="validation"))
    parts = full.pop("$defs")
    partial = {name + _PARTIAL: _in_part(part) for name, part in parts.items()}
    extending = _in_part(full)
    extending["properties"] = {"extends": _EXTENDS, **extending["properties"]}
    return {
        "$schema": _DIALECT,
        "title": "linesim scenario",
        "description": full.get("description", ""),
        "type": "object",
        "if": {"required": ["extends"]},
        "then": {"$ref": "#/$defs/Works" + _PARTIAL},
        "else": {"$ref": "#/$defs/Works"},
        "$defs": {**parts, **partial, "Works": full, "Works" + _PARTIAL: extending},
    }


def with_standard_bounds(schema: Any) -> Any:
    """Return a schema in which every bound has its standard name."""
    if isinstance(schema, list):
        return [with_standard_bounds(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    bounded = "type" in schema
    return {
        _BOUNDS.get(name, name) if bounded and isinstance(entry, (int, float)) else name: with_standard_bounds(entry)
        for name, entry in schema.items()
    }


def _in_part(schema: Any) -> Any:
    """Return a schema in which nothing is required and every entry may be taken away."""
    if isinstance(schema, list):
        return [_in_part(item) for item in schema]
    if not isinstance(schema, dict):
        return schema
    copy = {name: _in_part(entry) for name, entry in schema.items() if name not in ("required", "minProperties")}
    if isinstance(copy.get("$ref"), str):
        copy["$ref"] += _PARTIAL
    for name in ("properties", "additionalProperties"):
        if isinstance(copy.get(name), dict):
            copy[name] = _removable(name, copy[name])
    return copy


def _removable(name: str, entries: dict[str, Any]) -> dict[str, Any]:
    """Return entries that may also be null."""
    if name == "additionalProperties":
        return {"anyOf": [entries, {"type": "null"}]}
    return {key: {"anyOf": [entry, {"type": "null"}]} for key, entry in entries.items()}
