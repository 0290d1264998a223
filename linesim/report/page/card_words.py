"""What a tool-change card says in words, in its reader's units."""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim.cards import CardSet, FirstPart, GaugeLine, ToolCard
from linesim.report.theme.shown import System, number, with_unit

__all__ = [
    "aim_words", "change_words", "first_part_words", "gauge_words", "hand_words", "look_words", "renewal_words",
    "together_words",
]  # fmt: skip

_REJECTED = {"scrap": "scrap it", "salvage": "to the salvage bench", "pass": "note it and let it pass"}
_WHOLE_UM = 10.0
"""From here on nobody sets an edge to tenths."""


def change_words(each: CardSet) -> str:
    """When a set is changed, as an order: a count that can be read off a counter, else the rule in words."""
    if each.count is None:
        return f"Change {each.when}"
    about = "about " if each.is_about else ""
    return f"Change at {about}{number(each.count, 0)} {'part' if each.count == 1 else 'parts'}"


def look_words(each: CardSet, system: System) -> str:
    """How often an edge is looked at and past which wear land it goes."""
    limit = with_unit(each.wear_limit_mm, "mm", system, _places(system))
    if each.look_every is None:
        return f"Never past a wear land of {limit}."
    past = with_unit(each.look_past_mm, "mm", system, _places(system))
    first = "" if each.look_first == each.look_every else f", first after {each.look_first}"
    return f"Look every {each.look_every} parts{first}; change if the wear land reads {past} or more. Dull at {limit}."


def _places(system: System) -> int:
    """Decimals of a wear land."""
    return 4 if system == "inch" else 2


def renewal_words(each: CardSet, system: System) -> str:
    """What is done in a change, and how long it takes."""
    dressed = (
        ""
        if math.isnan(each.dressing_um)
        else f"; take {with_unit(each.dressing_um, 'µm', system, 0)} of radius beyond what has worn"
    )
    if each.in_magazine > 1:
        return (
            f"Its {each.in_magazine - 1} sisters in the magazine take over first. Then {each.renewal}{dressed}, each "
            f"of them; {number(each.change_min, 1)} min for one in the mean"
        )
    return f"{each.renewal[0].upper()}{each.renewal[1:]}{dressed}; {number(each.change_min, 1)} min"


def aim_words(each: CardSet, system: System) -> str:
    """How a fresh edge is set; empty where it is set to the surface intended."""
    aims = [f"{cut}: {_aim(aim, system)} than the surface intended" for cut, aim in each.aims]
    again = [f"set anew by a reading after {each.rezero} parts"] if each.rezero else []
    return "; ".join([*(["Set the fresh edge " + ", ".join(aims)] if aims else []), *again])


def _aim(aim_um: float, system: System) -> str:
    """By how much an edge is set deeper or shallower."""
    size_um = abs(aim_um)
    amount = with_unit(size_um, "µm", system, 0 if size_um >= _WHOLE_UM else 1)
    return f"{amount} per side {'deeper' if aim_um > 0.0 else 'shallower'}"


def hand_words(card: ToolCard, each: CardSet) -> tuple[str, str]:
    """Sharp sets for one shift, and what they are for."""
    many = len(card.machines)
    on = "" if many == 1 else f", {many} machines"
    changes = number(each.changes, 1)
    return str(each.at_hand), f"for about {changes} {'change' if changes == '1.0' else 'changes'} a shift{on}"


def together_words(card: ToolCard) -> str:
    """Which sets are changed in one stop; empty if each in its own."""
    if card.group_past is None:
        return ""
    return (
        f"When the machine stands for one set, change every other set as well that has done {card.group_past:.0%} or "
        "more of its own count."
    )


def gauge_words(gauge: GaugeLine, system: System) -> str:
    """One gauge in one sentence."""
    often = (
        "every part"
        if gauge.every == 1
        else f"every {gauge.every}th part"
        if gauge.every > 3
        else (f"one part in {gauge.every}")
    )
    room = {"measuring room": ", in the measuring room", "spindle": ", from the spindle"}.get(gauge.where, "")
    asked = "; ".join(_asked(gauge, system))
    return f"{gauge.feature}, {often}{room}: {asked}. {' '.join(_then(gauge, system))}"


def _asked(gauge: GaugeLine, system: System) -> Iterator[str]:
    """What must be met at the gauge."""
    if gauge.limits_mm is not None:
        places = 4 if system == "inch" else 3
        low, high = (with_unit(limit, "mm", system, places) for limit in gauge.limits_mm)
        yield f"between {low} and {high}"
    for name, most_um in gauge.most_um:
        yield f"{name} up to {with_unit(most_um, 'µm', system, 1)}"
    if gauge.limits_mm is None and not gauge.most_um:
        yield "the drawing sets no limit"


def _then(gauge: GaugeLine, system: System) -> Iterator[str]:
    """What follows from a reading."""
    if gauge.offset is not None:
        if gauge.offset.share == 0.0:
            yield f'Leave the offset of "{gauge.offset.cut}" alone.'
        else:
            band = with_unit(gauge.offset.dead_band_um, "µm", system, 1)
            alone = f"; leave errors up to {band} per side alone" if gauge.offset.dead_band_um else ""
            yield f'Put {gauge.offset.share:.0%} of the error on the offset of "{gauge.offset.cut}"{alone}.'
    times = {0: "", 1: "cut it once more if metal is left, else "}
    again = times.get(gauge.tries, f"cut it again up to {gauge.tries} times if metal is left, else ")
    yield f"Outside: {again}{_REJECTED[gauge.reject]}."


def first_part_words(first: FirstPart | None, system: System) -> str:
    """What is done with the first part after a change; empty if nothing."""
    if first is None:
        return ""
    after = f"a change of {' or '.join(first.after)}" if first.after else "any change of cutters"
    meanwhile = "the machine stands until the reading is there" if first.stands else "the machine runs on meanwhile"
    return (
        f"After {after} the first part is gauged{f' by {first.by}' if first.by else ''}; {meanwhile}. Errors up to "
        f"{with_unit(first.accept_um, 'µm', system, 1)} per side leave the offset alone; else put the whole of it on "
        f"the offset and gauge the next part as well, {first.tries} at most."
    )
