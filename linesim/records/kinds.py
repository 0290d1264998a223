"""The kinds of record that a shop keeps, and the columns that each may have."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from linesim.yaml_text import data_of

__all__ = ["KINDS", "Column", "Kind", "headings_of", "words_of"]

Holds = Literal["name", "moment", "number", "count", "word"]
"""What the cells of a column are: a name as it is written, a date with or without a time, a figure, a whole number, or
one of a few words."""


@dataclass(frozen=True)
class Column:
    """One column of a kind of record.

    Attributes
    ----------
    name : str
        What linesim calls it.
    holds : str
        What its cells are.
    about : str
        What it means, for people.
    unit : str
        Unit of a figure that states none, and of the figure as it is read.
    least, most : float
        Figures outside are doubtful.
    words : tuple of str
        The words that a word may be.
    """

    name: str
    holds: Holds
    about: str
    unit: str = ""
    least: float = 0.0
    most: float = 1e9
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class Kind:
    """One kind of record.

    Attributes
    ----------
    name : str
        What linesim calls it.
    about : str
        What it is, for people.
    columns : tuple of Column
        All that it may have.
    needed : tuple of tuples of str
        Of each group of columns at least one has to be there, in the file and in every row.
    key : tuple of str
        Columns that no two rows share; empty if rows may be alike.
    examples : tuple of str
        Rows of its template, invented, as separated values in the order of the columns.
    """

    name: str
    about: str
    columns: tuple[Column, ...]
    needed: tuple[tuple[str, ...], ...]
    key: tuple[str, ...] = ()
    examples: tuple[str, ...] = ()

    def column(self, name: str) -> Column:
        """Return the column of a name."""
        return next(column for column in self.columns if column.name == name)


ENDINGS = ("worn", "broken", "by interval", "other")
"""Why a set was changed."""
REASONS = ("breakdown", "planned", "other")
"""Why a machine stood."""

_SET = Column("set", "name", "the cutter set, as the scenario names it")
_MACHINE = Column("machine", "name", "the operation or machine")
_WHEN = Column("when", "moment", "date, with or without the time")
_EDGE = Column("edge", "name", "number of the edge, where the shop numbers them")
_PARTS = Column("parts", "count", "parts since the last change", most=1e7)
_MINUTES = Column("minutes", "number", "cutting time since the last change", "min", most=1e7)
_EACH = Column("minutes per part", "number", "cutting time of the set in one part", "min", most=1e4)
_CUT = (
    Column("speed", "number", "cutting speed", "m/min", 0.1, 5000.0),
    Column("feed", "number", "feed per revolution, or per tooth in milling", "mm", 0.0001, 20.0),
    Column("depth", "number", "depth of cut", "mm", 0.0001, 100.0),
)
_BATCH = Column("batch", "name", "batch of cutters or castings")
_MATERIAL = Column("material", "name", "what is cut, where one set cuts several materials")

KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(
            "tool changes", "the tool-change book: one row for each set changed",
            (
                _SET, _WHEN, _MACHINE, _PARTS, _MINUTES,
                Column("why", "word", "why it was changed", words=ENDINGS),
                *_CUT, _BATCH, _EDGE, _EACH,
                Column("last good", "number", "cutting time when it was last seen good", "min", most=1e7),
                Column("change minutes", "number", "how long the change took", "min", most=1e4),
                Column("first part error", "number", "error of the first part after the change", "um", -1e5, 1e5),
                _MATERIAL,
            ),
            (("set",), ("parts", "minutes"), ("why",)),
            ("set", "when", "machine", "parts", "minutes", "edge"),
            (
                "rough mill,2026-03-02 07:40,Op 10,62,,worn,110,0.15,3,A 17,,0.58,,6.5,4,",
                "rough mill,2026-03-02 13:05,Op 10,41,,broken,110,0.15,3,A 17,,0.58,,19,-3,",
                "rough mill,2026-03-03 08:10,Op 10,60,,by interval,110,0.15,3,A 18,,0.58,,6,2,",
            ),
        ),
        Kind(
            "gauge readings", "wear land, size or roughness, read at parts since the change",
            (
                _SET, _WHEN, _MACHINE, _EDGE, _PARTS, _MINUTES,
                Column("wear land", "number", "width of the wear land", "mm", 0.0, 10.0),
                Column("size error", "number", "size read less size aimed at", "um", -1e5, 1e5),
                Column("roughness", "number", "Ra", "um", 0.001, 500.0),
                *_CUT, _BATCH, _EACH, _MATERIAL,
            ),
            (("set",), ("parts", "minutes"), ("wear land", "size error", "roughness")),
            ("set", "edge", "machine", "when", "parts", "minutes"),
            (
                "finish mill,2026-03-02 09:10,Op 20,7,20,,0.06,3,0.9,130,0.12,0.5,,0.55,",
                "finish mill,2026-03-02 11:50,Op 20,7,80,,0.14,9,1.2,130,0.12,0.5,,0.55,",
            ),
        ),
        Kind(
            "gauge study", "the same parts read by several persons, several times",
            (
                Column("part", "name", "number of the part"), Column("person", "name", "who read it"),
                Column("repeat", "name", "which reading of the same part by the same person"),
                Column("reading", "number", "what was read", "mm", -1e6, 1e6),
                Column("reference", "number", "true size of the part, where it is known", "mm", -1e6, 1e6),
                _WHEN, Column("gauge", "name", "the gauge, as the scenario names it"),
            ),
            (("part",), ("reading",)),
            ("gauge", "part", "person", "repeat", "when"),
            (
                "1,first,1,29.998,,2026-03-02 10:00,height gauge",
                "1,first,2,30.001,,2026-03-02 10:20,height gauge",
            ),
        ),
        Kind(
            "stoppages", "when each machine stood, and why",
            (
                _MACHINE, Column("start", "moment", "when it stopped"), Column("end", "moment", "when it went on"),
                Column("reason", "word", "why it stood", words=REASONS),
            ),
            (("machine",), ("start",), ("reason",)),
            ("machine", "start", "end"),
            (
                "Op 10,2026-03-02 07:10,2026-03-02 08:05,breakdown",
                "Op 10,2026-03-02 12:00,2026-03-02 12:30,planned",
            ),
        ),
        Kind(
            "change minutes", "how long changes of a set take, by the watch",
            (_SET, _WHEN, _MACHINE, Column("change minutes", "number", "how long the change took", "min", most=1e4)),
            (("set",), ("change minutes",)),
            ("set", "when", "machine"),
            ("rough mill,2026-03-02 07:40,Op 10,6.5",),
        ),
        Kind(
            "counts", "parts finished and turned down, by day or shift",
            (
                _WHEN, _MACHINE, Column("good", "count", "good parts", most=1e8),
                Column("scrap", "count", "parts scrapped", most=1e8),
                Column("running minutes", "number", "time that the machine ran", "min", most=1e7),
            ),
            (("when",), ("good", "scrap")),
            ("when", "machine"),
            ("2026-03-02,Op 30,118,3,880",),
        ),
        Kind(
            "castings", "castings as they came: metal on a surface, and the heat or batch",
            (
                Column("feature", "name", "the surface, as the scenario names it"), _WHEN,
                Column("casting", "name", "number of the casting"), _BATCH,
                Column("stock", "number", "metal per side that stands on the surface", "mm", -50.0, 200.0),
            ),
            (("feature",), ("stock",)),
            ("feature", "casting", "batch", "when", "stock"),
            ("top face,2026-03-02,4711,heat 12,4.12", "top face,2026-03-02,4712,heat 12,3.87"),
        ),
        Kind(
            "regrinds", "the tool grinder's book: one row for each set ground sharp",
            (
                _SET, _WHEN, _EDGE,
                Column("wear land", "number", "width of the wear land before", "mm", 0.0, 10.0),
                Column("metal taken", "number", "metal that was ground away", "mm", 0.0, 50.0),
            ),
            (("set",), ("metal taken",)),
            ("set", "edge", "when", "wear land", "metal taken"),
            ("finish mill,2026-03-02,7,0.28,0.41", "finish mill,2026-03-04,8,0.31,0.4"),
        ),
        Kind(
            "offsets", "what was put on the offset for an error read, 0 where it was left alone",
            (
                Column("gauge", "name", "the gauge, as the scenario names it"), _WHEN, _MACHINE,
                Column("error read", "number", "size read less size aimed at, per side", "um", -1e5, 1e5),
                Column("offset", "number", "by how much the offset was changed", "um", -1e5, 1e5),
            ),
            (("error read",), ("offset",)),
            ("gauge", "machine", "when", "error read", "offset"),
            ("height gauge,2026-03-02 09:10,Op 20,7.5,5", "height gauge,2026-03-02 09:40,Op 20,2,0"),
        ),
    )
}  # fmt: skip
"""All kinds of record, by name."""


@cache
def _data() -> dict[str, Any]:
    """The headings and words that shops write."""
    data: dict[str, Any] = data_of("linesim.records", "data", "headings.yaml")
    return data


def headings_of(column: str) -> tuple[str, ...]:
    """Return the headings by which a column is guessed, in small letters, its own name first."""
    return (column, *map(str, _data()["headings"].get(column, ())))


def words_of(word: str) -> tuple[str, ...]:
    """Return what shops write for one of the words, in small letters, the word itself first."""
    return (word, *map(str, _data()["words"].get(word, ())))
