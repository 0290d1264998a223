"""Lengths of time that a scenario states as fixed or as drawn from a named distribution."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar

from pydantic import BeforeValidator, Field, model_validator

from linesim.units import Minutes, Number, Whole, refusal
from linesim.works.base import AlsoTaken, Strict

__all__ = ["Duration", "Spread"]


class Exponential(Strict):
    """Exponential: no memory."""

    mean: Minutes = Field(gt=0, description="mean, minutes")


class Erlang(Strict):
    """Erlang: the sum of like exponential phases."""

    mean: Minutes = Field(gt=0, description="mean, minutes")
    phases: Whole = Field(ge=1, le=1000, description="number of phases")


class Gamma(Strict):
    """Gamma, by its mean and coefficient of variation."""

    mean: Minutes = Field(gt=0, description="mean, minutes")
    cv: Number = Field(gt=0, le=10, description="standard deviation over mean")


class Lognormal(Strict):
    """Lognormal, by its mean and coefficient of variation."""

    mean: Minutes = Field(gt=0, description="mean, minutes")
    cv: Number = Field(gt=0, le=10, description="standard deviation over mean")


class Weibull(Strict):
    """Weibull, by its shape and either its mean or its scale."""

    alternatives: ClassVar[frozenset[str]] = frozenset({"mean", "scale"})

    shape: Number = Field(ge=0.2, le=50, description="shape; above 1 the hazard rises")
    mean: Minutes | None = Field(default=None, gt=0, description="mean, minutes")
    scale: Minutes | None = Field(default=None, gt=0, description="scale (63.2 % point), minutes")

    @model_validator(mode="after")
    def _one_of(self) -> Weibull:
        if (self.mean is None) == (self.scale is None):
            raise ValueError("a Weibull time takes either mean or scale, one of the two")
        return self


class Uniform(Strict):
    """Uniform between two bounds."""

    low: Minutes = Field(ge=0, description="least, minutes")
    high: Minutes = Field(ge=0, description="most, minutes")

    @model_validator(mode="after")
    def _ordered(self) -> Uniform:
        if self.low > self.high:
            raise ValueError(f"low ({self.low:g} min) must not be above high ({self.high:g} min)")
        return self


class Triangular(Strict):
    """Triangular between two bounds with a most likely value."""

    low: Minutes = Field(ge=0, description="least, minutes")
    mode: Minutes = Field(ge=0, description="most likely, minutes")
    high: Minutes = Field(gt=0, description="most, minutes")

    @model_validator(mode="after")
    def _ordered(self) -> Triangular:
        if not self.low <= self.mode <= self.high or self.low == self.high:
            raise ValueError("low, mode and high must rise in that order")
        return self


class Spread(Strict):
    """A time drawn anew each time, from the one distribution that is named, or read off a list in its order."""

    expected: ClassVar[str] = 'a time such as "3 min" or {lognormal: {mean: 3, cv: 0.2}}'
    in_one_cell: ClassVar[bool] = True

    exponential: Exponential | None = None
    """Exponential: no memory."""
    erlang: Erlang | None = None
    """Erlang: the sum of like exponential phases."""
    gamma: Gamma | None = None
    """Gamma, by mean and coefficient of variation."""
    lognormal: Lognormal | None = None
    """Lognormal, by mean and coefficient of variation."""
    weibull: Weibull | None = None
    """Weibull, by shape and mean or scale."""
    uniform: Uniform | None = None
    """Uniform between two bounds."""
    triangular: Triangular | None = None
    """Triangular between two bounds, with a most likely value."""
    listed: list[Annotated[Minutes, Field(ge=0)]] | None = Field(
        default=None,
        min_length=1,
        max_length=20_000,
        description="times as taken with a watch; each time one of them is drawn, and none is used up",
    )
    in_order: list[Annotated[Minutes, Field(ge=0)]] | None = Field(
        default=None,
        min_length=1,
        max_length=20_000,
        description="times used in this order over and over, the same in every replication",
    )
    fixed: Annotated[Minutes, Field(ge=0)] | None = Field(default=None, description="always the same, minutes")

    @model_validator(mode="after")
    def _one_named(self) -> Spread:
        named = [name for name in type(self).model_fields if getattr(self, name) is not None]
        if len(named) != 1:
            answer = "none" if not named else " and ".join(named)
            raise ValueError(f"name exactly one distribution; found {answer}")
        return self

    @property
    def name(self) -> str:
        """Name of the distribution that is set."""
        return next(name for name in type(self).model_fields if getattr(self, name) is not None)


Spread.alternatives = frozenset(Spread.model_fields)


def _from_plain(value: Any) -> Any:
    """A plain number or text such as "3 min" is a fixed time."""
    if value is None:
        raise refusal(f"nothing is given; {Spread.expected} was expected")
    return value if isinstance(value, (dict, Spread)) else {"fixed": value}


_PLAIN_TIMES: tuple[dict[str, Any], ...] = (
    {"type": "number", "minimum": 0, "description": "always the same, minutes"},
    {"type": "string", "description": 'always the same, with its unit, such as "3 min"'},
)
Duration = Annotated[Spread, BeforeValidator(_from_plain), AlsoTaken(*_PLAIN_TIMES)]
"""A length of worked time: number of minutes, text with a unit, or a mapping naming one distribution."""
