"""Which changes to today's practice are worth trying in a works, what can be gained most by at the beginning."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from linesim.desk import desk_figures
from linesim.rules import rule_words
from linesim.study.advice.move import Move
from linesim.study.comparing.words import aim_words, overhaul_words, policy_words
from linesim.study.search.common.lever import Lever
from linesim.study.search.common.levers import levers_of, levers_under
from linesim.study.search.common.line_levers import changes_of_line
from linesim.study.search.common.set_at import SetPlace, intervals_under, set_places
from linesim.works import Works
from linesim.works.doing import called, called_anywhere
from linesim.works.policies import Rule
from linesim.works.setting import CorrectionChange
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
    places = set_places(works, most_lives=1.0)
    now = intervals_under(works, works.todays_policy, places)
    for place in places:
        rule = today.rule_for(place.operation, place.cutter)
        tried = sorted({place.snapped(share * place.parts_per_life, "parts") for share in SHARES} - {rule.parts})
        for parts in tried:
            if parts <= place.parts_per_life:
                words = f"{_parts_words(parts)} instead of {_now_words(rule, now[place.key])}"
                yield Move("exceptions", place.key, Rule(parts=parts), f"Change the {_named(works, place)} {words}")


def _named(works: Works, place: SetPlace) -> str:
    return f"{place.cutter} at {called_anywhere(works, place.operation)}"


def _parts_words(parts: int) -> str:
    return "after every part" if parts == 1 else f"after {parts} parts"


def _now_words(rule: Rule, parts: float) -> str:
    """Today's rule of a set, behind "instead of"."""
    if rule.parts is not None:
        return f"{rule.parts}"
    if rule.run_out:
        return f"running it out (an edge lasts about {parts:.0f})"
    return f"{rule_words(rule, of_one=True)} (about {parts:.0f} parts)"


def _groups(works: Works) -> Iterator[Move]:
    """Sets of one operation in one stop, where any operation has several."""
    now = works.policies[works.todays_policy].group_past
    stations = [(place.line, place.operation) for place in set_places(works)]
    if len(set(stations)) == len(stations):
        return
    for share in (*GROUPS, None):
        if share == now:
            continue
        before = "each by itself" if now is None else f"what is past {100.0 * now:.0f} %"
        joint = (
            "" if share is None else f"change what is past {100.0 * share:.0f} % of its interval as well, instead of"
        )
        words = (
            f"Change each set by itself instead of taking along {before}"
            if share is None
            else f"When a machine stops for one set, {joint} {before}"
        )
        yield Move("group_past", "", share, words)


def _promptly(works: Works) -> Iterator[Move]:
    """Sets changed at once when they are due, or with the next part."""
    if not set_places(works):
        return
    at_once, later = "Change sets as soon as they are due", "when the next part comes"
    if works.policies[works.todays_policy].changes == "when due":
        yield Move("changes", "", "with the next part", f"Change sets {later} instead of as soon as they are due")
    else:
        yield Move("changes", "", "when due", f"{at_once} instead of {later}")


def _levers(works: Works) -> Iterator[Move]:
    """Aims, corrections, batches and overhauls."""
    levers = levers_of(works, works.todays_policy)
    for lever, now in zip(levers, levers_under(works, works.todays_policy, levers), strict=True):
        match lever.kind:
            case "aim":
                yield _aim(works, lever)
            case "share":
                yield from _shares(works, lever, now)
            case "dead band":
                pass
            case "batches" | "overhaul":
                yield from _stretched(works, lever, now)
            case _:
                assert_never(lever.kind)


def _aim(works: Works, lever: Lever) -> Move:
    operation, _, cutter = lever.key.partition(" / ")
    aims = works.policies[works.todays_policy].aims
    now = aims.get(lever.key, aims.get(cutter))
    before = "on the size intended" if now is None else aim_words(now)
    at = called_anywhere(works, operation)
    words = f"Set fresh edges of the {cutter} at {at} to the middle of their drift instead of {before}"
    return Move("aims", lever.key, "centred", words)


def _shares(works: Works, lever: Lever, now: float) -> Iterator[Move]:
    """Other shares of what a gauge reads put on the offset, its dead band left as it is."""
    operation, _, gauge = lever.key.partition(" / ")
    corrections, at = works.policies[works.todays_policy].corrections, called_anywhere(works, operation)
    change = corrections.get(lever.key, corrections.get(gauge))
    band = None if change is None else change.dead_band
    for share in CORRECTED:
        if abs(share - now) < lever.grid / 2.0:
            continue
        does = "leave the offset alone" if share == 0.0 else f"correct {share:g} of what it reads"
        words = f"Let the {gauge} at {at} {does} instead of {'nothing' if now == 0.0 else f'{now:g} of it'}"
        yield Move("corrections", lever.key, CorrectionChange(share=share, dead_band=band), words)


def _stretched(works: Works, lever: Lever, now: float) -> Iterator[Move]:
    """Batches or overhauls half and twice as great."""
    for times in TIMES:
        value = lever.snapped(times * now)
        if value == now:
            continue
        entry, change = changes_of_line(lever, value)
        if entry == "batches":
            words = f"Let the castings of {lever.key} come in batches of {_batch_words(change)} instead of"
            before = changes_of_line(lever, now)[1]
            yield Move("batches", lever.key, change, f"{words} {_batch_words(before)}")
        else:
            before = overhaul_words(now).removeprefix("overhauled ")
            after = overhaul_words(value).removeprefix("overhauled ")
            words = f"Overhaul {called_anywhere(works, lever.key)} {after} instead of {before}"
            yield Move("overhauls", lever.key, change, words)


def _batch_words(batches: dict[str, int]) -> str:
    return " and ".join(f"{count} {name}" for name, count in batches.items())


def _readings(works: Works) -> Iterator[Move]:
    """Every gauge half and twice as often."""
    for at in operations_of(works):
        for name, gauge in at.operation.gauges.items():
            for times in TIMES:
                every = round(times * gauge.every)
                if every >= 1 and every != gauge.every:
                    words = f"Read {_one_in(every)} with the {name} at {called(at.name, at.operation)} instead of"
                    yield Move("every", f"{at.name} / {name}", every, f"{words} {_one_in(gauge.every)}")


def _one_in(every: int) -> str:
    return "every part" if every == 1 else f"one part in {every}"


def _policies(works: Works) -> Iterator[Move]:
    """The other policies of the scenario."""
    for name, policy in works.policies.items():
        if name != works.todays_policy:
            bare = policy.model_copy(update={"aims": {}, "corrections": {}, "rezero": {}, "overhauls": {}})
            yield Move("policy", name, policy, f'Go over to the policy "{name}", {policy_words(bare)}')
