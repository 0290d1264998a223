"""What a report carries so that its figures can be had again: the scenario, the command, and what it was given."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from linesim.cli.guard import COMMAND, OPTIONS
from linesim.errors import StudyError
from linesim.report.files.page_file import report_in
from linesim.works import Works, to_yaml

__all__ = ["WHERE", "Report", "asked_again", "plain_options", "read_report"]

WHERE = frozenset(
    {
        "as_json",
        "csv",
        "parquet",
        "html",
        "pdf",
        "force",
        "write",
        "store",
        "name",
        "workers",
        "cluster",
        "trace",
        "excel",
        "file",
        "template",
        "state_out",
        "words",
    }
)
"""Options that say where an answer goes, or who works it out; they change no figure."""

_MOST_BYTES = 200_000_000
_EXPECTED = "a report that linesim wrote with --json or --html, or linesim.json of a --csv folder, was expected"


def asked_again(works: Works) -> dict[str, Any]:
    """What is to be carried: the scenario as a text, and the question.

    Parameters
    ----------
    works : Works
        What was asked about.

    Returns
    -------
    dict
        ``scenario``, and ``asked`` with the command and its options by name; a file beside the scenario by its path.
    """
    given = plain_options(WHERE, lambda path: {"file": str(path)})
    return {"scenario": to_yaml(works), "asked": {"command": COMMAND.get(""), "options": given}}


def plain_options(left_out: Collection[str], of_path: Callable[[Path], Any]) -> dict[str, Any]:
    """The options of the command under way, by name, as plain values.

    Parameters
    ----------
    left_out : collection of str
        Names of those that are not wanted.
    of_path : callable
        What stands for a path.
    """

    def plain(value: Any) -> Any:
        if isinstance(value, (list, tuple)):
            return [plain(each) for each in value]
        return of_path(value) if isinstance(value, Path) else value

    return {name: plain(value) for name, value in OPTIONS.get({}).items() if name not in left_out}


@dataclass(frozen=True)
class Report:
    """A report as it was read.

    Attributes
    ----------
    command : str
        Which command made it.
    options : mapping
        What it was given, by name.
    scenario : str
        As a file would have it.
    version : str
        Of linesim, that made it; empty if it does not say so.
    content : mapping
        All of it.
    """

    command: str
    options: Mapping[str, Any]
    scenario: str
    version: str
    content: Mapping[str, Any]


def read_report(path: Path) -> Report:
    """Read a report back.

    Raises
    ------
    StudyError
        It is no report, or one that does not carry its scenario, or that leans on a file beside it.
    OSError
        It cannot be read.
    """
    if path.stat().st_size > _MOST_BYTES:
        raise StudyError(f"{path}: larger than {_MOST_BYTES // 1_000_000} MB; {_EXPECTED}")
    try:
        text = path.read_text(encoding="utf-8")
        content = json.loads(report_in(text) or text)
    except (ValueError, RecursionError) as error:
        raise StudyError(f"{path}: this carries no JSON; {_EXPECTED}") from error
    inner = content.get("provenance", content) if isinstance(content, dict) else None
    held = content if isinstance(content, dict) and "asked" in content else inner
    if not isinstance(held, dict) or not isinstance(held.get("asked"), dict):
        raise StudyError(f"{path}: it carries no question to ask again; {_EXPECTED}")
    command, options, scenario = held["asked"].get("command"), held["asked"].get("options"), held.get("scenario")
    if not (isinstance(command, str) and isinstance(options, dict) and isinstance(scenario, str)):
        raise StudyError(f"{path}: its question or its scenario is missing; {_EXPECTED}")
    beside = sorted(name for name, value in options.items() if _names_a_file(value))
    if beside:
        raise StudyError(
            f"{path}: it leans on a file beside the scenario (--{beside[0].replace('_', '-')}), which a report does "
            "not carry; give the command itself again"
        )
    version = inner.get("linesim", "") if isinstance(inner, dict) else ""
    return Report(command, options, scenario, str(version), content)


def _names_a_file(value: Any) -> bool:
    if isinstance(value, list):
        return any(map(_names_a_file, value))
    return isinstance(value, dict)
