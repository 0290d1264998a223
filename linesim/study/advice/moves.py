"""Which changes to today's practice are worth trying in a works, what can be gained most by at the beginning."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import assert_never

from linesim.cards.rule_said import rule_said
from linesim.desk import desk_figures
from linesim.study.advice.move import Move
from linesim.study.comparing.words import number_said
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.levers import levers_of, levers_under
from linesim.study.search.common.line_levers import changes_of_line
from linesim.study.search.common.set_at import all_sets_at, intervals_under
from linesim.words import Joined, keep
from linesim.works import Works
from linesim.works.ageing import OverhaulEvery
from linesim.works.doing import called, called_anywhere
from linesim.works.part_types import SEQUENCE_NAMES
from linesim.works.policies import Policy, Rule
from linesim.works.setting import Aim, CorrectionChange
from linesim.works.walks import operations_of

__all__ = ["moves_of"]

SHARES = (0.4, 0.55, 0.7, 0.85, 1.0)
"""Intervals tried, as shares of the life of an average edge; none lies past its wear limit."""

GROUPS = (0.5, 0.7, 0.85)
"""Shares of an interval past which sets come off in the same stop."""

CORRECTED = (0.0, 0.3, 0.5, 0.7, 1.0)
"""Shares of what a gauge reads that it may put on the offset."""

TIMES = (0.5, 2.0)
"""Overhauls, batches and parts from reading to reading are tried half and twice as great."""


def moves_of(works: Works) -> list[Move]:
    """Changes to try, one lever after another; those at the constraint of a line come first.

    Parameters
    ----------
    works : Works
        The checked scenario.

    Returns
    -------
    list of Move
        None of them leaves everything as it is, and no two do the same.
    """
    today = works.policies[works.todays_policy]
    holding = set(map(str, desk_figures(works).constraints["operation"]))
    moves = [*_intervals(works), *_groups(works), *_levers(works), *_readings(works), *_promptly(works)]
    first = [move for move in moves if move.key.partition(" / ")[0] in holding]
    ordered = [*first, *(move for move in moves if move not in first), *_policies(works)]
    result: list[Move] = []
    known = [today.model_copy(update={"about": ""})]
    for move in ordered:
        policy = move.on_policy(today).model_copy(update={"about": ""})
        if move in result or (move.entry != "every" and policy in known):
            continue
        known.append(policy)
        result.append(move)
    return result


def _intervals(works: Works) -> Iterator[Move]:
    """Every set by itself after a round number of parts, within its wear limit."""
    today = works.policies[works.todays_policy]
    sets_at = all_sets_at(works, most_lives=1.0)
    now = intervals_under(works, works.todays_policy, sets_at)
    for set_at in sets_at:
        rule = today.rule_for(set_at.operation, set_at.cutter)
        tried = sorted({set_at.snapped(share * set_at.parts_per_life, "parts") for share in SHARES} - {rule.parts})
        for parts in tried:
            if parts <= set_at.parts_per_life:
                words = keep(
                    "moves.interval", set=set_at.cutter, operation=called_anywhere(works, set_at.operation),
                    when=rule_said(Rule(parts=parts)), before=_now_words(rule, now[set_at.key]),
                )  # fmt: skip
                yield Move("exceptions", set_at.key, Rule(parts=parts), words)


def _now_words(rule: Rule, parts: float) -> str:
    """Today's rule of a set, behind "instead of"."""
    if rule.parts is not None:
        return f"{rule.parts}"
    if rule.run_out:
        return keep("moves.run_out", parts=parts)
    return keep("moves.about", when=rule_said(rule), parts=parts)


def _groups(works: Works) -> Iterator[Move]:
    """Sets of one operation in one stop, where any operation has several."""
    now = works.policies[works.todays_policy].group_past
    stations = [(set_at.line, set_at.operation) for set_at in all_sets_at(works)]
    if len(set(stations)) == len(stations):
        return
    for share in (*GROUPS, None):
        if share == now:
            continue
        if share is None:
            words = keep("moves.alone", before=now)
        elif now is None:
            words = keep("moves.together", share=share)
        else:
            words = keep("moves.together_past", share=share, before=now)
        yield Move("group_past", "", share, words)


def _promptly(works: Works) -> Iterator[Move]:
    """Sets changed at once when they are due, or with the next part."""
    if not all_sets_at(works):
        return
    if works.policies[works.todays_policy].changes == "when due":
        yield Move("changes", "", "with the next part", keep("moves.with_next_part"))
    else:
        yield Move("changes", "", "when due", keep("moves.when_due"))


def _levers(works: Works) -> Iterator[Move]:
    """Aims, corrections, batches and overhauls."""
    levers = levers_of(works, works.todays_policy)
    for lever, now in zip(levers, levers_under(works, works.todays_policy, levers), strict=True):
        match lever.kind:
            case "aim":
                yield _aim(works, lever)
            case "share":
                yield from _shares(works, lever, now)
            case "dead band" | "every":  # how often gauges read is a move of its own
                pass
            case "batches" | "overhaul":
                yield from _stretched(works, lever, now)
            case "sequence":
                yield from _sequences(works, lever, now)
            case _:
                assert_never(lever.kind)


