"""A shift carried out: the same castings, edges and breakdowns with whatever orders are given, and what comes of it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from linesim.floor.run import Floor
from linesim.ledger import ITEMS, Item, ledger_rows
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.plan.tables import Kinds, RenewalWay
from linesim.plan.tally import State, Tally
from linesim.plan.times import mean_minutes
from linesim.training.binding import Bound, Looks
from linesim.training.directory import Directory
from linesim.training.hand import Hand
from linesim.training.watching import Watched
from linesim.works import Works, changed

__all__ = ["Carried", "Case", "EdgeSeen", "Stand", "carry_out", "stand_up"]


@dataclass(frozen=True, eq=False)
class Case:
    """One shift: a works as it is set up, the plan's policy, what is in the trainee's hands, and the key of chance."""

    works: Works
    policy: str
    in_hand: tuple[str, ...]
    looks: Looks
    seed: int
    replication: int = 0
    way: str = ""
    """How the line is set up, by the lesson's name for it."""

    @cached_property
    def plan(self) -> Plan:
        """The plan, with a time for cleaning chips off even where the scenario does not."""
        lines = {
            line: {
                "operations": {name: {"chips": {"clean": True}} for name, spec in row.operations.items() if spec.chips}
            }
            for line, row in self.works.lines.items()
        }
        wanted = {line: row for line, row in lines.items() if row["operations"]}
        return make_plan(changed(self.works, {"lines": wanted}) if wanted else self.works, self.policy)

    @cached_property
    def directory(self) -> Directory:
        """Names of the plan."""
        return Directory(self.plan, self.in_hand)

    @property
    def starts_min(self) -> float:
        """When the trainee takes over, minutes from the start of the run."""
        return self.plan.warm_up_min

    @property
    def ends_min(self) -> float:
        """When the shift ends."""
        return self.plan.warm_up_min + self.plan.length_min


@dataclass(frozen=True)
class EdgeSeen:
    """What became of one edge during the shift, with the wear that nobody saw.

    Attributes
    ----------
    changed_min : float or None
        When it came off, minutes from the start of the shift; None if it is still in.
    why : str
        "due", "joined", "broken", or "still in".
    life_share : float
        True life share w.
    land_mm, read_mm : float, float or None
        True wear land, and the last look's reading.
    """

    machine: str
    set: str
    changed_min: float | None
    why: str
    parts: int
    life_share: float
    land_mm: float
    read_mm: float | None


class _Wear:
    """Writes down every edge that comes off."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.seen: list[EdgeSeen] = []
        self.used = 0.0
        self.floor: Floor | None = None

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Nothing to do."""

    def part_moves(self, now_min: float, part: object, operation: int, machine: int, what: str) -> None:
        """Nothing to do."""

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """An edge comes off."""
        del life_share, parts
        if now_min >= self.case.starts_min and self.floor is not None:
            self.seen.append(self.edge(machine, mount, now_min - self.case.starts_min, why))

    def edge(self, machine: int, mount: int, changed_min: float | None, why: str) -> EdgeSeen:
        """An edge as it is now."""
        assert self.floor is not None
        mount_seen = next(own for own in self.floor.machines[machine].mounts if own.index == mount)
        return EdgeSeen(
            self.case.directory.machine_name(machine),
            mount_seen.edge.set_name,
            changed_min,
            why,
            mount_seen.edge.parts,
            mount_seen.life_share,
            mount_seen.wear_land_mm,
            mount_seen.edge.wear_read_mm,
        )


@dataclass
class Stand:
    """A floor that stands at the beginning of the shift, with the hand on it."""

    case: Case
    floor: Floor
    hand: Hand
    wear: _Wear
    mounted: dict[int, float]
    """Life share of each mounted edge when the shift began."""


def stand_up(case: Case, script: Iterable[Bound] = (), is_live: bool = False) -> Stand:
    """Run a case's line up to the beginning of the shift under its plan, and put the hand on it."""
    hand, wear = Hand(case.directory, case.looks, script, is_live), _Wear(case)
    floor = Floor(case.plan, case.seed, case.replication, [hand, wear], hand)
    wear.floor, hand.floor, hand.site = floor, floor, floor.site
    _chips_as_usual(case, hand)
    floor.run_until(case.starts_min)
    floor.start_counting()
    mounted = {mount.index: mount.life_share for machine in floor.machines.values() for mount in machine.mounts}
    hand.take_over(floor)
    return Stand(case, floor, hand, wear, mounted)


def _chips_as_usual(case: Case, hand: Hand) -> None:
    """Let every operation clean chips off or not, as the scenario has it."""
    specs = [spec for line in case.works.lines.values() for spec in line.operations.values()]
    for operation, spec in enumerate(specs):
        if spec.chips is not None:
            time = int(case.plan.operations.chip_clean_time[operation])
            hand.chip_ways[operation] = (time, spec.chips.chance_when_cleaned, spec.chips.chance)
            hand.set_chips(int(case.plan.operations.first_machine[operation]), spec.chips.clean)


