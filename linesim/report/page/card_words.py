"""What a tool-change card says in words, in its reader's units."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.cards import CardSet, FirstPart, GaugeLine, ToolCard
from linesim.report.theme.shown import System, number, with_unit
from linesim.words import Choice, retell, say

__all__ = [
    "aim_words", "change_words", "first_part_words", "gauge_words", "hand_words", "look_words", "renewal_words",
    "stroke_words", "together_words",
]  # fmt: skip

_WHOLE_UM = 10.0
"""From here on nobody sets an edge to tenths."""


def change_words(each: CardSet) -> str:
    """When a set is changed, as an order: a count that can be read off a counter, else the rule in words."""
    if each.count is None:
        return say("cards.change_by_rule", when=each.when)
    key = "cards.change_about" if each.is_about else "cards.change_at"
    return say(key, count=each.count, shown=number(each.count, 0))


def look_words(each: CardSet, system: System) -> str:
    """How often an edge is looked at and past which wear land it goes."""
    limit = with_unit(each.wear_limit_mm, "mm", system, _places(system))
    if each.look_every is None:
        return say("cards.never_past", limit=limit)
    past = with_unit(each.look_past_mm, "mm", system, _places(system))
    key = "cards.look" if each.look_first == each.look_every else "cards.look_first"
    return say(key, count=each.look_every, first=each.look_first, past=past, limit=limit)


def _places(system: System) -> int:
    """Decimals of a wear land."""
    return 4 if system == "inch" else 2


def renewal_words(each: CardSet, system: System) -> str:
    """What is done in a change, and how long it takes."""
    minutes, renewal = number(each.change_min, 1), retell(each.renewal)
    dressed = "" if math.isnan(each.dressing_um) else with_unit(each.dressing_um, "µm", system, 0)
    if each.in_magazine > 1:
        done = say("cards.renewal_dressed_only", renewal=renewal, dressed=dressed) if dressed else renewal
        return say("cards.sisters", count=each.in_magazine - 1, renewal=done, minutes=minutes)
    key = "cards.renewal_dressed" if dressed else "cards.renewal"
    return say(key, renewal=f"{renewal[:1].upper()}{renewal[1:]}", dressed=dressed, minutes=minutes)


def stroke_words(each: CardSet, system: System) -> str:
    """How the diamond is fed when the wheel is dressed; empty where the scenario does not say."""
    if each.stroke is None:
        return ""
    inch = system == "inch"
    return say(
        "cards.stroke",
        depth=with_unit(each.stroke.depth_um, "µm", system, 0),
        lead=with_unit(each.stroke.lead_mm, "mm", system, 4 if inch else 3),
        rate=with_unit(each.stroke.rate_mm_min, "mm/min", system, 1 if inch else 0),
        rpm=number(each.stroke.wheel_rpm, 0),
    )


def aim_words(each: CardSet, system: System) -> str:
    """How a fresh edge is set; empty where it is set to the surface intended."""
    aims = [_aim(cut, aim_um, system) for cut, aim_um in each.aims]
    again = [say("cards.rezero", count=each.rezero)] if each.rezero else []
    return say("format.semicolon").join([*([say("cards.aim", aims=aims)] if aims else []), *again])


def _aim(cut: str, aim_um: float, system: System) -> str:
    """By how much an edge is set deeper or shallower."""
    size_um = abs(aim_um)
    amount = with_unit(size_um, "µm", system, 0 if size_um >= _WHOLE_UM else 1)
    return say("cards.aim_deeper" if aim_um > 0.0 else "cards.aim_shallower", cut=cut, amount=amount)


def hand_words(card: ToolCard, each: CardSet) -> tuple[str, str]:
    """Sharp sets for one shift, and what they are for."""
    many = len(card.machines)
    key = "cards.changes" if many == 1 else "cards.changes_on"
    shown = number(each.changes, 1)
    return str(each.at_hand), say(key, count=round(each.changes, 1), shown=shown, machines=many)


def together_words(card: ToolCard) -> str:
    """Which sets are changed in one stop; empty if each in its own."""
    if card.group_past is None:
        return ""
    return say("cards.together", share=card.group_past)


def gauge_words(gauge: GaugeLine, system: System) -> str:
    """One gauge in one sentence."""
    often = say("gauges.every_part") if gauge.every == 1 else say("gauges.one_in", every=gauge.every)
    if gauge.where in _WHERE:
        often = say(_WHERE[gauge.where], often=often)
    asked = say("format.semicolon").join(_asked(gauge, system))
    then = " ".join(_then(gauge, system))
    return say("gauges.gauge", feature=gauge.feature, often=often, asked=asked, then=then)


_WHERE = {"measuring room": "gauges.in_room", "spindle": "gauges.in_spindle"}


def _asked(gauge: GaugeLine, system: System) -> Iterator[str]:
    """What must be met at the gauge."""
    if gauge.limits_mm is not None:
        places = 4 if system == "inch" else 3
        low, high = (with_unit(limit, "mm", system, places) for limit in gauge.limits_mm)
        yield say("gauges.between", low=low, high=high)
    for name, most_um in gauge.most_um:
        yield say("gauges.up_to", what=say(f"gauges.{name}"), most=with_unit(most_um, "µm", system, 1))
    if gauge.limits_mm is None and not gauge.most_um:
        yield say("gauges.no_limit")


def _then(gauge: GaugeLine, system: System) -> Iterator[str]:
    """What follows from a reading."""
    offset = gauge.offset
    if offset is not None:
        key = "gauges.offset_band" if offset.dead_band_um else "gauges.offset"
        band = with_unit(offset.dead_band_um, "µm", system, 1)
        yield say(key if offset.share else "gauges.leave", cut=offset.cut, share=offset.share, band=band)
    reject = say(f"gauges.{gauge.reject}")
    yield say("gauges.outside_again" if gauge.tries else "gauges.outside", count=gauge.tries, reject=reject)


def first_part_words(first: FirstPart | None, system: System) -> str:
    """What is done with the first part after a change; empty if nothing."""
    if first is None:
        return ""
    after = say("gauges.after_of", sets=Choice(first.after)) if first.after else say("gauges.after_any")
    key = f"gauges.first{'_by' if first.by else ''}_{'stands' if first.stands else 'runs'}"
    return say(key, after=after, who=first.by, band=with_unit(first.accept_um, "µm", system, 1), tries=first.tries)
