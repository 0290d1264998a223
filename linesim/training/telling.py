"""Decisions and their reasons in sentences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter

from linesim.rules import rule_words as words_of
from linesim.training.carrying import Carried
from linesim.training.lesson import AS_PLANNED, Lesson
from linesim.works.policies import Rule, RuleOrWords

if TYPE_CHECKING:
    from linesim.training.shift import Shift

__all__ = ["best_in_words", "decision_words", "order_words", "reason_words", "rule_words", "same_matter", "wish_words"]

_RULE: TypeAdapter[Rule] = TypeAdapter(RuleOrWords)


def rule_words(rule: Any) -> str:
    """An ordered rule in words: one of a scenario, or the words "the plan's".

    >>> rule_words({"parts": 60}), rule_words("run out"), rule_words({"life": 0.8}), rule_words("the plan's")
    ('after 60 parts', 'only when broken or a part fails', 'at 0.8 of its life', 'as the plan says')
    """
    return "as the plan says" if rule == "the plan's" else words_of(_RULE.validate_python(rule), of_one=True)


def order_words(entries: Mapping[str, Any]) -> str:
    """An order in words, as its giver would say it.

    >>> order_words({"do": "leave", "machine": "Op 20", "set": "finish mill", "parts": 5})
    'Op 20: left the finish mill in for 5 more parts'
    """
    get = entries.get
    at = f"{get('machine')}: " if get("machine") else ""
    cutter = "all sets" if get("set", "all") == "all" else f"the {get('set')}"
    match get("do"):
        case "change":
            given_up = " and gave the dull one up" if get("dull") == "given up" else ""
            return f"{at}changed {cutter}{given_up}"
        case "leave":
            return f"{at}left {cutter} in for {get('parts')} more parts"
        case "rule":
            return f"{at}had {cutter} changed {rule_words(get('rule'))}"
        case "look":
            return f"{at}looked at the edge of {cutter}"
        case "offset":
            deeper = float(get("deeper", 0.0))
            return f"{at}set the cut {get('cut')} {abs(deeper):g} µm {'deeper' if deeper >= 0 else 'less deep'}"
        case "chips":
            done = "had the locating faces brushed clean" if get("clean") else "left chips on the locating faces"
            return at + done
        case "gauge" | "gauge every" | "correct":
            return _gauge_order(entries)
        case "first":
            served = ", then ".join(get("machines") or ()) or "whoever had waited longest"
            return f"sent the {get('people')} first to {served}"
        case "send":
            return f"{at}sent the setter here first"
    return "passed a doubtful part" if get("say") == "pass" else "turned a doubtful part down"


_WISHES = {
    "changed": "change", "left": "leave", "had": "have", "looked": "look", "set": "set", "gauged": "gauge",
    "sent": "send", "passed": "pass", "turned": "turn",
}  # fmt: skip


def wish_words(entries: Mapping[str, Any]) -> str:
    """An order in words, as advice.

    >>> wish_words({"do": "leave", "machine": "Op 20", "set": "finish mill", "parts": 5})
    'Op 20: leave the finish mill in for 5 more parts'
    """
    spot, colon, sentence = order_words(entries).rpartition(": ")
    verb, _, rest = sentence.partition(" ")
    return f"{spot}{colon}{_WISHES.get(verb, verb)} {rest}"


def _gauge_order(entries: Mapping[str, Any]) -> str:
    """An order for a gauge in words."""
    get, gauge = entries.get, entries.get("gauge")
    if get("do") == "gauge":
        return f"gauged one part with the {gauge} out of turn"
    if get("do") == "gauge every":
        often = "every part" if get("parts") == 1 else f"one part in {get('parts')}"
        return f"had {often} gauged with the {gauge}"
    if not get("share"):
        return f"left the offset alone whatever the {gauge} read"
    band = f", errors up to {get('dead_band'):g} µm left alone" if get("dead_band") else ""
    return f"had {100 * float(get('share', 0.0)):.0f} % of each error of the {gauge} corrected{band}"


def decision_words(shift: Shift, number: int, entries: Mapping[str, Any]) -> str:
    """A decision in words, with the true wear of the edge where it changed one or left one in."""
    words = order_words(entries)
    worn = shift.stand.hand.true_wear.get(number, ())
    if entries.get("do") not in ("change", "leave") or not worn:
        return words
    shares = ", ".join(f"{life_share:.2f}" for _, life_share in worn)
    return f"{words} when the edge truly stood at {shares} of its life"


def same_matter(order: Any, other: Any) -> bool:
    """Whether two orders are about the same thing, so that the later goes over the earlier."""
    if order.do != other.do:
        return order.do in ("change", "leave") and other.do == "rule" and order.set in (other.set, "all")
    names = ("gauge", "people", "cut")
    if any(getattr(order, name, None) != getattr(other, name, None) for name in names):
        return False
    return getattr(order, "set", "all") == getattr(other, "set", "all") or "all" in (order.set, other.set)


def best_in_words(lesson: Lesson) -> str:
    """What the best found policy does."""
    best = lesson.file.best
    return best.about if best.way == AS_PLANNED else f'{best.about} (The line set up: "{best.way}".)'


def reason_words(currency: str, own: Carried, without: Carried) -> str:
    """Where the money of a decision went: output first, then the items of the ledger that moved most."""
    parts = own.figures["good parts"] - without.figures["good parts"]
    moved = {item: own.items[item] - without.items[item] for item in own.items}
    moved["castings and stock"] = moved.pop("castings") + moved.pop("stock in process")
    worth = own.figures["earned"] - without.figures["earned"] + sum(moved.values())
    shown = [(abs(worth), f"{_signed(parts, 'good part')} ({_money(worth, currency)} of worth)")] if parts else []
    shown += [
        (abs(change), f"{item} {_money(change, currency)}") for item, change in moved.items() if abs(change) >= 0.5
    ]
    moves = [words for _, words in sorted(shown, key=lambda pair: -pair[0])[:3]]
    return "; ".join(moves) + "." if moves else "nothing came of it, or the plan did the same."


def _signed(count: float, noun: str) -> str:
    number = abs(int(count))
    return f"{number} {noun}{'s' if number != 1 else ''} {'more' if count > 0 else 'fewer'}"


def _money(change: float, currency: str) -> str:
    return f"{'+' if change >= 0 else '−'}{abs(change):.0f} {currency}"
