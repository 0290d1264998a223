"""A quality loss at the limit: an amount, or as much as rejecting the part there costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from pydantic_core import core_schema

from linesim.units import MoneyQuantity

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler

__all__ = ["AS_REJECTED", "AsRejected", "Loss"]

AS_REJECTED = "as rejected"


class AsRejected(float):
    """A loss that a scenario gives by this word; as a number, what rejecting costs where the part is turned down."""


class _Loss(MoneyQuantity):
    """An amount of money or the word."""

    @property
    def expected(self) -> str:
        """Both kinds."""
        return f'{self.kind} such as "{self.example}", or "{AS_REJECTED}",'

    def read(self, value: Any, info: core_schema.ValidationInfo) -> float:
        """Take the word, whose amount is worked out once the line is known."""
        if isinstance(value, AsRejected) or value == AS_REJECTED:
            return AsRejected(value if isinstance(value, AsRejected) else 0.0)
        return super().read(value, info)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """As for other amounts, but the word stays known beside its amount."""
        return core_schema.with_info_wrap_validator_function(self._checked, handler(source))

    def _checked(
        self, value: Any, number: core_schema.ValidatorFunctionWrapHandler, info: core_schema.ValidationInfo
    ) -> float:
        amount = self.read(value, info)
        checked: float = number(amount)
        return AsRejected(checked) if isinstance(amount, AsRejected) else checked


Loss = Annotated[float, _Loss("an amount of money", "the scenario's currency", "12.50 EUR")]
"""An amount in the scenario's currency, or "as rejected"."""
