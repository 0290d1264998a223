"""What all answers of studies have in common: where they come from, their tables, their words, and how they print."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

import pandas as pd

from linesim import __version__
from linesim.result.plain import plain_table, plain_value
from linesim.works import Works, digest

__all__ = ["Answer", "origin_of"]

_MOST_SIGNS = 300
_MOST_ROWS = 30


class Answer(ABC):
    """The answer of a study."""

    @property
    @abstractmethod
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""

    @property
    @abstractmethod
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name, the one that is looked at first at the beginning."""

    @property
    @abstractmethod
    def sentences(self) -> tuple[str, ...]:
        """The answer in words."""

    @property
    def further(self) -> Mapping[str, Any]:
        """What `as_dict` tells beside provenance, sentences and tables; plain values."""
        return {}

    @property
    def summed(self) -> Mapping[str, Sequence[str]]:
        """By table, columns whose sum over rows is something to a reader."""
        return {}

    @property
    def called(self) -> Mapping[str, str]:
        """Names under which people know what was run, by `run_key`; those whose policy says enough are left out."""
        return {}

    @property
    def kept(self) -> dict[str, Any]:
        """What a store keeps of it: plain values, short."""
        return {"sentences": [str(each) for each in self.sentences], "called": dict(self.called)}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON; what is not a finite number becomes None."""
        head = {"provenance": plain_of(self.provenance), "sentences": list(self.sentences), **plain_of(self.further)}
        return head | {name: plain_table(table) for name, table in self.tables.items()}

    def __repr__(self) -> str:
        """Kind, works and the first sentence, on one line."""
        works = self.provenance.get("works", "")
        text = f"<{type(self).__name__} of {works}: {next(iter(self.sentences), 'no answer yet')}>"
        return text if len(text) <= _MOST_SIGNS else f"{text[: _MOST_SIGNS - 2]}…>"

    def _repr_html_(self) -> str:
        """The sentences and the first table, for a notebook."""
        words = "".join(f"<p>{escape(sentence)}</p>" for sentence in self.sentences)
        table = next(iter(self.tables.values()), pd.DataFrame())
        return f"<div>{words}{table.to_html(index=False, border=0, max_rows=_MOST_ROWS)}</div>"


def plain_of(content: Mapping[str, Any]) -> dict[str, Any]:
    """Plain values for JSON, groups and lists gone through."""
    return {str(name): _plain(value) for name, value in content.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return plain_of(value)
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    return None if value is None else plain_value(value)


def origin_of(works: Works, **figures: Any) -> dict[str, Any]:
    """Provenance: the works with its digest, what was asked, and the version of linesim.

    Parameters
    ----------
    works : Works
        What was asked about.
    **figures
        Policy, seed, replications and whatever else decides.

    Returns
    -------
    dict
    """
    return {"works": works.name, "digest": digest(works), **figures, "linesim": __version__}
