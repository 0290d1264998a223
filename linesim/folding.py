"""Kernels of fewer pieces from the same text: what a kernel takes for granted is folded before anything is compiled.

A piece of the engine that a plan does not use shows in the records of its run: a flag is 0, a link is nothing. A tier
is a set of such fields with the values that they have there. Its kernel reaches all records as records of that tier,
of the same layout and of another type to numba; wherever its text reads one of those fields it finds the value, and
what can then never happen is left out: it is neither compiled nor asked for in a run. So both kernels are one text.

A kernel of a tier never writes one of those fields: compiling one that would is refused. Whether a run may be given
it is seen from its records themselves, field by field (`Tier.holds`).
"""

from __future__ import annotations

import importlib
import operator
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from typing import Any, cast

import numpy as np

__all__ = ["Tier", "TierError", "folded"]

Values = Mapping[str, float]
"""The fields of one kind of record that a tier takes for granted, and what they are."""


class TierError(RuntimeError):
    """A kernel would write what its tier takes for granted."""


@dataclass(eq=False)
class Tier:
    """What a kernel takes for granted.

    Attributes
    ----------
    name : str
        An identifier.
    values : mapping of numpy dtype to mapping of str to int
        Of each kind of record, known by its layout: the fields and their values.
    """

    name: str
    values: Mapping[np.dtype[Any], Mapping[str, int]]
    drawers: dict[Any, Any] = field(default_factory=dict)
    """For each function that opens a record, the one that opens it as a record of this tier."""
    records: dict[Any, Values] = field(default_factory=dict)
    """The values of each record type of this tier."""

    def holds(self, arrays: Mapping[str, Any], among: Collection[str] | None = None) -> bool:
        """Whether every record of a run is as the tier takes it for granted.

        Parameters
        ----------
        arrays : mapping of str to array of records
            All of the run, or those that have the fields in question.
        among : collection of str, optional
            The fields in question, if the others are known to be so.

        Raises
        ------
        TierError
            There is no array of one of the kinds, so nobody can say.
        """
        # Arrays of records with these fields, whatever their own type calls them.
        of_fields: dict[Any, list[Any]] = {}
        for array in arrays.values():
            of_fields.setdefault(array.dtype.names, []).append(array)
        missing = [layout.names for layout in self.values if layout.names not in of_fields]
        if missing and among is None:
            raise TierError(f"no array among {', '.join(arrays)} has the fields {', '.join(missing[0] or ())}")
        return all(
            bool((array[name] == value).all())
            for layout, values in self.values.items()
            for name, value in values.items()
            if among is None or name in among
            for array in of_fields.get(layout.names, [])
        )

    def dtype(self, layout: np.dtype[Any]) -> np.dtype[Any]:
        """The same layout with a name of its own, so that to numba it is a type of its own."""
        assert layout.fields is not None
        assert layout.names is not None
        spots = [(name, *layout.fields[name][:2]) for name in layout.names]
        names, formats, offsets = zip(*spots, (f"tier_{self.name}", np.dtype(np.int8), 0), strict=True)
        described: Any = {"names": names, "formats": formats, "offsets": offsets, "itemsize": layout.itemsize}
        own: np.dtype[Any] = np.dtype(described)
        return own

    def learn(self, drawer: Any, own: Any, record: Any, layout: np.dtype[Any]) -> None:
        """Take ``own``, which gives this record, for a drawer."""
        granted = self.values.get(layout, {})
        fields = {name: float(value) if layout[name].kind == "f" else value for name, value in granted.items()}
        own.granted = self.records[record] = fields
        self.drawers[drawer] = own


_UNKNOWN = object()


def folded(func_ir: Any, args: tuple[Any, ...], tiers: list[Tier]) -> bool:
    """Fold a function that is called with a record of a tier; whether it was."""
    tier = next((tier for tier in tiers for arg in args if arg in tier.records), None)
    if tier is not None:
        fold = _Fold(func_ir, args, tier)
        while fold.once():
            pass
        fold.refuse_stores()
    return tier is not None


