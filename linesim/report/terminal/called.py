"""What operations do, in a few lines over tables that have room for their numbers alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.text import Text

from linesim.report.theme.grid import plain
from linesim.works import Works
from linesim.works.doing import what_it_does

__all__ = ["operations_key"]


def operations_key(works: Works, names: Iterable[tuple[str, str]]) -> Iterator[Text]:
    """One text on what operations do, or none where their names say it.

    Parameters
    ----------
    works : Works
        The checked scenario.
    names : iterable of (str, str)
        Line and operation of each row of the tables below; said once each.

    Yields
    ------
    rich.text.Text
    """
    entries = []
    for line, name in dict.fromkeys(names):
        does = what_it_does(name, works.lines[line].operations[name])
        if does and does.casefold() not in name.casefold():
            of_line = f"{line}, " if len(works.lines) > 1 else ""
            entries.append(f"{of_line}{name} {does}")
    if entries:
        yield Text(plain(f"Operations: {'; '.join(entries)}."))
