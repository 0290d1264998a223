"""What a page is built of: texts, lists, tables, drawings, what is folded away; records that a template writes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

import plotly.graph_objects as go
from markupsafe import Markup
from plotly.io import to_html

from linesim.report.theme.markup import Cell, cells_shown

__all__ = ["Bullets", "Drawing", "Entry", "Folded", "Paragraph", "Piece", "Section", "Sketch", "Table"]


@dataclass(frozen=True)
class Paragraph:
    """A paragraph."""

    macro: ClassVar[str] = "text"
    text: str
    kind: str = ""

    @property
    def values(self) -> tuple[object, ...]:
        """For the macro."""
        return "p", self.text, self.kind


@dataclass(frozen=True)
class Bullets:
    """A list; nothing if there are no texts."""

    macro: ClassVar[str] = "bullets"
    texts: Sequence[str]
    kind: str = ""

    @property
    def values(self) -> tuple[object, ...]:
        """For the macro."""
        return tuple(self.texts), self.kind


@dataclass(frozen=True)
class Table:
    """A table whose first column names the rows.

    Attributes
    ----------
    caption : str
        What it shows, with units.
    heads : sequence of Cell
        One per column.
    rows : sequence of sequences of Cell
        The first cell of each is its heading.
    foot : sequence of Cell
        A row of sums; none if empty.
    """

    macro: ClassVar[str] = "table"
    caption: str
    heads: Sequence[Cell]
    rows: Sequence[Sequence[Cell]]
    foot: Sequence[Cell] = ()

    @property
    def values(self) -> tuple[object, ...]:
        """For the macro."""
        rows = [cells_shown(row) for row in self.rows]
        return self.caption, cells_shown(self.heads), rows, cells_shown(self.foot)


@dataclass(frozen=True)
class Drawing:
    """A picture with its caption.

    Attributes
    ----------
    figure : plotly Figure
        What is drawn.
    caption : str
        What it shows.
    name : str
        Of its element; the only one of this name on the page.
    """

    macro: ClassVar[str] = "drawing"
    figure: go.Figure
    caption: str
    name: str

    @property
    def values(self) -> tuple[object, ...]:
        """For the macro."""
        config = {"displayModeBar": False, "responsive": True}
        plot = to_html(self.figure, full_html=False, include_plotlyjs=False, div_id=self.name, config=config)
        return Markup(plot), self.caption  # noqa: S704 - plotly escapes its data, charts escape names


@dataclass(frozen=True)
class Folded:
    """What is shown once it is asked for."""

    macro: ClassVar[str] = "folded"
    summary: str
    pieces: Sequence[Piece]

    @property
    def values(self) -> tuple[object, ...]:
        """For the macro."""
        return self.summary, self.pieces


@dataclass(frozen=True)
class Sketch:
    """A small drawing for paper, ready as SVG, with its caption."""

    macro: ClassVar[str] = "drawing"
    svg: Markup
    caption: str

    @property
    def values(self) -> tuple[object, ...]:
        """For the macro."""
        return self.svg, self.caption


Piece = Paragraph | Bullets | Table | Drawing | Sketch | Folded


@dataclass(frozen=True)
class Section:
    """A numbered section of a page."""

    title: str
    pieces: Sequence[Piece]


@dataclass(frozen=True)
class Entry:
    """An entry of the title block, which says how a page can be made again; its width is "", "half" or "all"."""

    name: str
    value: str
    width: str = ""
