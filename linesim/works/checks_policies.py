"""Whether the exceptions of policies name cutter sets that are there, and whether rules can ever act.

A rule that asks the gauge acts on the set that makes the last cut of a gauged feature at or before the gauge; a rule by
a share of life acts on a set whose life is known. An exception that can act on none of the sets that it names is an
error. A default holds for every set without an exception and passes over those on which it cannot act; it is an error
only if it can act on none of them.
"""

from __future__ import annotations

from collections import defaultdict

from linesim.errors import hint_at, quoted
from linesim.works.nodes import Path, has_room
from linesim.works.policies import Policy, Rule
from linesim.works.report import Report
from linesim.works.walks import Mount, cuts_of, mounted, readings

__all__ = ["check_policies"]

_MOST_LISTED = 12
_KIND = 'a cutter, or an operation and its cutter ("Op 40 / finish blade")'


def check_policies(report: Report) -> None:
    """Look up the names of exceptions and of today's policy, and whether each rule can act on the sets under it.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    today = report.works.today
    if today is not None:
        report.known(("today",), today, report.works.policies, "a policy of this works", ("policies",))
    mounts = mounted(report.works)
    under = _Under(mounts)
    known = dict.fromkeys([*report.works.cutters, *sorted(under.by_both)])
    actions = _Actions(report, mounts)
    routing_is_gone = _routing_is_gone(report)
    lines = {*report.works.lines, *(str(place[1]) for place in report.gone if place[0] == "lines" and len(place) > 1)}
    for policy_name, policy in report.works.policies.items():
        path = ("policies", policy_name)
        for name in policy.exceptions:
            if name not in known:
                _check_name(report, (*path, "exceptions", name), name, known, lines)
        if not routing_is_gone and any(map(_asks_much, (policy.default, *policy.exceptions.values()))):
            for name, rule in policy.exceptions.items():
                actions.check((*path, "exceptions", name), rule, under.exception(name, policy), quoted(name))
            actions.check((*path, "default"), policy.default, under.default(policy), "any set without an exception")


def _both(mount: Mount) -> str:
    """Return the name of an operation and its cutter, as an exception may give it."""
    return f"{mount.operation} / {mount.cutter}"


def _asks_much(rule: Rule) -> bool:
    """Whether a rule acts on some sets only."""
    return rule.gauge is not None or rule.life is not None


def _check_name(report: Report, path: Path, name: str, known: dict[str, None], lines: set[str]) -> None:
    """An exception names a cutter, or an operation and its cutter."""
    operation, parted, _ = name.partition(" / ")
    places = [("lines", line, "operations", operation) for line in lines]
    if not (parted and any(report.is_touched(place) for place in places)):
        report.known(path, name, known, _KIND, ("cutters",))


class _Under:
    """Knows which of the mounted sets stand under an exception or under the default of a policy.

    An operation and its cutter come before the cutter alone.
    """

    def __init__(self, mounts: list[Mount]) -> None:
        self.by_cutter: dict[str, list[Mount]] = defaultdict(list)
        self.by_both: dict[str, list[Mount]] = defaultdict(list)
        for mount in mounts:
            self.by_cutter[mount.cutter].append(mount)
            self.by_both[_both(mount)].append(mount)

    def exception(self, name: str, policy: Policy) -> list[Mount]:
        """Return the sets under an exception of this name."""
        if name in self.by_both and name not in self.by_cutter:
            return self.by_both[name]
        return self._left(name, self._own(policy))

    def default(self, policy: Policy) -> list[Mount]:
        """Return the sets without an exception; none if the default acts on any set."""
        if not _asks_much(policy.default):
            return []
        own = self._own(policy)
        names = (name for name in self.by_cutter if name not in policy.exceptions)
        return [mount for name in names for mount in self._left(name, own)]

    def _own(self, policy: Policy) -> set[Mount]:
        """Return the sets that have an exception by operation and cutter."""
        return {mount for name in policy.exceptions if " / " in name for mount in self.by_both.get(name, ())}

    def _left(self, cutter: str, own: set[Mount]) -> list[Mount]:
        """Return the sets of a cutter without those that have an exception of their own."""
        mounts = self.by_cutter.get(cutter, [])
        return [mount for mount in mounts if mount not in own] if own else mounts


def _routing_is_gone(report: Report) -> bool:
    """Whether operations, cuts, gauges or their order were taken out, so that nobody knows which set a gauge reads."""
    stored = ("strokes", "gauges", "after", "sets")
    places = [place for place in report.gone if place[0] == "lines" and (len(place) < 3 or place[2] == "operations")]
    return any(len(place) < 5 or place[4] in stored for place in places)


class _Actions:
    """Knows on which sets a rule can act."""

    def __init__(self, report: Report, mounts: list[Mount]) -> None:
        cutters = report.works.cutters
        cutting = {Mount(at.at.line_name, at.at.name, at.cut.cutter) for at in cuts_of(report.works)}
        self.report = report
        self.read = readings(report.works)
        self.lives = {
            mount
            for mount in mounts
            if mount in cutting or mount.cutter not in cutters or cutters[mount.cutter].life_min
        }

    def check(self, path: Path, rule: Rule, sets: list[Mount], meant: str) -> None:
        """Write down a rule that can act on none of the sets under it."""
        if not sets or not has_room(self.report.problems):
            return
        if rule.gauge is not None:
            self._check_gauge((*path, "gauge"), rule, sets, meant)
        elif rule.life is not None and self.lives.isdisjoint(sets):
            text = f"the life of {meant} is not known, because it makes no cuts and has no life of its own"
            rests_on = [("cutters", mount.cutter, "life") for mount in sets]
            self.report.add((*path, "life"), f"{text}; a set with a life, or another rule, was expected", "", rests_on)

    def _check_gauge(self, path: Path, rule: Rule, sets: list[Mount], meant: str) -> None:
        """A rule that asks the gauge is for a set that a gauge reads, and has a limit for what it reads."""
        read = {kind for mount in (sets if self.read else ()) for kind in self.read.get(mount, ())}
        asked = {kind for kind in ("size", "roughness") if getattr(rule.gauge, kind) is not None}
        if not read:
            names = list(dict.fromkeys(mount.cutter for mount in self.read))
            text = f"no gauge reads what {meant} makes (the last cut of a feature before its gauge counts)"
            more = ", ..." if len(names) > _MOST_LISTED else ""
            listed = ", ".join(names[:_MOST_LISTED]) + more
            wanted = f"a set that a gauge reads ({listed})" if names else "a gauge behind its cut"
            self.report.add(path, f"{text}; {wanted} was expected", hint_at(sets[0].cutter, names))
        for kind in sorted(asked - read) if read else ():
            text = f"no gauge reads the {kind} of what {meant} makes, only its {' and '.join(sorted(read))}"
            self.report.add((*path, kind), f"{text}; a gauge with {kind} among its reads was expected")