def _aim(works: Works, lever: Lever) -> Move:
    operation, _, cutter = lever.key.partition(" / ")
    aims = works.policies[works.todays_policy].aims
    before = _aim_words(aims.get(lever.key, aims.get(cutter)))
    words = keep("moves.aim", set=cutter, operation=called_anywhere(works, operation), before=before)
    return Move("aims", lever.key, "centred", words)


def _aim_words(aim: Aim | None) -> str:
    """Where fresh edges are set today, behind "instead of"."""
    if aim is None:
        return keep("moves.aim_intended")
    if aim == "centred":
        return keep("moves.aim_centred")
    key = "moves.aim_deeper" if float(aim) >= 0.0 else "moves.aim_shallower"
    return keep(key, amount=abs(float(aim)))


def _shares(works: Works, lever: Lever, now: float) -> Iterator[Move]:
    """Other shares of what a gauge reads put on the offset, its dead band left as it is."""
    operation, _, gauge = lever.key.partition(" / ")
    corrections, at = works.policies[works.todays_policy].corrections, called_anywhere(works, operation)
    change = corrections.get(lever.key, corrections.get(gauge))
    band = None if change is None else change.dead_band
    before = keep("moves.share_none") if now == 0.0 else keep("moves.share_of", share=now)
    for share in CORRECTED:
        if abs(share - now) < lever.grid / 2.0:
            continue
        key = "moves.share_left" if share == 0.0 else "moves.share"
        words = keep(key, gauge=gauge, operation=at, before=before, **({} if share == 0.0 else {"share": share}))
        yield Move("corrections", lever.key, CorrectionChange(share=share, dead_band=band), words)


def _stretched(works: Works, lever: Lever, now: float) -> Iterator[Move]:
    """Batches or overhauls half and twice as great."""
    for times in TIMES:
        value = lever.snapped(times * now)
        if value == now:
            continue
        entry, change = changes_of_line(lever, value)
        if entry == "batches":
            before = _batch_words(changes_of_line(lever, now)[1])
            yield Move("batches", lever.key, change,
                       keep("moves.batches", line=lever.key, batches=_batch_words(change), before=before))  # fmt: skip
        else:
            at = called_anywhere(works, lever.key)
            words = keep("moves.overhaul", operation=at, when=_overhaul_words(value), before=_overhaul_words(now))
            yield Move("overhauls", lever.key, change, words)


def _sequences(works: Works, lever: Lever, now: float) -> Iterator[Move]:
    """Each other way to choose among waiting parts of several types."""
    for value, sequence in enumerate(SEQUENCE_NAMES):
        if value != now:
            words = keep(
                "moves.takes", operation=called_anywhere(works, lever.key), sequence=lever.shown(value),
                before=lever.shown(now),
            )  # fmt: skip
            yield Move("sequences", lever.key, sequence, words)


def _overhaul_words(every: OverhaulEvery) -> str:
    """How often, as the end of a sentence that begins with "overhaul"."""
    return keep("moves.never") if every == "never" else keep("moves.every_hours", hours=float(every) / 60.0)


def _batch_words(batches: Mapping[str, int]) -> str:
    return keep("moves.batch", parts=Joined(f"{count} {name}" for name, count in batches.items()))


def _readings(works: Works) -> Iterator[Move]:
    """Every gauge half and twice as often."""
    for at in operations_of(works):
        for name, gauge in at.operation.gauges.items():
            for times in TIMES:
                every = round(times * gauge.every)
                if every >= 1 and every != gauge.every:
                    words = keep(
                        "moves.reading", gauge=name, operation=called(at.name, at.operation), often=_one_in(every),
                        before=_one_in(gauge.every),
                    )  # fmt: skip
                    yield Move("every", f"{at.name} / {name}", every, words)


def _one_in(every: int) -> str:
    return keep("gauges.every_part") if every == 1 else keep("gauges.one_in", every=every)


def _policies(works: Works) -> Iterator[Move]:
    """The other policies of the scenario."""
    for name, policy in works.policies.items():
        if name != works.todays_policy:
            also, when = list(_also(policy)), rule_said(policy.default)
            words = (
                keep("moves.policy_also", policy=name, when=when, also=also)
                if also
                else keep("moves.policy", policy=name, when=when)
            )
            yield Move("policy", name, policy, words)


def _also(policy: Policy) -> Iterator[str]:
    """What a policy does beside its rule for all sets; how edges are aimed, corrected and overhauled is left out."""
    if policy.exceptions:
        count = len(policy.exceptions)
        yield keep("moves.exceptions", count=count, shown=number_said(count))
    if policy.group_past is not None:
        yield keep("moves.grouped", share=policy.group_past)
    if policy.changes == "when due":
        yield keep("moves.at_once")
    for line, batches in policy.batches.items():
        yield keep("moves.in_batches", line=line, batches=_batch_words(batches))
    for operation, sequence in policy.sequences.items():
        yield keep("moves.sequence", operation=operation, sequence=sequence)
