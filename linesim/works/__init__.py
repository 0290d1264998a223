"""The works: a scenario file becomes a checked description of lines, operations, cutters, people and policies."""

from __future__ import annotations

from linesim.works.load import changed, load_works, works_from_bytes, works_from_dict, works_from_text
from linesim.works.model import Works
from linesim.works.schema import scenario_schema
from linesim.works.writing import digest, to_yaml

__all__ = [
    "Works",
    "changed",
    "digest",
    "load_works",
    "scenario_schema",
    "to_yaml",
    "works_from_bytes",
    "works_from_dict",
    "works_from_text",
]
