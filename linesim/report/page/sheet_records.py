"""What stands on a justification sheet, as records: figures keep their value, half width and places.

So a page can print them and a workbook can calculate with them.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from linesim.words import retell

__all__ = ["Amount", "Block", "Measured", "Reader", "SheetContent", "made_of"]

_UM_PER_INCH = 25_400.0


@dataclass(frozen=True)
class Reader:
    """In whose currency and units a sheet is written.

    Attributes
    ----------
    is_inch : bool
        Inches, thousandths and microinches in place of millimetres and micrometres.
    currency : str or None
        The reader's; the scenario's unless given.
    per_unit : float
        How much of it one unit of the scenario's currency is.
    """

    is_inch: bool = False
    currency: str | None = None
    per_unit: float = 1.0

    def small(self, value_um: float) -> float:
        """A value in µm, or in millionths of an inch."""
        return value_um / _UM_PER_INCH * 1e6 if self.is_inch else value_um

    def currency_for(self, scenarios: str) -> str:
        """The reader's currency; the scenario's unless it was given."""
        return self.currency or scenarios

    @property
    def small_unit(self) -> str:
        """Unit of roughness, spread and scratch."""
        return "µin" if self.is_inch else "µm"


@dataclass(frozen=True)
class Amount:
    """A figure with the places shown, its half width if there is one, and a mark if it is not significant."""

    value: float
    decimals: int = 2
    half_width: float = math.nan
    is_open: bool = False


Measured = str | Amount


@dataclass(frozen=True)
class Block:
    """A table of the sheet.

    Attributes
    ----------
    title : str
        What it shows.
    heads : tuple of str
        One per column.
    rows : tuple of tuples
        Texts and amounts.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Measured, ...], ...]


@dataclass(frozen=True)
class SheetContent:
    """Everything on a justification sheet.

    Attributes
    ----------
    title, works, question : str
        Head.
    answer : str
        The verdict in a sentence.
    is_clear : bool
        Whether the data carry it.
    certainty : str
        How sure it is.
    remarks : tuple of str
        Quality, minutes and the line, variant by variant.
    blocks : tuple of Block
        Tables: minutes and money, capability, what would change the answer, where the error comes from.
    shares : mapping
        By variant: standard deviation (reader's small unit) and share of the variance by source.
    account_of : str
        The feature whose account it is; empty if none was made.
    assumptions, sources, cautions : tuple of str
        What it stands on, and the cautions.
    provenance : tuple of pairs of str
        What is needed to make it again.
    small_unit : str
        Unit of the spreads.
    """

    title: str
    works: str
    question: str
    answer: str
    is_clear: bool
    certainty: str
    remarks: tuple[str, ...]
    blocks: tuple[Block, ...]
    shares: Mapping[str, tuple[float, Mapping[str, float]]]
    account_of: str
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    provenance: tuple[tuple[str, str], ...]
    small_unit: str = field(default="µm")
    long_capability: Block | None = None
    """The capability once more, one row for each characteristic and variant, for a workbook."""
    troubles: tuple[Block, ...] = ()
    """What went wrong, variants side by side, for a second sheet of a workbook."""


def made_of(content: SheetContent) -> str:
    """What is needed to make a sheet again, in one line."""
    return "; ".join(f"{retell(name)} {retell(value)}" for name, value in content.provenance if value)
