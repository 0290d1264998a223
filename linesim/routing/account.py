"""The account of an error: how much of its variance came from where, in one run.

The variance of an error that is a sum of parts is the sum of the covariances of each part with the whole: that is the
account. A source can take variance out, and then stands with a minus: a gauge that resets a cut is there for that.
Size, position and tilt are such sums; form is a root of a sum of squares, and its account is kept in squares: the means
of the parts sum to the mean square of the form. Source: elementary; the covariance is additive in each argument.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from linesim.cutting.component import Component
from linesim.errors import StudyError
from linesim.floor.run import Floor
from linesim.plan.plan import Plan
from linesim.plan.tables import Floats
from linesim.routing.following import Follower
from linesim.routing.lives import AS_CAST, Life, Step, origins_of

__all__ = ["Account", "account_of_run", "alike"]


@dataclass(frozen=True, eq=False)
class Account:
    """The account of one run.

    Attributes
    ----------
    steps : tuple of Step
        In the order of the routing, the casting first.
    origins : tuple of Step
        Where an error can arise: the casting, then the cuts of each operation and what else moves the feature there.
    operations : tuple of str
        Of the routing.
    parts : numpy.ndarray
        Shape (places of shipped parts, origins, sources): the final errors, µm (of the form its square, µm²).
    mean : numpy.ndarray
        Shape (steps, sources): mean after each step, by source; sums to the mean of the whole. Units as of ``parts``.
    variance : numpy.ndarray
        Shape (steps, sources): covariance of each source with the whole after the step, in the square of the units of
        ``parts``; sums to the variance of the whole.
    surface : numpy.ndarray
        Shape (operations, 3): mean Ra (µm), share of places scratched, mean depth of those scratches (µm) when parts
        are passed on.
    """

    steps: tuple[Step, ...]
    origins: tuple[Step, ...]
    operations: tuple[str, ...]
    parts: Floats
    mean: Floats
    variance: Floats
    surface: Floats

    @property
    def arising(self) -> Floats:
        """Covariance with the final value by origin and source; sums to the variance of the final value."""
        apart = self.parts - self.parts.mean(axis=0)  # or squares of a large form would drown what varies
        total: Floats = np.einsum("n,nos->os", apart.sum(axis=(1, 2)), apart) / max(len(apart) - 1, 1)
        return total

    @property
    def arising_mean(self) -> Floats:
        """Mean by origin and source of the final value; sums to its mean."""
        means: Floats = self.parts.mean(axis=0)
        return means


def account_of_run(
    plan: Plan, line: int, feature: int, seed: int, replication: int, of: Component = Component.SIZE
) -> Account:
    """Run a plan once on the SimPy floor and keep the account of one component of a feature.

    Parameters
    ----------
    plan : Plan
        What to run.
    line, feature : int
        Numbers in the plan.
    seed, replication : int
        Key of all chance.
    of : Component
        Size; or position, tilt or form of a feature that carries them.

    Returns
    -------
    Account
        Of the parts shipped in the counted time.

    Raises
    ------
    RunError
        The account does not agree with the run, which would be an error of linesim.
    StudyError
        Nothing was shipped; or the line makes several part types, or the run begins with parts in the line, which are
        not followed.
    """
    _refuse_unfollowed(plan, line, feature)
    follower = Follower(line, feature, of)
    floor = Floor(plan, seed, replication, [follower])
    follower.follow(floor)
    end_min = plan.warm_up_min + plan.length_min
    floor.run_until(end_min)
    lives = [life for moment, life in follower.shipped if plan.warm_up_min <= moment < end_min]
    if not lives:
        raise StudyError(f'"{plan.names.features[feature]}": no part was shipped, so that there is no history to tell')
    return _account(plan, line, origins_of(plan, line, feature), lives)


def _refuse_unfollowed(plan: Plan, line: int, feature: int) -> None:
    """Say that a history needs parts that are all alike, and followed from their castings on."""
    name, first, end = plan.names.features[feature], plan.lines.first_operation[line], plan.lines.end_operation[line]
    if plan.lines.end_type[line] - plan.lines.first_type[line] > 1:
        raise StudyError(f'"{name}": the line makes several part types, and a history is told of a line with one')
    if plan.begins is not None and plan.begins.waiting[first:end].any():
        raise StudyError(f'"{name}": the run begins with parts in the line, whose history is not known; leave out now')


def _account(plan: Plan, line: int, origins: tuple[Step, ...], lives: Sequence[Life]) -> Account:
    """Put the accounts of many parts together."""
    first, end = int(plan.lines.first_operation[line]), int(plan.lines.end_operation[line])
    names = plan.names.operations[first:end]
    seen = {step for life in lives for step in life.steps}
    steps = tuple(step for step in origins if step in seen)
    means, variances = [], []
    state = np.concatenate([life.steps[AS_CAST] for life in lives])
    places = len(lives[0].tags)
    for step in steps:
        for at, life in enumerate(lives):
            if step in life.steps:
                state[at * places : (at + 1) * places] = life.steps[step]
        means.append(state.mean(axis=0))
        apart = state - means[-1]
        variances.append(apart.sum(axis=1) @ apart / max(len(apart) - 1, 1))
    parts = np.array([tags for life in lives for tags in life.asked])
    surface = np.array([_surface_after(lives, name) for name in names])
    return Account(steps, origins, tuple(names), parts, np.array(means), np.array(variances), surface)


def _surface_after(lives: Sequence[Life], operation: str) -> tuple[float, float, float]:
    """Mean Ra, share scratched and mean depth of the scratches when parts are passed on by an operation."""
    ra = np.array([value for life in lives for value in life.surface[operation][0]])
    scratch = np.array([value for life in lives for value in life.surface[operation][1]])
    hit = scratch > 0.0
    return float(ra.mean()), float(hit.mean()), float(scratch[hit].mean()) if hit.any() else 0.0


def alike(accounts: Sequence[Account]) -> tuple[Account, ...]:
    """Accounts over the same steps: a run that has not seen a step stays as it was before it."""
    known = {step for account in accounts for step in account.steps}
    steps = tuple(step for step in accounts[0].origins if step in known)
    return tuple(_over_steps(account, steps) for account in accounts)


def _over_steps(account: Account, steps: tuple[Step, ...]) -> Account:
    rows, at = [], -1
    for step in steps:
        at = account.steps.index(step) if step in account.steps else at
        rows.append(at)
    return replace(account, steps=steps, mean=account.mean[rows], variance=account.variance[rows])