class _Fold:
    """Folding of one function, in place."""

    def __init__(self, func_ir: Any, args: tuple[Any, ...], tier: Tier) -> None:
        self.ir: Any = importlib.import_module("numba.core.ir")
        self.analysis: Any = importlib.import_module("numba.core.analysis")
        self.utils: Any = importlib.import_module("numba.core.ir_utils")
        self.func_ir, self.args, self.tier = func_ir, args, tier
        self._open_as_tier()

    def _assigned(self) -> list[Any]:
        return [each for block in self.func_ir.blocks.values() for each in block.find_insts(self.ir.Assign)]

    def _open_as_tier(self) -> None:
        for each in self._assigned():
            value = each.value
            if isinstance(value, (self.ir.Global, self.ir.FreeVar)) and _hashable(value.value):
                own = self.tier.drawers.get(value.value)
                if own is not None:
                    each.value = self.ir.Global(value.name, own, loc=value.loc)

    def once(self) -> bool:
        """Fold what can be seen now; whether anything was left out by that."""
        self.func_ir._definitions = self.utils.build_definitions(self.func_ir.blocks)  # noqa: SLF001 - as numba does
        self.constants: dict[str, Any] = {}
        for each in self._assigned():
            if isinstance(each.value, self.ir.Expr):
                value = self._of_expression(each.value)
                if value is not _UNKNOWN:
                    each.value = self.ir.Const(value, loc=each.loc)
        turned = False
        for block in self.func_ir.blocks.values():
            last = block.body[-1]
            if isinstance(last, self.ir.Branch):
                value = self.constant(last.cond)
                if value is not _UNKNOWN:
                    block.body[-1] = self.ir.Jump(last.truebr if value else last.falsebr, loc=last.loc)
                    turned = True
        for dead in self.analysis.compute_cfg_from_blocks(self.func_ir.blocks).dead_nodes():
            del self.func_ir.blocks[dead]
        return turned

    # --- what a variable is ----------------------------------------------------------------------------------------

    def _definitions(self, variable: Any) -> list[Any]:
        definitions: list[Any] = self.func_ir._definitions.get(variable.name, [])  # noqa: SLF001 - numba's own
        return definitions

    def constant(self, variable: Any) -> Any:
        """What a variable is wherever it is read, if that is known."""
        name = variable.name
        if name not in self.constants:
            self.constants[name] = _UNKNOWN  # what depends on itself is not known
            values = [self._of_definition(each) for each in self._definitions(variable)]
            if values and all(type(each) is type(values[0]) and each == values[0] for each in values):
                self.constants[name] = values[0]
        return self.constants[name]

    def _of_definition(self, value: Any) -> Any:
        if isinstance(value, self.ir.Var):
            return self.constant(value)
        if isinstance(value, (self.ir.Const, self.ir.Global, self.ir.FreeVar)):
            return value.value if isinstance(value.value, (bool, int, float)) else _UNKNOWN
        return self._of_expression(value) if isinstance(value, self.ir.Expr) else _UNKNOWN

    def _of_expression(self, value: Any) -> Any:
        if value.op == "getattr":
            return self._of_field(value)
        if value.op in ("binop", "inplace_binop"):
            return self._of_operation(value)
        if value.op == "cast":
            return self.constant(value.value)
        if value.op == "unary":
            inner = self.constant(value.value)
            return _UNKNOWN if inner is _UNKNOWN else _unary(value.fn)(inner)
        if value.op == "static_getitem":
            return self._of_item(value.value, value.index)
        if value.op == "call" and len(value.args) == 1 and self._called(value) is bool:
            inner = self.constant(value.args[0])
            return inner if inner is _UNKNOWN else bool(inner)
        return _UNKNOWN

    def _of_field(self, value: Any) -> Any:
        for each in self._definitions(value.value):
            if isinstance(each, self.ir.Global) and hasattr(each.value, "__file__"):
                number = getattr(each.value, value.attr, None)
                return number if isinstance(number, (bool, int, float)) else _UNKNOWN
        return self._granted(value.value).get(value.attr, _UNKNOWN)

    def _of_item(self, variable: Any, index: Any) -> Any:
        """One of several that are set in one line."""
        definitions = self._definitions(variable)
        value = definitions[0] if len(definitions) == 1 else None
        if isinstance(value, self.ir.Const) and isinstance(value.value, tuple):
            return value.value[index] if isinstance(value.value[index], (bool, int, float)) else _UNKNOWN
        if isinstance(value, self.ir.Expr) and value.op == "exhaust_iter":
            return self._of_item(value.value, index)
        if isinstance(value, self.ir.Expr) and value.op == "build_tuple":
            return self.constant(value.items[index])
        return _UNKNOWN

    def _of_operation(self, value: Any) -> Any:
        left, right = self.constant(value.lhs), self.constant(value.rhs)
        operation = value.fn if value.op == "binop" else value.immutable_fn
        if operation is operator.and_ and any(type(each) is int and each == 0 for each in (left, right)):
            return 0
        return _UNKNOWN if _UNKNOWN in (left, right) else _worked_out(operation, left, right)

    def _called(self, call: Any) -> Any:
        definitions = self._definitions(call.func)
        return getattr(definitions[0], "value", None) if len(definitions) == 1 else None

    def _granted(self, variable: Any, seen: frozenset[str] = frozenset()) -> Values:
        """What the tier takes for granted of the record that a variable holds."""
        granted = [
            self._granted_by(each, seen | {variable.name})
            for each in self._definitions(variable)
            if variable.name not in seen
        ]
        return granted[0] if granted and all(each is granted[0] for each in granted) else {}

    def _granted_by(self, value: Any, seen: frozenset[str]) -> Values:
        if isinstance(value, self.ir.Arg):
            return self.tier.records.get(self.args[value.index], {})
        if isinstance(value, self.ir.Var):
            return self._granted(value, seen)
        if isinstance(value, self.ir.Expr) and value.op == "call":
            return getattr(self._called(value), "granted", {})
        return {}

    def refuse_stores(self) -> None:
        """A store of the value that is there anyway is left out; any other is refused."""
        for block in self.func_ir.blocks.values():
            for each in block.find_insts(self.ir.SetAttr):
                granted = self._granted(each.target)
                if each.attr in granted:
                    if self.constant(each.value) != granted[each.attr]:
                        what = f"{self.func_ir.func_id.func_qualname} writes {each.attr}"
                        raise TierError(f"{what}, which the kernel {self.tier.name} takes for granted")
                    block.body.remove(each)


def _hashable(value: Any) -> bool:
    return getattr(type(value), "__hash__", None) is not None


def _unary(operation: Any) -> Callable[[Any], Any]:
    known: dict[Any, Callable[[Any], Any]] = {"-": operator.neg, "+": operator.pos, "not": operator.not_}
    return known.get(operation, cast("Callable[[Any], Any]", operation))


def _worked_out(operation: Callable[[Any, Any], Any], left: Any, right: Any) -> Any:
    try:
        return operation(left, right)
    except (TypeError, ValueError, ZeroDivisionError):
        return _UNKNOWN
