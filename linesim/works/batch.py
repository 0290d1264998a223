"""Batch stations: washers, furnaces, leak benches and other machines that take several parts at once."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from linesim.units import Minutes, Whole
from linesim.works.base import Strict

__all__ = ["Batch"]


class Batch(Strict):
    """The machine takes several parts at once; none may join a batch that runs.

    A free machine takes parts in as they come. It starts when it is full, or with ``least`` parts or more once the
    first of them has stood in it for the time that it ``waits``. Of several machines the one that has been free longest
    is filled first. The operation's minutes are those of a batch, drawn once for it.
    """

    most: Whole = Field(ge=1, le=10_000)
    """Parts that it takes at once."""
    least: Whole = Field(default=1, ge=1, le=10_000)
    """Parts below which it never starts; as many as ``most`` for a machine that waits until it is full."""
    waits: Minutes = Field(default=0.0, ge=0, le=100_000)
    """Minutes that it waits for more once a part stands in it, if it is not full; 0 to start with what is there."""
    loaded: Literal["one by one", "together"] = "one by one"
    """Whether loading and unloading take their time for each part, each of which goes on when it is out, or once for
    the whole batch, as with a basket."""

    @model_validator(mode="after")
    def _in_order(self) -> Batch:
        if self.least > self.most:
            raise ValueError(f"least ({self.least}) must not be above most ({self.most})")
        return self
