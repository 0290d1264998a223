"""Lines that meet: the parts of one are joined to those of another."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from linesim.units import Small, Whole
from linesim.works.base import Strict, text_or_other

__all__ = ["Classes", "Join"]

_Stock = Annotated[
    Annotated[Whole, Field(ge=1, le=1_000_000), Tag("other")] | Annotated[Literal["unlimited"], Tag("text")],
    Discriminator(text_or_other),
]


class Classes(Strict):
    """Parts are matched by classes of a size that was measured on both (selective assembly).

    The deviation of a size from its aim, as the drawing reads it and in the mean over the like places of its feature,
    falls into classes of equal width, of which the middle one lies about the aim. Only parts of the same class are
    joined, whichever has stood longest first. What the other line makes too much of in a class stays over, and may
    fill a limited stock until nothing more fits.
    """

    feature: str
    """The feature of this line whose size is classed."""
    to: str
    """The feature of the line that is joined whose size is classed."""
    width: Small = Field(gt=0)
    """Width of a class, µm as the drawing reads it."""


class Join(Strict):
    """One part of another line is joined to each part here.

    A machine begins when one of its own line's parts and one of each line that is joined stand there; of several that
    fit the one that has stood longest is taken. Parts that were taken off here before (``takes_off``) come back to the
    part that they were taken off; if either of the two has become scrap meanwhile, the other is of no more use: a part
    is scrapped here, and what was taken off is thrown out.
    """

    stock: _Stock = "unlimited"
    """Finished parts of that line that may stand before the operation; its last operation is held up by more."""
    classes: Classes | None = None
    """By which classes parts are matched; any two are joined unless given."""
