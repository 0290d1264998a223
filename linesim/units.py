"""Text with a unit becomes a plain number in the unit that the model uses.

Each type exported here stands for a field of a scenario. A number means the documented unit; a text carries its own
unit ("0.125 in") and is converted. A shift, a day, a week and a year are worked time, by the scenario's calendar.
The calendar (minutes in each) and the currency come with pydantic's validation context, under those two names.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from numbers import Integral
from typing import TYPE_CHECKING, Annotated, Any

from linesim.errors import quoted
from linesim.quantity import Quantity, refusal, tidy
from linesim.unit_table import kind_of, root_of

if TYPE_CHECKING:
    from pydantic import GetJsonSchemaHandler
    from pydantic_core import core_schema

__all__ = [
    "USUAL_CALENDAR", "Angle", "ClockMinutes", "Feed", "Length", "Mass", "Minutes", "Money", "MoneyPerHour",
    "MoneyQuantity", "Number", "Power", "Quantity", "Removal", "Share", "Small", "Speed", "Stiffness", "StressRate",
    "Whole", "refusal",
]  # fmt: skip

USUAL_CALENDAR: Mapping[str, float] = {"shift": 480.0, "day": 960.0, "week": 4800.0, "year": 230_400.0}
"""Worked minutes in each, where a scenario says nothing else: two shifts of eight hours, 5 days, 48 weeks."""

_GREATEST_AMOUNT = 1e9
_GREATEST_COUNT = 2**64
_WORKED = {"shift": "shift", "day": "day", "d": "day", "week": "week", "year": "year"}


def _worked(unit: str) -> str | None:
    """Return the entry of the calendar that a unit of time names, if it names one."""
    return _WORKED.get(unit.lower().removesuffix("s"))


class _Feed(Quantity):
    """Feed: "per revolution" and "per tooth" may be quoted, and go without saying."""

    def converted(self, text: str, context: Mapping[str, Any]) -> float:
        """Leave out the revolution or the tooth, then convert the length."""
        return super().converted(re.sub(r"\s*/\s*(rev|revolution|r|tooth|z)$", "", text), context)


class _Time(Quantity):
    """Worked time: shifts, days, weeks and years are the calendar's."""

    def converted(self, text: str, context: Mapping[str, Any]) -> float:
        """Convert clock time by the table of units and worked time by the calendar."""
        figure, unit = self.parted(text)
        return tidy(figure * self.minutes_in(unit, context, text))

    def minutes_in(self, unit: str, context: Mapping[str, Any], text: str) -> float:
        """Return the worked minutes in one of a unit of time."""
        worked = _worked(unit)
        calendar: Mapping[str, float] = context.get("calendar") or USUAL_CALENDAR
        return calendar[worked] if worked else self.factor(text, unit)


class _Clock(_Time):
    """The length of a shift itself, which cannot be said in shifts."""

    def minutes_in(self, unit: str, context: Mapping[str, Any], text: str) -> float:
        """Convert clock time only."""
        if _worked(unit):
            raise self.refused(f"{quoted(text)} is counted in worked time, which this entry is there to define")
        return super().minutes_in(unit, context, text)


class MoneyQuantity(Quantity):
    """An amount in the scenario's one currency."""

    def read(self, value: Any, info: core_schema.ValidationInfo) -> float:
        """Give examples in the scenario's own currency, then read as usual."""
        currency = (info.context or {}).get("currency") or "EUR"
        own = replace(self, example=self.example.replace("EUR", currency))
        return super(MoneyQuantity, own).read(value, info)

    def converted(self, text: str, context: Mapping[str, Any]) -> float:
        """Take the currency off, if it is the scenario's."""
        figure, unit = self.parted(text)
        root = None if re.fullmatch(r"[A-Z]{3}", unit) or unit == context.get("currency") else root_of(unit)
        if root is not None:
            raise self.refused(f"{quoted(text)} is {kind_of(unit, root)}")
        self.same_currency(text, unit, context)
        return figure

    def within(self, given: Any, value: Any) -> float:
        """Refuse amounts that no ledger in minor units could sum."""
        amount = super().within(given, value)
        if abs(amount) > _GREATEST_AMOUNT:
            raise self.refused(f"{quoted(given)} is more than {_GREATEST_AMOUNT:,.0f}, beyond which no sum is exact")
        return amount

    def same_currency(self, text: str, unit: str, context: Mapping[str, Any]) -> None:
        """Refuse another currency than the scenario's; a context whose currency is None takes any."""
        currency = context.get("currency", "EUR")
        if currency is not None and unit != currency:
            raise refusal(
                f"{quoted(text)} is in {unit}, but this scenario is in {currency}",
                "A scenario has one currency: convert the figure, or change the entry currency.",
            )


