"""The sums of the ledger by line and item, straight from the tally: what studies of thousands of runs need of it.

Every amount is rounded once, just as its row in the ledger is, and the steps of the arithmetic are the same, so the
sums agree with the ledger's to the penny; tests hold the two together. What is shared out between lines goes the
ledger's own way.
"""

from __future__ import annotations

import numpy as np

from linesim.ledger.crib_costs import enter_crib
from linesim.ledger.people_costs import enter_people
from linesim.ledger.places import PUT_INTO_PARTS, stations_of
from linesim.ledger.quality_costs import quality_factors
from linesim.ledger.rows import ITEMS, Item, Rows
from linesim.plan.tables import Floats, Ints, Plan
from linesim.plan.tally import Cause, State, Tally
from linesim.works.model import Works

__all__ = ["Pricing"]

_AT = {item: number for number, item in enumerate(Item)}


class Pricing:
    """What prices the runs of one plan; everything that does not change from run to run is worked out once.

    Parameters
    ----------
    works, plan : Works, Plan
        What is run.
    """

    def __init__(self, works: Works, plan: Plan) -> None:
        self.works, self.plan = works, plan
        self._stations = stations_of(works, plan)
        specs = [station.spec for station in self._stations]
        lines = list(works.lines.values())
        self._line = plan.operations.line
        self._rate = np.array([spec.rate for spec in specs])
        self._operators = np.array([float(spec.operators) for spec in specs])
        gauges = [gauge for spec in specs for gauge in spec.gauges.values()]
        self._reading_cost = np.array([gauge.cost for gauge in gauges], dtype=np.float64)
        self._salvage_cost = np.array([gauge.salvage_cost for gauge in gauges], dtype=np.float64)
        counts = plan.operations.end_gauge - plan.operations.first_gauge
        self._line_of_gauge = np.repeat(self._line, counts)
        self._casting = np.array([line.casting.price for line in lines])
        self._scrap_value = np.array([line.casting.scrap_value for line in lines])
        self._holding = np.array([line.holding_rate for line in lines])
        self._loss = quality_factors(works)
        self._line_of_feature = np.repeat(np.arange(len(lines)), [len(line.features) for line in lines])
        self._one_line_of_kinds = _Kinds(works, plan) if len(lines) == 1 else None

    def pence(self, tally: Tally) -> Ints:
        """Sums of one run.

        Parameters
        ----------
        tally : Tally
            Of a run of the plan.

        Returns
        -------
        array of int, (lines, items)
            Hundredths of the currency; items in the order of `ITEMS`.
        """
        sums = np.zeros((len(self.works.lines), len(ITEMS)), dtype=np.int64)
        kept = tally.castings - tally.scrapped_parts
        sums[:, _AT[Item.CASTINGS]] += _pence(kept * self._casting)
        sums[:, _AT[Item.STOCK]] += _pence((tally.in_line_min / 60.0) * self._holding)
        self._add_floor(sums, tally)
        np.add.at(sums[:, _AT[Item.QUALITY_LOSS]], self._line_of_feature, _pence(tally.capped * self._loss).sum(axis=1))
        rows = Rows()
        enter_people(rows, self.works, self._stations, tally)
        if self._one_line_of_kinds is None:
            enter_crib(rows, self.works, self.plan, self._stations, tally)
        else:
            self._one_line_of_kinds.add(sums, tally)
        return sums + rows.sums(list(self.works.lines))

    def _add_floor(self, sums: Ints, tally: Tally) -> None:
        """Machine hours, labour, gauging, recuts, scrap and salvage."""
        first = self.plan.operations.first_machine
        minutes = np.add.reduceat(tally.state_min, first, axis=0)
        recut = self._recut_minutes(tally, minutes)
        minutes[:, State.CUTTING] -= recut
        lost = np.ascontiguousarray(tally.scrapped_min.T).sum(axis=1)
        put_in = np.zeros(len(minutes))
        for state in PUT_INTO_PARTS:
            put_in += minutes[:, state]
        moved = np.minimum(lost, put_in)
        share = np.ones(len(minutes))
        np.divide(moved, put_in, out=share, where=moved > 0.0)
        share = np.where(moved > 0.0, 1.0 - share, 1.0)
        for state in PUT_INTO_PARTS:
            minutes[:, state] *= share
        machine, labour = self._timed(minutes)
        gauging = machine[:, State.GAUGING] + labour[:, State.GAUGING]
        self._add(sums, Item.GAUGING, gauging)
        self._add(sums, Item.MACHINE_HOURS, machine.sum(axis=1) - machine[:, State.GAUGING])
        self._add(sums, Item.LABOUR, labour.sum(axis=1) - labour[:, State.GAUGING])
        np.add.at(sums[:, _AT[Item.GAUGING]], self._line_of_gauge, _pence(tally.readings * self._reading_cost))
        salvage = _pence(tally.salvaged * self._salvage_cost[:, None]).sum(axis=1)
        np.add.at(sums[:, _AT[Item.SALVAGE]], self._line_of_gauge, salvage)
        shares = _shares(np.add.reduceat(tally.recut, first, axis=0))
        self._add(sums, Item.RECUTS, sum(part.sum(axis=1) for part in self._timed(recut[:, None] * shares)))
        scrapped_share = np.zeros(len(minutes))
        np.divide(moved, lost, out=scrapped_share, where=lost != 0.0)
        self._add(sums, Item.SCRAP, self._scrap(tally, scrapped_share))

    def _recut_minutes(self, tally: Tally, minutes: Floats) -> Floats:
        """Minutes of cutting again by operation, at most all that was cut."""
        machines = [station.machines for station in self._stations]
        spent = [float(np.sum(tally.recut_min[each])) if tally.recut[each].any() else 0.0 for each in machines]
        least: Floats = np.minimum(np.array(spent), minutes[:, State.CUTTING])
        return least

    def _timed(self, minutes: Floats) -> tuple[Ints, Ints]:
        """Pence of minutes of an operation's machines and of their operators, (operations, ...)."""
        hours = minutes / 60.0
        machine = _pence(hours * self._rate[:, None])
        return machine, _pence((hours * self._operators[:, None]) * self.works.prices.labour_rate)

    def _scrap(self, tally: Tally, scrapped_share: Floats) -> Ints:
        """Castings and time lost in parts scrapped at each operation, less the scrap metal."""
        first, line = self.plan.operations.first_machine, self._line
        counts = np.add.reduceat(tally.scrapped, first, axis=0)
        hours = np.add.reduceat(tally.scrapped_min, first, axis=0) * scrapped_share / 60.0
        machine_hours, value, labour_hours = (
            np.cumsum(hours * each, axis=1)[:, -1] for each in (1.0, self._rate, self._operators)
        )
        rate = np.zeros(len(hours))
        np.divide(value, machine_hours, out=rate, where=machine_hours != 0.0)
        shares = _shares(counts)
        parts = shares * counts.sum(axis=1)[:, None]
        pence = _pence(parts * self._casting[line][:, None]) + _pence(parts * -self._scrap_value[line][:, None])
        pence += _pence((shares * machine_hours[:, None]) * rate[:, None])
        pence += _pence((shares * labour_hours[:, None]) * self.works.prices.labour_rate)
        total: Ints = pence.sum(axis=1)
        return total

    def _add(self, sums: Ints, item: Item, of_operations: Ints) -> None:
        np.add.at(sums[:, _AT[item]], self._line, of_operations)


