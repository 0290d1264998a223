"""Reading one figure of a scenario: a number in the documented unit, or a short text that carries its own unit."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from numbers import Real
from typing import TYPE_CHECKING, Any

from pydantic_core import PydanticCustomError, core_schema

from linesim.errors import nearest, quoted
from linesim.unit_table import counts_in_days, kind_of, root_of, unknown_name

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler

__all__ = ["REFUSALS", "Quantity", "refusal", "tidy"]

REFUSALS = "refusals"
"""Name in the validation context of a list of one number: how many figures may still be refused. Past that the rest
are passed over, as the scenario is refused in any case and nobody reads so many errors."""

_UNTOLD = 1.0
_LONGEST = 60
_MOST_FACTORS = 4096
_factors: dict[tuple[str, str, str], float] = {}
_GREATEST = 1e15
_FIGURE = re.compile(r"([+-]?(?:[0-9]{1,15}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?:[eE][+-]?[0-9]{1,2})?)\s*([^0-9\s].*)?")
_NAME = r"(?:[A-Za-zµμ°Å][A-Za-zµμ_]{0,23}|%|‰)(?:(?:\^|\*\*)-?[1-9]|[²³])?"
_UNIT = re.compile(rf"{_NAME}(?:\s?[*/·]\s?{_NAME}|\s{_NAME}){{0,4}}")
_SUGGESTED = (
    *("mm", "um", "µm", "cm", "m", "in", "inch", "thou", "ft"),
    *("m/min", "ft/min", "m/s", "mm/min", "in/min", "sfm"),
    *("min", "s", "h", "hours", "minutes", "shift", "day", "week", "year"),
    *("kW", "W", "hp", "N/um", "N/mm", "kN/mm", "deg", "rad", "um/mm", "mm/mm"),
)


def refusal(text: str, hint: str = "") -> PydanticCustomError:
    """Return the error that carries a sentence of our own, and a hint, through pydantic."""
    return PydanticCustomError("linesim", "{text}", {"text": text, "hint": hint})


def tidy(value: float) -> float:
    """Drop the noise of the last binary digit, so that 300 ft/min is 91.44 m/min.

    >>> tidy(91.44000000000001)
    91.44
    """
    return float(f"{value:.15g}") + 0.0


def _is_told(context: Mapping[str, Any]) -> bool:
    """Count a refusal, and say whether it is still one of those that are told."""
    left: list[int] = context.get(REFUSALS) or [1]
    left[0] -= 1
    return left[0] >= 0


@dataclass(frozen=True)
class Quantity:
    """A kind of quantity, the unit in which plain numbers are meant, and how texts are turned into it.

    Parameters
    ----------
    kind : str
        The kind in words, with its article: "a length".
    unit : str
        Unit of plain numbers; empty for one without.
    example : str
        A text that could be given.
    """

    kind: str
    unit: str
    example: str

    @property
    def expected(self) -> str:
        """The kind with an example, for errors."""
        return f'{self.kind} such as "{self.example}"'

    def read(self, value: Any, info: core_schema.ValidationInfo) -> float:
        """Return a value from a scenario as a number in the documented unit.

        Parameters
        ----------
        value : number or str
            What the scenario says.
        info : pydantic_core.core_schema.ValidationInfo
            Carries the calendar and the currency as its context.

        Returns
        -------
        float
            In `unit`.

        Raises
        ------
        PydanticCustomError
            If the value is no number and no text with a fitting unit.
        """
        context = info.context or {}
        try:
            if isinstance(value, str):
                return self.within(value, self.converted(value.strip(), context))
            return self.within(value, self.figure(value))
        except PydanticCustomError:
            if not _is_told(context):
                return _UNTOLD
            raise

    def figure(self, value: Any) -> Any:
        """Return a number as it is; true, false, lists and the like are none."""
        if value is None:
            raise self.refused("nothing is given")
        if isinstance(value, bool) or not isinstance(value, Real):
            raise self.refused(f"{quoted(value)} is not a number")
        return value

    def within(self, given: Any, value: Any) -> float:
        """Return the figure as a float, unless it is not finite or larger than anything that could be meant."""
        if not -_GREATEST <= value <= _GREATEST:
            finite = not isinstance(value, float) or isfinite(value)
            raise self.refused(f"{quoted(given)} is {'far too large' if finite else 'not a finite number'}")
        return float(value) + 0.0

    def converted(self, text: str, context: Mapping[str, Any]) -> float:
        """Return a text's figure converted from the text's unit to the documented one."""
        figure, unit = self.parted(text)
        if unit == context.get("currency"):
            raise self.refused(f"{quoted(text)} is an amount of money")
        return tidy(figure * self.factor(text, unit))

    def parted(self, text: str) -> tuple[float, str]:
        """Part a text into its figure and its unit."""
        match = _FIGURE.fullmatch(text) if len(text) <= _LONGEST else None
        if match is None or (match[2] is not None and not _UNIT.fullmatch(match[2])):
            comma = "Write decimals with a point." if re.match(r"[+-]?[0-9]+,[0-9]", text) else ""
            raise self.refused(f"{quoted(text)} cannot be read", comma)
        if match[2] is None:
            raise self.refused(f"{quoted(text)} has no unit", self._plain_meaning())
        return float(match[1]), match[2]

    def factor(self, text: str, unit: str) -> float:
        """Return what one of a unit is in the documented unit, by the table of units."""
        known = _factors.get((self.kind, self.unit, unit))
        if known is None:
            known = self._looked_up(text, unit)
            if len(_factors) < _MOST_FACTORS:
                _factors[self.kind, self.unit, unit] = known
        return known

    def _looked_up(self, text: str, unit: str) -> float:
        """Return the factor of a unit, or refuse the text that names it."""
        root, own = root_of(unit), root_of(self.unit or "dimensionless")
        if root is None or own is None:
            raise self._unknown_unit(text, unit)
        if counts_in_days(unit):
            raise self.refused(f'{quoted(text)} counts in "{unit}", which is not worked time')
        if kind_of(unit, root) != self.kind:
            raise self.refused(f"{quoted(text)} is {kind_of(unit, root)}", self._capitals(unit))
        return root[0] / own[0]

    def refused(self, answer: str, hint: str = "") -> PydanticCustomError:
        """Say what was found and what was expected."""
        return refusal(f"{answer}; {self.expected} was expected", hint)

    def _plain_meaning(self) -> str:
        """Say what a plain number would mean."""
        return f"A number without quotation marks means {self.unit}." if self.unit else ""

    def _unknown_unit(self, text: str, unit: str) -> PydanticCustomError:
        """Name the part of a unit that is not known, and the nearest that is."""
        name = unknown_name(unit) or unit
        fitting = [part for entry in _SUGGESTED if self.fits(entry) for part in entry.split("/")]
        near = nearest(name, fitting, 0.5) or nearest(name, _SUGGESTED)
        meant = f' (did you mean "{near}"?)' if near else ""
        return self.refused(f'{quoted(text)} has the unknown unit "{name}"{meant}')

    def _capitals(self, unit: str) -> str:
        """Hint at a unit that would fit, had it been written in small letters."""
        return f'Capital letters matter: did you mean "{unit.lower()}"?' if self.fits(unit.lower()) else ""

    def fits(self, unit: str) -> bool:
        """Whether a unit measures this kind of quantity."""
        root = root_of(unit)
        return root is not None and kind_of(unit, root) == self.kind

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Read the value before pydantic's own check of a number."""
        return core_schema.with_info_before_validator_function(self.read, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Tell editors that a number or a text will do."""
        plain = self.unit or "the fraction"
        words = f'{self.kind}: a number means {plain}, a text carries its unit, such as "{self.example}"'
        return {**handler(schema), "type": ["number", "string"], "description": words, "examples": [self.example]}