@dataclass(frozen=True, eq=False)
class Carried:
    """A shift that has been carried out.

    Attributes
    ----------
    tally : Tally
        Sums of the shift.
    bound : list of Bound
        Orders that took hold.
    edges : list of EdgeSeen
        Every edge that came off, and those still in at the end.
    handed_over : float
        Worth of the life that the edges left in at the end have lost since the beginning, in money.
    watched : Watched
        What was done at the machines.
    """

    case: Case
    tally: Tally
    bound: list[Bound]
    edges: list[EdgeSeen]
    handed_over: float
    watched: Watched

    @cached_property
    def items(self) -> dict[str, float]:
        """The ledger's items in money, and the wear handed over."""
        rows = ledger_rows(self.case.works, self.case.plan, self.tally)
        sums = rows.groupby("item")["minor_units"].sum()
        return {item: float(sums.get(item, 0)) / 100.0 for item in ITEMS} | {HANDED_OVER: self.handed_over}

    @cached_property
    def figures(self) -> dict[str, float]:
        """What a shift is judged by, under the names of `FIGURES`."""
        tally, items = self.tally, self.items
        good = int(tally.shipped.sum())
        worths = [line.worth for line in self.case.works.lines.values()]
        worth = sum(count * each for count, each in zip(tally.shipped.tolist(), worths, strict=True))
        cost, loss = sum(items.values()), items[Item.QUALITY_LOSS.value]
        state = tally.state_min.sum(axis=0)
        return {
            "earned": worth - cost,
            "good parts": float(good),
            "parts in limits": float(good - int(tally.parts_out.sum())),
            "share in limits": (good - int(tally.parts_out.sum())) / good if good else 0.0,
            "scrapped": float(tally.scrapped_parts.sum()),
            "salvaged": float(tally.salvaged.sum()),
            "quality loss": loss,
            "quality loss per part": loss / good if good else loss,
            "cost per part": cost / good if good else cost,
            "changes": float(tally.planned.sum() + tally.joined.sum()),
            "broken edges": float(tally.unplanned.sum()),
            "looks": float(tally.looks.sum()),
            "minutes changing": float(state[State.CHANGING]),
            "minutes waiting for a setter": float(state[State.WAITING_FOR_SETTER]),
            "minutes waiting for a sharp cutter": float(state[State.WAITING_FOR_SET]),
        }


HANDED_OVER = "wear handed over"
"""What the next shift finds worn, in money; an item beside those of the ledger."""


def carry_out(case: Case, script: Iterable[Bound] = (), until_min: float | None = None) -> Carried:
    """Carry a shift out with orders that are bound to where they take hold.

    Parameters
    ----------
    case : Case
        The shift.
    script : iterable of Bound
        Orders; none: the plan's run.
    until_min : float, optional
        When to stop, minutes from the start of the run; the end of the shift unless given.
    """
    stand = stand_up(case, script)
    stand.floor.run_until(case.ends_min if until_min is None else until_min)
    return carried_by(stand)


def carried_by(stand: Stand) -> Carried:
    """What a floor leaves behind that has come to the end of its shift."""
    tally = stand.floor.finish()
    edges = list(stand.wear.seen)
    lost = 0.0
    for index, machine in sorted(stand.floor.machines.items()):
        for mount in machine.mounts:
            edges.append(stand.wear.edge(index, mount.index, None, "still in"))
            before = stand.mounted[mount.index]
            price = renewal_price(stand.case, index, mount.index)
            lost += (min(mount.life_share, 1.0) - min(before, 1.0)) * price
    return Carried(stand.case, tally, stand.hand.bound, edges, lost, stand.hand.watched)


def renewal_price(case: Case, machine: int, mount: int) -> float:
    """What it costs to make a mounted set sharp again: renewal, setter and machine for the time of the change."""
    plan, works = case.plan, case.works
    kind = int(plan.mounts.kind[mount])
    name = plan.names.kinds[kind]
    cutter, row = works.cutters[name], Kinds._make(column[kind] for column in plan.kinds)
    operation = [spec for line in works.lines.values() for spec in line.operations.values()][
        case.directory.operation_of[machine]
    ]
    hours = (mean_minutes(cutter.change) + mean_minutes(operation.access)) / 60.0
    rate = operation.rate + operation.operators * works.prices.labour_rate
    if operation.setters is not None:
        rate += works.people[operation.setters].rate
    renewal = cutter.renewal
    if renewal.reground is not None:
        need = float(row.per_wear_land) * float(row.wear_limit_mm) + float(row.margin_mm)
        grinding = mean_minutes(renewal.reground.minutes) / 60.0 * works.crib.rate
        return hours * rate + renewal.reground.cost + grinding + cutter.price * need / float(row.stock_mm)
    in_place = 0.0 if int(row.renewal) == RenewalWay.BOUGHT else float((renewal.indexed or renewal.dressed).cost)  # type: ignore[union-attr]
    return hours * rate + in_place + cutter.price / float(row.uses)
