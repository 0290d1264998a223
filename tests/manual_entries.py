"""Makes the manual's page of all entries from the works' own descriptions: ``python -m tests.manual_entries``."""

from __future__ import annotations

import types
import typing
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic.fields import FieldInfo

from linesim.works.base import Strict
from linesim.works.model import Works

__all__ = ["PAGE", "entries_page", "parts"]

PAGE = Path(__file__).resolve().parents[1] / "linesim" / "manual" / "entries.md"
WIDTH = 128

HEAD = """# Every entry of a scenario

Where it stands, what it means, its unit, and what holds where it is not given. A plain number means the unit named
here; a text may name another one (`0.125 in`). Times may be fixed or drawn, see the last part. How to begin:
`linesim manual scenario`.
"""


def parts() -> dict[str, type[Strict]]:
    """Every part of a scenario by where it stands first, as a reader comes upon it; times stand last."""
    places: dict[str, type[Strict]] = {}
    times: dict[str, type[Strict]] = {}
    _walk("", Works, places, times)
    first = next(iter(times))
    return places | {where.replace(first, "any time"): model for where, model in times.items()}


def _walk(path: str, model: type[Strict], places: dict[str, type[Strict]], times: dict[str, type[Strict]]) -> None:
    """Enter a part and all that are within it, each where it is met first."""
    if model in (*places.values(), *times.values()):
        return
    (times if model.__module__.endswith("durations") else places)[path] = model
    for name, field in model.model_fields.items():
        for inner, suffix in _models_in(field.annotation, ""):
            _walk(f"{path}.{name}{suffix}".lstrip("."), inner, places, times)


def _models_in(annotation: Any, suffix: str) -> Iterator[tuple[type[Strict], str]]:
    """Parts that may stand for an entry, with what stands between."""
    if isinstance(annotation, type) and issubclass(annotation, Strict):
        yield annotation, suffix
        return
    origin, inner = typing.get_origin(annotation), typing.get_args(annotation)
    if origin is dict:
        yield from _models_in(inner[1], f"{suffix}.<name>")
    elif origin is list:
        yield from _models_in(inner[0], f"{suffix}[]")
    elif origin in (typing.Union, types.UnionType):
        for each in inner:
            yield from _models_in(each, suffix)
    elif origin is not None and hasattr(annotation, "__metadata__"):
        yield from _models_in(annotation.__origin__, suffix)


def entries_page() -> str:
    """The page: a heading for each part, a line for each entry."""
    blocks = [HEAD]
    for where, model in parts().items():
        title = f"`{where}`" if where else "The file"
        first = " ".join((model.__doc__ or "").split("\n\n")[0].split())
        lines = [text for name, field in model.model_fields.items() for text in _wrapped(_entry(model, name, field))]
        blocks.append("\n".join([f"## {title}", "", *_wrapped(first), "", *lines]).rstrip() + "\n")
    return "\n".join(blocks)


def _entry(model: type[Strict], name: str, field: FieldInfo) -> str:
    words = " ".join(model.entry_words(name).split())
    return f"- `{name}`: {words}{_default(field)}"


def _default(field: FieldInfo) -> str:
    """What holds where the entry is not given, as far as the description leaves it open."""
    if field.is_required():
        return " Required."
    value = field.get_default(call_default_factory=True)
    if isinstance(value, bool):
        return f" Default: {'yes' if value else 'no'}."
    if isinstance(value, (int, float)):
        return f" Default: {value:.4g}."
    if isinstance(value, str) and value:
        return f" Default: {value}."
    return f" Default: {', '.join(map(str, value))}." if isinstance(value, list) and value else ""


def _wrapped(text: str) -> Iterator[str]:
    """Lines of a text; those after the first of an entry stand under its words."""
    indent = "  " if text.startswith("- ") else ""
    line = ""
    for word in text.split(" "):
        if line and len(line) + 1 + len(word) > WIDTH:
            yield line
            line = f"{indent}{word}"
        else:
            line = f"{line} {word}" if line else word
    yield line


if __name__ == "__main__":
    PAGE.write_text(entries_page(), encoding="utf-8")