class _MoneyPerHour(MoneyQuantity):
    """An amount for each hour, or for each other length of worked time."""

    def converted(self, text: str, context: Mapping[str, Any]) -> float:
        """Take the currency off and turn the time into hours."""
        figure, unit = self.parted(text)
        currency, slash, time = (part.strip() for part in unit.partition("/"))
        clock = _Time("a time", "min", "1 h")
        if not slash or not (_worked(time) or clock.fits(time)):
            raise self.refused(f"{quoted(text)} is not an amount per time")
        self.same_currency(text, currency, context)
        return tidy(figure * 60.0 / clock.minutes_in(time, context, text))


class _Plain(Quantity):
    """A figure without a unit; a text is not one."""

    @property
    def expected(self) -> str:
        """The kind alone."""
        return self.kind

    def converted(self, text: str, context: Mapping[str, Any]) -> float:
        """Refuse every text."""
        del context
        raise self.refused(f"{quoted(text)} is a text")

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """As pydantic has it: a number, or an integer."""
        return dict(handler(schema))


class _Count(_Plain):
    """A whole number, which may be written as 1e3 but not as 2.5; exact as far as a machine counts."""

    def within(self, given: Any, value: Any) -> float:
        """Keep what is written as a whole number as it is, to the last digit."""
        whole = int(value) if isinstance(value, Integral) else _GREATEST_COUNT
        return whole if abs(whole) < _GREATEST_COUNT else super().within(given, value)

    def figure(self, value: Any) -> Any:
        """Refuse a number between two whole ones."""
        number = self.within(value, super().figure(value))
        if number != int(number):
            raise self.refused(f"{quoted(value)} is not a whole number")
        return int(value)


Length = Annotated[float, Quantity("a length", "mm", "3 mm")]
"""Millimetres."""
Small = Annotated[float, Quantity("a length", "um", "12 um")]
"""Micrometres: errors, roughness, scratches."""
Speed = Annotated[float, Quantity("a speed", "m/min", "90 m/min")]
"""Cutting speed, metres per minute."""
Feed = Annotated[float, _Feed("a length", "mm", "0.12 mm")]
"""Feed per revolution or per tooth, millimetres."""
Removal = Annotated[float, Quantity("a speed", "um/min", "20 um/min")]
"""Rate at which a surface is taken down, micrometres per minute."""
Minutes = Annotated[float, _Time("a time", "min", "3 min")]
"""Worked minutes."""
ClockMinutes = Annotated[float, _Clock("a time", "min", "8 h")]
"""Minutes by the clock: the length of a shift."""
Power = Annotated[float, Quantity("a power", "kW", "7.5 kW")]
"""Kilowatts."""
Stiffness = Annotated[float, Quantity("a stiffness", "N/um", "20 N/um")]
"""Newtons per micrometre."""
Force = Annotated[float, Quantity("a force", "N", "8 kN")]
"""Newtons."""
Mass = Annotated[float, Quantity("a mass", "kg", "60 kg")]
"""Kilograms."""
Kelvin = Annotated[float, Quantity("a temperature", "K", "3 K")]
"""Kelvin, of differences."""
Angle = Annotated[float, Quantity("an angle", "deg", "45 deg")]
"""Degrees."""
StressRate = Annotated[float, Quantity("a slope", "um/mm", "3 um/mm")]
"""Micrometres per millimetre: movement by the metal taken off, or a slope."""
Share = Annotated[float, Quantity("a share", "", "5 %")]
"""Share of a whole: 0.05 or "5 %"."""
Money = Annotated[float, MoneyQuantity("an amount of money", "the scenario's currency", "12.50 EUR")]
"""An amount in the scenario's currency."""
MoneyPerHour = Annotated[float, _MoneyPerHour("an amount of money per hour", "money per hour", "60 EUR/h")]
"""An amount in the scenario's currency for each hour."""
Number = Annotated[float, _Plain("a number", "", "3")]
"""A figure without a unit."""
Whole = Annotated[int, _Count("a whole number", "", "3")]
"""A count."""
