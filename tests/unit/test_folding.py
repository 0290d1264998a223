"""A kernel that takes something for granted: what can then never happen is left out, and it never writes it."""

from __future__ import annotations

from typing import Any

import numba
import numpy as np
import pytest

from linesim import law as laws
from linesim.fast.memory import address_of, drawer, dtype_of, records, teach
from linesim.fast.short import Short
from linesim.folding import Tier, TierError
from linesim.law import law, part_with
from linesim.linking import TIERS

pytestmark = pytest.mark.skipif(not laws.IS_COMPILED, reason="nothing is compiled in plain Python")


class Box:
    """A record with a piece that few have."""

    has_lid: Short
    link: int
    lid_mm: float
    side_mm: float


box_at = drawer(Box)
GRANTED = {dtype_of(Box): {"has_lid": 0, "link": -1, "lid_mm": 0}}
OPEN = Tier("open_boxes", GRANTED)
teach(OPEN)
open_at = OPEN.drawers[box_at]
RUNGS = 7


@part_with(error_model="numpy")
def _lid(box: Box) -> float:
    return box.lid_mm * 2.0


@part_with(error_model="numpy", inline="always")
def _woven(box: Box) -> float:
    return _lid(box) if box.has_lid | 0 else box.side_mm


@part_with(error_model="numpy")
def _height(box: Box, rung: int) -> float:
    if rung > RUNGS and box.has_lid and box.side_mm > 1.0:
        return _lid(box)
    if box.link != -1 or not box.has_lid == 0:  # noqa: SIM201 - a word that is folded
        return _lid(box)
    box.has_lid, box.lid_mm = 0, 0.0
    other = box_at(0, 0) if box.has_lid & rung else box
    return _woven(other) + box.lid_mm


@part_with(error_model="numpy")
def _shut(box: Box, lid: int) -> None:
    box.has_lid = lid


@law
def _of_any(address: int, rung: int) -> float:
    return _height(box_at(address, 0), rung)


@law
def _of_open(address: int, rung: int) -> float:
    return _height(open_at(address, 0), rung)


@law
def _writes(address: int) -> None:
    _shut(open_at(address, 0), 1)


@pytest.fixture(autouse=True)
def _anew(monkeypatch: pytest.MonkeyPatch) -> None:
    for kernel in (_of_any, _of_open):
        kernel.recompile() if kernel.overloads else None  # type: ignore[attr-defined]


def _boxes() -> Any:
    boxes = records(Box, 1)
    boxes["link"], boxes["side_mm"] = -1, 3.5
    return boxes


def _record_types(function: Any) -> set[Any]:
    return {args[0] for args in function.overloads}


def test_both_kernels_give_the_same_and_the_smaller_one_leaves_out_what_never_happens() -> None:
    boxes = _boxes()
    for rung in (0, RUNGS + 1):
        assert _of_any(address_of(boxes), rung) == _of_open(address_of(boxes), rung) == 3.5
    of_open, of_any = numba.from_dtype(OPEN.dtype(dtype_of(Box))), numba.from_dtype(dtype_of(Box))
    assert of_open != of_any
    if _record_types(_height):  # else what lies on disk was loaded, and no part of it compiled
        assert _record_types(_lid) == {of_any}
        assert of_open in _record_types(_height)


def test_a_kernel_that_would_write_what_it_takes_for_granted_is_refused() -> None:
    with pytest.raises(TierError, match="_shut writes has_lid, which the kernel open_boxes takes for granted"):
        _writes(address_of(_boxes()))


def test_a_tier_holds_where_every_record_is_as_it_takes_for_granted() -> None:
    assert OPEN.holds({"boxes": _boxes(), "numbers": np.zeros(3)})
    for name in ("has_lid", "link", "lid_mm"):
        boxes = np.concatenate([_boxes(), _boxes()])
        boxes[name][1] = 1
        assert not OPEN.holds({"boxes": boxes})
    assert OPEN in TIERS
    with pytest.raises(TierError, match="no array among numbers has the fields has_lid, link"):
        OPEN.holds({"numbers": np.zeros(3)})
