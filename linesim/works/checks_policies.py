"""Whether the exceptions of policies name cutter sets that are there, and whether rules can ever act.

A rule that asks the gauge acts on the set that makes the last cut of a gauged feature at or before the gauge; a rule by
a share of life acts on a set whose life is known. An exception that can act on none of the sets that it names is an
error. A default holds for every set without an exception and passes over those on which it cannot act; it is an error
only if it can act on none of them.
"""

from __future__ import annotations

from linesim.errors import nearest, said
from linesim.works.nodes import Path
from linesim.works.policies import Policy, Rule
from linesim.works.report import Report
from linesim.works.walks import Mount, cuts_of, mounted, readings

__all__ = ["check_policies"]

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
    known = [*report.works.cutters, *sorted({f"{mount.operation} / {mount.cutter}" for mount in mounts})]
    actions = _Actions(report, mounts)
    for policy_name, policy in report.works.policies.items():
        path = ("policies", policy_name)
        for name in policy.exceptions:
            _check_name(report, (*path, "exceptions", name), name, known)
        if not _routing_is_gone(report):
            sets = _sets_by_rule(policy, mounts)
            for name, rule in policy.exceptions.items():
                actions.check((*path, "exceptions", name), rule, sets.get(name, []), said(name))
            actions.check((*path, "default"), policy.default, sets.get(None, []), "any set without an exception")


def _check_name(report: Report, path: Path, name: str, known: list[str]) -> None:
    """An exception names a cutter, or an operation and its cutter."""
    operation, parted, _ = name.partition(" / ")
    lines = {str(place[1]) for place in report.gone if place[0] == "lines" and len(place) > 1}
    places = [("lines", line, "operations", operation) for line in {*report.works.lines, *lines}]
    if not (parted and any(report.gone_within(place) for place in places)):
        report.known(path, name, known, _KIND, ("cutters",))


def _sets_by_rule(policy: Policy, mounts: list[Mount]) -> dict[str | None, list[Mount]]:
    """Return the sets under each exception by its name, and under None those for which the default holds."""
    found: dict[str | None, list[Mount]] = {}
    for mount in mounts:
        names = (f"{mount.operation} / {mount.cutter}", mount.cutter)
        found.setdefault(next((name for name in names if name in policy.exceptions), None), []).append(mount)
    return found


def _routing_is_gone(report: Report) -> bool:
    """Whether operations, cuts, gauges or their order were taken out, so that nobody knows which set a gauge reads."""
    kept = ("strokes", "gauges", "after", "sets")
    places = [place for place in report.gone if place[0] == "lines" and (len(place) < 3 or place[2] == "operations")]
    return any(len(place) < 5 or place[4] in kept for place in places)


class _Actions:
    """Knows on which sets a rule can act."""

    def __init__(self, report: Report, mounts: list[Mount]) -> None:
        cutters = report.works.cutters
        cutting = {Mount(at.at.line_name, at.at.name, at.cut.cutter) for at in cuts_of(report.works)}
        self.report = report
        self.read = readings(report.works)
        self.lives = {
            mount for mount in mounts if mount in cutting or mount.cutter not in cutters or cutters[mount.cutter].life
        }

    def check(self, path: Path, rule: Rule, sets: list[Mount], meant: str) -> None:
        """Write down a rule that can act on none of the sets under it."""
        if not sets:
            return
        if rule.gauge is not None:
            self._check_gauge((*path, "gauge"), rule, sets, meant)
        elif rule.life is not None and not self.lives & set(sets):
            text = f"the life of {meant} is not known, because it makes no cuts and has no life of its own"
            rests_on = [("cutters", mount.cutter, "life") for mount in sets]
            self.report.add((*path, "life"), f"{text}; a set with a life, or another rule, was expected", "", rests_on)

    def _check_gauge(self, path: Path, rule: Rule, sets: list[Mount], meant: str) -> None:
        """A rule that asks the gauge is for a set that a gauge reads, and has a limit for what it reads."""
        read = {kind for mount in sets for kind in self.read.get(mount, ())}
        asked = {kind for kind in ("size", "roughness") if getattr(rule.gauge, kind) is not None}
        if not read:
            names = list(dict.fromkeys(mount.cutter for mount in self.read))
            near = nearest(sets[0].cutter, names)
            text = f"no gauge reads what {meant} makes (the last cut of a feature before its gauge counts)"
            wanted = f"a set that a gauge reads ({', '.join(names)})" if names else "a gauge behind its cut"
            self.report.add(path, f"{text}; {wanted} was expected", f"Did you mean {said(near)}?" if near else "")
        for kind in sorted(asked - read) if read else ():
            text = f"no gauge reads the {kind} of what {meant} makes, only its {' and '.join(sorted(read))}"
            self.report.add((*path, kind), f"{text}; a gauge with {kind} among its reads was expected")
