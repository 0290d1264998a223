"""A trial policy as a table of rules: one row for all sets, one for each set, with the checks of the file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from dashboard.forms.fields import Field, errors_beside
from dashboard.forms.trial_levers import TrialLever, levers_as_said, trial_levers
from linesim.errors import Problem, ScenarioError
from linesim.rules import KINDS, kind_and_value
from linesim.words import keep, retell, say
from linesim.works import Works, changed
from linesim.works.policies import Policy, Rule
from linesim.works.scalars import plain_scalar
from linesim.works.shape import dotted
from linesim.works.walks import mounted
from linesim.works.writing import plain

__all__ = [
    "AS_ALL", "GROUP", "NAME", "TrialRow", "kind_called", "kinds_of", "trial_errors", "trial_rows", "with_policy",
    "with_trial",
]  # fmt: skip

AS_ALL: str = keep("trial_form.as_all")
NAME, GROUP = "name", "group"
"""Fields of the trial that are no rule."""

_STANDS: str = keep("trial_form.stands")
_KINDS = {kind.label: kind for kind in KINDS if kind.label}
_DEFAULT: str = keep("trial_form.all_sets")
_LONGEST_NAME = 60


@dataclass(frozen=True)
class TrialRow:
    """The rule of one set, or of all.

    Attributes
    ----------
    key : str
        Operation / cutter, as an exception names it; "all sets" for the rule of all others.
    kind : str
        Of `kinds_of`.
    interval : str
        As it is written; empty where the kind has none.
    rule : Rule
        The rule as it stands.
    """

    key: str
    kind: str
    interval: str
    rule: Rule

    @property
    def is_default(self) -> bool:
        """Whether it is the rule of all sets that have none of their own."""
        return self.key == _DEFAULT


def kinds_of(row: TrialRow) -> tuple[str, ...]:
    """Kinds of rule that a row can have; one that no table can say may stay as it stands."""
    first = () if row.is_default else (AS_ALL,)
    last = (_STANDS,) if row.kind == _STANDS else ()
    return (*first, *_KINDS, *last)


def kind_called(kind: str) -> str:
    """What a kind of rule is called in the words of whoever looks."""
    return say(f"trial_form.kind_{_KINDS[kind].entry}") if kind in _KINDS else retell(kind)


def trial_rows(works: Works, policy: str) -> list[TrialRow]:
    """The rules of a policy, to be changed.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        From which the trial sets out.

    Returns
    -------
    list of TrialRow
        The rule of all sets first, then the sets in the order of the routing.
    """
    of = works.policies[policy]
    rows = [_row(_DEFAULT, of.default)]
    for mount in mounted(works):
        key = f"{mount.operation} / {mount.cutter}"
        rule = of.rule_for(mount.operation, mount.cutter)
        if all(row.key != key for row in rows):
            rows.append(TrialRow(key, AS_ALL, "", rule) if rule == of.default else _row(key, rule))
    return rows


def with_trial(works: Works, base: str, rows: Sequence[TrialRow], written: Mapping[str, tuple[str, str]],
               name: str, group: str, levers: Mapping[str, Mapping[str, Any]] | None = None) -> Works:  # fmt: skip
    """The works with the trial among its policies, under the checks of a file.

    Parameters
    ----------
    works : Works
        Stays as it is.
    base : str
        The policy from which the trial has set out.
    rows : sequence of TrialRow
        As they were shown.
    written : mapping of str to (str, str)
        Kind and interval by the key of the row.
    name : str
        What the trial is called; a policy of that name is replaced.
    group : str
        Share past which sets come off in the same stop; empty for none.
    levers : mapping, optional
        Aims, corrections and the like, see `levers_as_said`; those of the base unless given.

    Returns
    -------
    Works

    Raises
    ------
    ScenarioError
        With everything that is wrong, each with its place; see `trial_errors`.
    """
    called = " ".join(name.split())
    if not called or len(called) > _LONGEST_NAME or not called.isprintable():
        wanted = f"a name of 1 to {_LONGEST_NAME} letters was expected"
        raise ScenarioError([Problem("your trial", None, NAME, wanted)])
    missing = [
        Problem("your trial", None, _place(works, called, row), "an interval was expected here, such as 60")
        for row in rows
        if _needs_interval(written[row.key][0]) and not written[row.key][1].strip()
    ]
    if missing:
        raise ScenarioError(missing)
    rules = {row.key: _rule(row, *written[row.key]) for row in rows}
    entries: dict[str, Any] = {"about": f'On trial, from "{base}"', "default": rules.pop(_DEFAULT)}
    entries["exceptions"] = {key: rule for key, rule in rules.items() if rule is not None}
    beside = levers_as_said(trial_levers(works, base), {}) if levers is None else levers
    entries |= {entry: dict(values) for entry, values in beside.items() if values}
    if works.policies[base].changes != "with the next part":
        entries["changes"] = works.policies[base].changes
    if group.strip():
        entries["group_past"] = plain_scalar(group.strip())
    others = {other: policy for other, policy in works.policies.items() if other != called}
    return changed(works.model_copy(update={"policies": others}), {"policies": {called: entries}}, "your trial")


def with_policy(works: Works, name: str, policy: Policy) -> tuple[Works, str]:
    """The works with one more policy, under the checks of a file.

    Parameters
    ----------
    works : Works
        Stays as it is.
    name : str
        What to call it; a number is added where that name is taken by another one.
    policy : Policy
        The policy.

    Returns
    -------
    (Works, str)
        The works, and the name that was taken; the works itself if it has that very policy already.
    """
    taken = next((known for known, other in works.policies.items() if other == policy), None)
    if taken is not None:
        return works, taken
    called, count = name, 1
    while called in works.policies:
        count += 1
        called = f"{name} {count}"
    return changed(works, {"policies": {called: plain(policy)}}, "the new policy"), called


def trial_errors(works: Works, rows: Sequence[TrialRow], name: str, problems: Sequence[Problem],
                 levers: Sequence[TrialLever] = ()) -> tuple[dict[str, str], list[str]]:  # fmt: skip
    """What is wrong, sorted to the rows it belongs to: by their keys, `NAME` and `GROUP`; and what belongs to none."""
    called = " ".join(name.split())
    named = [problem for problem in problems if problem.path == NAME]
    fields = [_field(called, row) for row in rows]
    fields.append(Field(("policies", called, "group_past"), GROUP, "", "", "", ""))
    fields += [Field(("policies", called, each.entry, each.key), each.label, "", "", "", "") for each in levers]
    shown = [*(row.key for row in rows), GROUP, *(each.label for each in levers)]
    keys = {field.key: at for field, at in zip(fields, shown, strict=True)}
    beside, others = errors_beside(works, fields, [problem for problem in problems if problem.path != NAME])
    result = {keys[key]: text for key, text in beside.items()}
    return result | ({NAME: named[0].text} if named else {}), others


def _needs_interval(kind: str) -> bool:
    return kind in _KINDS and _KINDS[kind].needs_text


def _row(key: str, rule: Rule) -> TrialRow:
    """A rule as kind and interval; one that the form cannot say stays as it stands."""
    kind, value = kind_and_value(rule)
    written = kind.written(value) if kind.label else None
    return TrialRow(key, _STANDS, "", rule) if written is None else TrialRow(key, kind.label, written, rule)


def _rule(row: TrialRow, label: str, interval: str) -> Any:
    """What stands in a row, as a file would say it; None for the rule of all others."""
    if label == AS_ALL:
        return None
    before = plain(row.rule)
    if label == _STANDS:
        return before
    kind = _KINDS[label]
    old = before.get(kind.entry) if isinstance(before, dict) else None
    return {kind.entry: kind.entered(interval.strip(), old)}


def _field(name: str, row: TrialRow) -> Field:
    at = ("policies", name, "default") if row.is_default else ("policies", name, "exceptions", row.key)
    return Field(at, row.key, row.interval, "", "", "")


def _place(works: Works, name: str, row: TrialRow) -> str:
    """Where a row stands in the scenario, as problems tell it."""
    return dotted(type(works), _field(name, row).path)
