"""Empty records to fill in: one CSV file for each kind, with its headings, units and a few invented rows."""

from __future__ import annotations

import csv
import io

from linesim.records.kinds import KINDS, Column, Kind

__all__ = ["template_text", "templates"]


def templates() -> dict[str, str]:
    """Return the templates by their names as files."""
    return {f"{name.replace(' ', '-')}.csv": template_text(kind) for name, kind in KINDS.items()}


def template_text(kind: Kind) -> str:
    """Return one template as separated values.

    >>> template_text(KINDS["change minutes"]).splitlines()[0]
    'set,when,machine,change minutes [min]'
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(_head(column) for column in kind.columns)
    return text.getvalue() + "".join(f"{line}\n" for line in kind.examples)


def _head(column: Column) -> str:
    """A heading with its unit."""
    return f"{column.name} [{column.unit}]" if column.unit else column.name
