"""From the names that a trainee uses to the numbers of the plan, and the words for a name that is not there."""

from __future__ import annotations

from linesim.errors import nearest, quoted
from linesim.plan.plan import Plan
from linesim.plan.tables import NONE
from linesim.training.orders import ALL, TrainingError

__all__ = ["Directory"]


class Directory:
    """Machines, cutter sets, cuts, gauges and pools of a plan by name.

    Parameters
    ----------
    plan : Plan
        Of a works whose operations all have names of their own.
    in_hand : tuple of str
        Operations whose machines the trainee looks after.
    """

    def __init__(self, plan: Plan, in_hand: tuple[str, ...]) -> None:
        self.plan = plan
        self.names = plan.names
        self.operation_of: list[int] = plan.machines.operation.tolist()
        self.in_hand = [
            index for index, operation in enumerate(self.operation_of) if self.names.operations[operation] in in_hand
        ]
        self.mount_names = [self.names.kinds[kind] for kind in plan.mounts.kind.tolist()]

    def machines(self, name: str) -> list[int]:
        """Machines in hand that a name stands for: one machine, all of an operation, or all."""
        if name == ALL:
            return list(self.in_hand)
        matches = [index for index in self.in_hand if name in (self.machine_name(index), self.operation_name(index))]
        if not matches:
            known = dict.fromkeys(self.machine_name(index) for index in self.in_hand)
            raise TrainingError(_unknown("machine in your hands", name, list(known)))
        return matches

    def machine_name(self, machine: int) -> str:
        """Name of a machine."""
        return self.names.machines[machine]

    def operation_name(self, machine: int) -> str:
        """Name of a machine's operation."""
        return self.names.operations[self.operation_of[machine]]

    def mounts(self, machine: int, name: str) -> list[int]:
        """Mounts of a machine that hold sets of a name, or all of them."""
        own = self.mounts_of(machine)
        matches = [mount for mount in own if name in (ALL, self.mount_names[mount])]
        if not matches:
            where = f'cutter set on "{self.machine_name(machine)}"'
            raise TrainingError(_unknown(where, name, [self.mount_names[mount] for mount in own]))
        return matches

    def mounts_of(self, machine: int) -> range:
        """All mounts of a machine."""
        machines = self.plan.machines
        return range(int(machines.first_mount[machine]), int(machines.end_mount[machine]))

    def machine_of_mount(self, mount: int) -> int:
        """The machine on which a mount sits."""
        return int(self.plan.mounts.machine[mount])

    def cuts_of(self, machine: int) -> range:
        """Cuts that a machine makes."""
        operations, strokes = self.plan.operations, self.plan.strokes
        operation = self.operation_of[machine]
        first, end = int(operations.first_stroke[operation]), int(operations.end_stroke[operation])
        return range(int(strokes.first_cut[first]), int(strokes.end_cut[end - 1])) if end > first else range(0)

    def cut(self, machine: int, name: str) -> int:
        """A cut of a machine."""
        names = {self.names.cuts[cut]: cut for cut in self.cuts_of(machine)}
        if name not in names:
            raise TrainingError(_unknown(f'cut on "{self.machine_name(machine)}"', name, list(names)))
        return names[name]

    def gauges_of(self, machine: int) -> range:
        """Gauges that stand behind a machine's operation."""
        operations, operation = self.plan.operations, self.operation_of[machine]
        return range(int(operations.first_gauge[operation]), int(operations.end_gauge[operation]))

    def gauge(self, name: str) -> tuple[int, list[int]]:
        """A gauge, and the machines in hand behind which it stands."""
        names: dict[str, tuple[int, list[int]]] = {}
        for machine in self.in_hand:
            for gauge in self.gauges_of(machine):
                names.setdefault(self.names.gauges[gauge], (gauge, []))[1].append(machine)
        if name not in names:
            raise TrainingError(_unknown("gauge in your hands", name, list(names)))
        return names[name]

    def pool(self, name: str) -> int:
        """A pool of people."""
        if name not in self.names.pools:
            raise TrainingError(_unknown("pool of people", name, list(self.names.pools)))
        return self.names.pools.index(name)

    def with_chips(self) -> list[int]:
        """Machines in hand on whose locating faces chips can lie."""
        feature = self.plan.operations.chip_feature
        return [machine for machine in self.in_hand if int(feature[self.operation_of[machine]]) != NONE]


def _unknown(what: str, name: str, known: list[str]) -> str:
    """That there is no such thing, and which there are."""
    near = nearest(name, known)
    meant = f"; did you mean {quoted(near)}?" if near else ""
    listed = ", ".join(quoted(entry) for entry in known) or "none"
    return (
        f"there is no {what} called {quoted(name)}{meant} There are: {listed}"
        if near
        else (f"there is no {what} called {quoted(name)}; there are: {listed}")
    )
