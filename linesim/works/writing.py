"""A checked works becomes a file again, and a digest by which runs are known."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import yaml
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from linesim.works.durations import Spread
from linesim.works.losses import AS_REJECTED, AsRejected
from linesim.works.model import Works
from linesim.works.policies import Rule
from linesim.works.scalars import looks_like_date, looks_not_finite, plain_scalar
from linesim.yaml_text import DUMPER

__all__ = ["digest", "plain", "to_yaml"]


def digest(works: Works) -> str:
    """Return the fingerprint of everything that a works says.

    Parameters
    ----------
    works : Works
        Checked.

    Returns
    -------
    str
        SHA-256 in hexadecimal, over the whole content with its usual values, in the order of the file: the order of
        operations is part of what a works says.
    """
    content = works.model_dump(mode="json")
    for name in ("engine", "today"):  # a works that leaves these out keeps the fingerprint from before there were any
        if content[name] is None:
            del content[name]
    text = json.dumps(content, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def to_yaml(works: Works) -> str:
    """Write a works as a scenario file that reads back to an equal works.

    Parameters
    ----------
    works : Works
        Checked.

    Returns
    -------
    str
        YAML; figures in the documented units, and only what differs from the usual values.
    """
    text: str = yaml.dump(
        {"linesim": works.linesim, **plain(works)},
        Dumper=_Writer, sort_keys=False, allow_unicode=True, width=110, default_flow_style=False,
    )  # fmt: skip
    return text


def plain(model: BaseModel) -> dict[str, Any]:
    """Return what a part of a scenario says, as plain values and without what it leaves at its usual value.

    Parameters
    ----------
    model : BaseModel
        A works or a part of one.

    Returns
    -------
    dict
        As it could stand in a file; figures in the documented units.
    """
    entries: dict[str, Any] = {}
    for name, entry in type(model).model_fields.items():
        value = getattr(model, name)
        if entry.is_required() or not _is_usual(value, entry):
            entries[name] = "never" if value is None else _plain(value)  # only the breaking of a cutter
    return entries


def _is_usual(value: Any, entry: FieldInfo) -> bool:
    """Whether an entry has the value that it would have if it were left out."""
    usual = entry.get_default(call_default_factory=True)
    if isinstance(value, Spread) and isinstance(usual, float):
        usual = Spread(fixed=usual)
    return bool(value == usual) and not isinstance(value, AsRejected)


def _plain(value: Any) -> Any:
    """Return one value as it could stand in a file."""
    if isinstance(value, AsRejected):
        return AS_REJECTED
    if isinstance(value, Spread) and value.fixed is not None:
        return value.fixed
    if isinstance(value, Rule) and value.run_out:
        return "run out"
    if isinstance(value, BaseModel):
        return plain(value)
    if isinstance(value, dict):
        return {name: _plain(entry) for name, entry in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(item) for item in value]
    return value


class _Writer(DUMPER):  # type: ignore[misc]
    """Quotes what this project's reader would not take as text."""

    def resolve(self, kind: type[yaml.Node], value: Any, implicit: Any) -> Any:
        """Return the tag that the reader gives to an unquoted text."""
        if kind is yaml.ScalarNode and implicit[0]:
            return _tag(value)
        return super().resolve(kind, value, implicit)

    def represent_sequence(self, tag: str, sequence: Any, flow_style: bool | None = None) -> yaml.SequenceNode:
        """Write a list of plain values in one line."""
        short = not any(isinstance(item, (dict, list)) for item in sequence)
        node: yaml.SequenceNode = super().represent_sequence(tag, sequence, flow_style=short or flow_style)
        return node

    def ignore_aliases(self, data: Any) -> bool:
        """Write everything out."""
        del data
        return True


def _tag(text: str) -> str:
    """Return the tag of an unquoted text; what the reader refuses is no text."""
    if looks_like_date(text) or looks_not_finite(text) or text == "<<":
        return "tag:yaml.org,2002:timestamp"
    kinds = {type(None): "null", bool: "bool", int: "int", float: "float"}
    return "tag:yaml.org,2002:" + kinds.get(type(plain_scalar(text)), "str")