class _Kinds:
    """What cutters cost where all of them are mounted on one line, so that nothing has to be shared out."""

    def __init__(self, works: Works, plan: Plan) -> None:
        cutters = list(works.cutters.values())
        renewals = [cutter.renewal for cutter in cutters]
        self._kind = plan.mounts.kind
        is_mounted = np.isin(np.arange(len(cutters)), self._kind)
        self._is_mounted = is_mounted
        self._price = np.array([cutter.price for cutter in cutters], dtype=np.float64)
        self._regrind = np.array([way.reground.cost if way.reground else 0.0 for way in renewals], dtype=np.float64)
        self._indexed = np.array([way.indexed.cost if way.indexed else 0.0 for way in renewals], dtype=np.float64)
        self._dressed = np.array([way.dressed.cost if way.dressed else 0.0 for way in renewals], dtype=np.float64)
        self._has_grinders = any(
            mounted and way.reground is not None for mounted, way in zip(is_mounted.tolist(), renewals, strict=True)
        )
        self._grinder_rate = works.crib.rate

    def add(self, sums: Ints, tally: Tally) -> None:
        """Add new cutters, regrinds with the grinders' time, dressings and indexing to the sums of the line."""
        kinds = len(self._price)
        broken, in_place = np.zeros(kinds, dtype=np.int64), np.zeros(kinds, dtype=np.int64)
        np.add.at(broken, self._kind, tally.unplanned)
        np.add.at(in_place, self._kind, tally.in_place)
        bought = tally.bought * self._is_mounted
        new = _pence(np.minimum(broken, bought) * self._price) + _pence(np.maximum(bought - broken, 0) * self._price)
        regrinds = int(_pence(tally.regrinds * self._is_mounted * self._regrind).sum())
        if self._has_grinders:
            regrinds += int(_pence(np.array([float(tally.busy_min[-1]) / 60.0 * self._grinder_rate]))[0])
        ways = _pence(in_place * self._indexed) + _pence(in_place * self._dressed)
        sums[0, _AT[Item.NEW_CUTTERS]] += int(new.sum())
        sums[0, _AT[Item.REGRINDS]] += regrinds
        sums[0, _AT[Item.IN_PLACE]] += int(ways.sum())


def _pence(money: Floats) -> Ints:
    """Money as whole hundredths, a half going to the even one, as `rows.to_pence` does."""
    return np.rint(100.0 * money).astype(np.int64)


def _shares(counts: Ints) -> Floats:
    """Causes' shares in the counts, (operations, causes); other reasons for what nothing was counted for."""
    whole = counts.sum(axis=1)[:, None]
    shares = np.zeros(counts.shape)
    np.divide(counts, whole, out=shares, where=whole != 0)
    shares[whole[:, 0] == 0, Cause.OTHER] = 1.0
    return shares
