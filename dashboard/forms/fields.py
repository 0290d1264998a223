"""The figures of a scenario that matter, as fields of a form: each with its words, its unit and its text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import yaml
from pydantic import BaseModel

from linesim.errors import Problem, ScenarioError
from linesim.report.theme.shown import System, converted, unit_shown
from linesim.works import Works
from linesim.works.base import Strict
from linesim.works.book.cells import shown_cell
from linesim.works.book.spreads import entries_of, fault_of, parted
from linesim.works.durations import Spread
from linesim.works.nodes import Path
from linesim.works.reading import read_text
from linesim.works.scalars import plain_scalar
from linesim.works.shape import Shape, dotted, shape_at
from linesim.works.writing import plain

__all__ = [
    "Field", "changes_from", "cutter_fields", "errors_beside", "line_fields", "operation_fields", "policy_fields",
    "run_fields",
]  # fmt: skip

_OPERATION = ("machines", "buffer", "minutes", "load", "unload", "access", "stiffness", "power", "rate", "operators")
_CUT = ("depth", "speed", "feed", "removal", "length")
_CUTTER = ("sets", "price", "change", "extra_when_broken", "lead_time", "life", "presetting", "seen_after")
_LONGEST = 400
_WORDS = {
    "buffer": "buffer before it, parts",
    "load": "loading",
    "unload": "unloading",
    "access": "getting at the spindle",
    "default": "rule",
    "group_past": "change in the same stop what is past, share",
    "change": "change",
    "life": "edge life",
    "count": "people",
    "price": "price",
    "worth": "worth of a good part",
    "holding_rate": "holding one part",
    "labour_rate": "operator",
    "minutes": "time of a part",
    "length": "length",
    "warm_up": "warm-up",
    "presetters": "who preset sharp sets",
    "presetting": "presetting a sharp set",
    "seen_after": "a break is seen after, parts",
    "breakage_probe": "probe for broken cutters",
    "magazine": "magazine",
}
"""Words of entries that do not speak for themselves."""


@dataclass(frozen=True)
class Field:
    """One figure that may be changed.

    Attributes
    ----------
    path : tuple
        Its path in the scenario.
    words : str
        What it is, with the unit in which a plain number is taken.
    text : str
        As it stands; empty if it is left to its usual value.
    unit : str
        Unit in which a plain number is taken; empty if there is none.
    help : str
        More about it.
    group : str
        Under which heading it stands.
    """

    path: Path
    words: str
    text: str
    unit: str
    help: str
    group: str

    @property
    def key(self) -> str:
        """Its path as one text."""
        return " / ".join(map(str, self.path))


def operation_fields(works: Works, line: str, name: str, system: System = "metric") -> list[Field]:
    """What may be changed of an operation and its cuts."""
    operation = works.lines[line].operations[name]
    at: Path = ("lines", line, "operations", name)
    shown = [entry for entry in _OPERATION if entry != "minutes" or operation.minutes is not None]
    shown += ["magazine", "breakage_probe"] if operation.strokes else []
    fields = [_field(works, (*at, entry), operation, entry, system, name) for entry in shown]
    for stroke_name, stroke in operation.strokes.items():
        for cut_name, cut in stroke.cuts.items():
            path: Path = (*at, "strokes", stroke_name, "cuts", cut_name)
            group = f"{stroke_name}: {cut_name}" if stroke_name != cut_name else cut_name
            given = [entry for entry in _CUT if getattr(cut, entry) is not None]
            fields += [_field(works, (*path, entry), cut, entry, system, group) for entry in given]
    return fields


def cutter_fields(works: Works, name: str, system: System = "metric") -> list[Field]:
    """What may be changed of a cutter set."""
    cutter = works.cutters[name]
    return [_field(works, ("cutters", name, entry), cutter, entry, system, name) for entry in _CUTTER]


def line_fields(works: Works, line: str, system: System = "metric") -> list[Field]:
    """People, the crib and money."""
    fields = []
    for name, people in works.people.items():
        fields += [_field(works, ("people", name, entry), people, entry, system, name) for entry in ("count", "rate")]
    crib = ("grinders", "rate", "presetters")
    fields += [_field(works, ("crib", entry), works.crib, entry, system, "tool crib") for entry in crib]
    of = works.lines[line]
    fields.append(_field(works, ("lines", line, "casting", "price"), of.casting, "price", system, line))
    fields += [_field(works, ("lines", line, entry), of, entry, system, line) for entry in ("worth", "holding_rate")]
    fields.append(_field(works, ("prices", "labour_rate"), works.prices, "labour_rate", system, "whole works"))
    return fields


def run_fields(works: Works, system: System = "metric") -> list[Field]:
    """How long is run, with which chance, and what a shift is."""
    entries = ("length", "warm_up", "replications", "seed")
    fields = [_field(works, ("run", entry), works.run, entry, system, "run") for entry in entries]
    days = ("shift", "shifts_per_day", "days_per_week")
    return fields + [_field(works, ("calendar", entry), works.calendar, entry, system, "calendar") for entry in days]


def policy_fields(works: Works, policy: str, system: System = "metric") -> list[Field]:
    """The rules of a policy: one for all sets, and its exceptions."""
    of = works.policies[policy]
    at: Path = ("policies", policy)
    fields = [_field(works, (*at, "default"), of, "default", system, "all sets but the exceptions")]
    fields.append(_field(works, (*at, "group_past"), of, "group_past", system, "all sets but the exceptions"))
    for name in of.exceptions:
        path = (*at, "exceptions", name)
        fields.append(_field_of(works, path, of.exceptions[name], "rule", "", system, name))
    return fields


def changes_from(fields: Sequence[Field], texts: Mapping[str, str], system: System = "metric") -> dict[str, Any]:
    """What was written into fields, as changes to lay over the scenario; fields left as they were are left out.

    Parameters
    ----------
    fields : sequence of Field
        As they were shown.
    texts : mapping of str to str
        What stands in each now, by its key.
    system : {"metric", "inch"}
        A plain number is taken in this system's unit.

    Returns
    -------
    dict
        For `linesim.works.changed`. An emptied field takes its usual value again.

    Raises
    ------
    ScenarioError
        A text is too long, or is a group of entries that cannot be read.
    """
    changes: dict[str, Any] = {}
    for field in fields:
        text = texts.get(field.key, field.text).strip()
        if text != field.text:
            around = changes
            for name in field.path[:-1]:
                around = around.setdefault(str(name), {})
            around[str(field.path[-1])] = _value(field, text, system)
    return changes


def errors_beside(
    works: Works, fields: Sequence[Field], problems: Sequence[Problem]
) -> tuple[dict[str, str], list[str]]:
    """Problems sorted to the fields that they belong to.

    Returns
    -------
    (dict, list)
        Text by the key of the field; and the texts that belong to none of them, with their path.
    """
    paths = {field.key: dotted(type(works), field.path) for field in fields}
    beside: dict[str, str] = {}
    others = []
    for problem in problems:
        text = f"{problem.text} {problem.hint}".strip()
        key = next((key for key, path in paths.items() if _is_within(problem.path, path)), None)
        if key is None:
            others.append(f"{problem.path}: {text}" if problem.path else text)
        else:
            beside[key] = f"{beside[key]} {text}" if key in beside else text
    return beside, others


def _is_within(path: str, of: str) -> bool:
    return path == of or path.startswith((f"{of}.", f"{of}["))


def _field(works: Works, path: Path, model: Strict, entry: str, system: System, group: str) -> Field:
    """One entry of a part of the scenario."""
    about = model.entry_words(entry)
    return _field_of(
        works, path, getattr(model, entry), _WORDS.get(entry, entry.replace("_", " ")), about, system, group
    )


def _field_of(works: Works, path: Path, value: Any, name: str, about: str, system: System, group: str) -> Field:
    """A value with its words and its unit."""
    shape = shape_at(type(works), path)
    unit = shape.unit if shape is not None else ""
    if isinstance(value, Spread):
        unit = "min"
    if unit == "money" or "In the scenario's currency" in about:
        unit = works.currency if "hour" not in about else f"{works.currency}/h"
    shown = unit_shown(unit, system).replace("um", "µm").replace("uin", "µin")
    about = about.replace("In the scenario's currency.", "").strip()
    words = f"{name}, {shown}" if shown else name
    return Field(path, words, _text(value, unit, system), shown, about, group)


def _text(value: Any, unit: str, system: System) -> str:
    """A value as it would be written into the field."""
    if value is None:
        return ""
    if isinstance(value, bool | str):
        return str(value)
    if isinstance(value, int | float):
        return f"{converted(float(value), unit, system):.6g}" if not isinstance(value, int) else str(value)
    if isinstance(value, Spread) and value.fixed is None:
        return str(shown_cell(plain(value), Shape(model=Spread)))
    if isinstance(value, BaseModel):
        entries = plain(value)
        if list(entries) == ["fixed"]:
            return f"{entries['fixed']:.6g}"
        if entries == {"run_out": True}:
            return "run out"
        return yaml.safe_dump(
            entries, default_flow_style=True, width=10_000, sort_keys=False, allow_unicode=True
        ).strip()
    return str(value)


def _is_time(path: Path) -> bool:
    """Whether a time that may spread stands at a path."""
    shape = shape_at(Works, path)
    return shape is not None and shape.model is Spread


def _value(field: Field, text: str, system: System) -> Any:
    """What a text in a field stands for."""
    if len(text) > _LONGEST:
        problem = f"{len(text)} signs; at most {_LONGEST} were expected"
        raise ScenarioError([Problem("your changes", None, dotted(Works, field.path), problem)])
    if not text:
        return None
    if text.startswith("{"):
        return read_text(f"entry: {text}", "your changes").get("entry").plain()  # type: ignore[union-attr]
    if (parts := parted(text)).kind is not None and _is_time(field.path):
        if fault := fault_of(parts):
            raise ScenarioError([Problem("your changes", None, dotted(Works, field.path), fault)])
        return entries_of(parts)
    value = plain_scalar(text)
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    return f"{text} {field.unit}" if is_number and system == "inch" and field.unit else value
