"""Lines that meet: finished parts of one stand until each is joined to a part of another; parts taken off others."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Protocol

import numpy as np

from linesim.floor.buffer import Buffer
from linesim.floor.dispatch import Dispatch
from linesim.floor.part import Part
from linesim.floor.site import Site
from linesim.floor.yard import Yard
from linesim.plan.tables import NONE
from linesim.plan.type_tables import JoinBy

__all__ = ["Meeting", "Stock", "class_of"]


def class_of(site: Site, part: Part, feature: int, scale: float, width_um: float) -> tuple[int, float]:
    """Class of a part by the size of a feature, and its deviation as the drawing reads it, µm."""
    row = site.rows.features[feature]
    total_um = 0.0
    for place in range(row.first_place, row.first_place + row.places):
        total_um += part.error_um[place]
    deviation_um = total_um / row.places * scale
    return math.floor(deviation_um / width_um + 0.5), deviation_um


class Source(Protocol):
    """Where the parts stand to which others are joined."""

    number: int


class Stock(Dispatch):
    """The end of a line whose parts are joined to those of another: they count as shipped, and stand until then."""

    def __init__(self, site: Site, line: int, yard: Yard, join: int) -> None:
        super().__init__(site, line, yard)
        self.join, self.row = join, site.rows.joins[join]
        self.parts: list[Part] = []
        self.meets: Source | None = None
        self._since = 0.0

    def give_out(self) -> bool:
        """Take in parts as there is room; what has lost its fellow is thrown out."""
        self._account()
        for part in [part for part in self.parts if part.is_lost]:
            self._throw_out(part)
        given = False
        while self.givers and len(self.parts) < self.row.stock:
            claim = self.givers.pop(0)
            assert isinstance(claim.stake, Part)
            self._ship(claim.stake)
            self.parts.append(claim.stake)
            if claim.stake.is_lost:
                self._throw_out(claim.stake)
            claim.succeed()
            given = True
        if given:
            assert self.meets is not None
            self.site.foreman.call(self.meets.number)
        return given

    def _throw_out(self, part: Part) -> None:
        self.parts.remove(part)
        self.site.tally.left_over[self.join] += 1

    def fellow(self, part: Part) -> Part | None:
        """The part that has stood longest of those that fit another one; None if there is none."""
        if self.row.by == JoinBy.ANY:
            return self.parts[0] if self.parts else None
        if self.row.by == JoinBy.NUMBER:
            return part.fellow if part.fellow in self.parts else None
        own, _ = class_of(self.site, part, self.row.own_feature, self.row.own_scale, self.row.width_um)
        return next((each for each in self.parts if self._theirs(each)[0] == own), None)

    def _theirs(self, part: Part) -> tuple[int, float]:
        return class_of(self.site, part, self.row.their_feature, self.row.their_scale, self.row.width_um)

    def hand_over(self, part: Part, fellow: Part) -> None:
        """A part is joined to another one."""
        self._account()
        self.parts.remove(fellow)
        tally = self.site.tally
        tally.fellows_joined[self.join] += 1
        if self.row.by == JoinBy.NUMBER:
            part.fellow = None
        if self.row.by == JoinBy.CLASS:
            _, own_um = class_of(self.site, part, self.row.own_feature, self.row.own_scale, self.row.width_um)
            fit_um = own_um - self._theirs(fellow)[1]
            tally.fit_total[self.join] += fit_um
            tally.fit_square[self.join] += fit_um * fit_um
            tally.fit_least[self.join] = min(tally.fit_least[self.join], fit_um)
            tally.fit_greatest[self.join] = max(tally.fit_greatest[self.join], fit_um)
        if self.givers:
            self.site.foreman.call(self.number)

    def start_counting(self) -> None:
        """Forget what was counted before now."""
        self._since = self.site.env.now

    def stop_counting(self) -> None:
        """Count up to now."""
        self._account()

    def _account(self) -> None:
        now = self.site.env.now
        if now > self._since:
            self.site.tally.fellows_min[self.join] += len(self.parts) * (now - self._since)
            self._since = now


class Meeting:
    """Where the lines of a floor meet, so that they find each other however they are set up."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self.yards: dict[int, Yard] = {}
        self.stocks: dict[int, Stock] = {}

    def end_of(self, line: int, yard: Yard) -> Dispatch:
        """Where finished parts of a line go: out of the works, or to where they are joined to another line."""
        self.yards[line] = yard
        joins = np.flatnonzero(self.site.plan.joins.line == line).tolist()
        if not joins:
            return Dispatch(self.site, line, yard)
        self.stocks[line] = Stock(self.site, line, yard, joins[0])
        return self.stocks[line]

    def begin(self, buffers: Mapping[int, Buffer]) -> None:
        """Tell each line that ends at another one where its parts are joined."""
        for stock in self.stocks.values():
            line = self.site.rows.operations[stock.row.operation].line
            is_first = stock.row.operation == self.site.plan.lines.first_operation[line]
            stock.meets = self.yards[line] if is_first else buffers[stock.row.operation]

    def joined_at(self, operation: int) -> list[Stock]:
        """Where the parts stand that are joined at an operation."""
        row: Any = self.site.rows.mixes[operation]
        return [self.stocks[self.site.rows.joins[join].line] for join in range(row.first_join, row.end_join)]

    def choose(self, operation: int, parts: Sequence[Part]) -> int | None:
        """Which waiting part, the oldest first, is taken with its fellows; one that has lost its own, alone."""
        stocks = self.joined_at(operation)
        for at, part in enumerate(parts):
            fellows = [stock.fellow(part) for stock in stocks]
            if part.is_lost:
                return at
            if all(fellow is not None for fellow in fellows):
                for stock, fellow in zip(stocks, fellows, strict=True):
                    assert fellow is not None
                    stock.hand_over(part, fellow)
                return at
        return None

    def take_off(self, operation: int, part: Part) -> None:
        """Take another line's casting off a part, once."""
        line = self.site.rows.mixes[operation].takes_off
        if line != NONE and not part.is_apart:
            part.is_apart = True
            self.yards[line].take_off(part)

    def lose(self, part: Part) -> None:
        """A part has become scrap; the one that it was taken off, or that was taken off it, is of no more use."""
        fellow, part.fellow = part.fellow, None
        if fellow is None:
            return
        fellow.is_lost, fellow.fellow = True, None
        of = part.line if part.line in self.stocks and self.stocks[part.line].row.by == JoinBy.NUMBER else fellow.line
        stock = self.stocks[of]
        self.site.foreman.call(stock.number)
        assert stock.meets is not None
        self.site.foreman.call(stock.meets.number)
