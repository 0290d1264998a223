"""Lessons for the terminal: what there is, what the trainee sees, what there is to decide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.theme.cautions import lesson_cautions
from linesim.report.theme.grid import WIDTH, Column, grid, plain
from linesim.training.lesson import Lesson, Mark
from linesim.works import Works

__all__ = ["choices_text", "lesson_list", "lesson_text", "mark_words", "pass_words", "view_text", "wrapped"]

Plain = dict[str, Any]


def wrapped(text: str, indent: str = "", first: str | None = None) -> str:
    """A text broken into lines of at most `WIDTH` columns."""
    lead = indent if first is None else first
    return textwrap.fill(plain(text), WIDTH, initial_indent=lead, subsequent_indent=indent)


_MONEY = ("earned", "quality loss", "quality loss per part", "cost per part")
"""Figures of a mark that are money."""


def lesson_list(lessons: Sequence[Lesson]) -> RenderableType:
    """All lessons, one row each."""
    columns = [Column("lesson", True, 34), Column("what it is about", True)]
    return grid("Lessons", columns, [[lesson.key, lesson.name] for lesson in lessons])


def mark_words(mark: Mark, works: Works) -> str:
    """A pass mark in words, with what an operation does where it is read at one."""
    name = mark.called(works)
    unit = f" {works.currency}" if mark.figure in _MONEY else ""
    if mark.share_of_best is not None:
        share = f"{100 * mark.share_of_best:.0f} %"
        return f"{name}: at least {share} of what the best found policy reaches on the same shift"
    if mark.at_least is not None:
        return f"{name}: at least {mark.at_least:g}{unit}"
    return f"{name}: at most {mark.at_most:g}{unit}"


def pass_words(lesson: Lesson) -> list[str]:
    """What passes: the lesson's own decision, the marks, and why they lie there."""
    passing = lesson.file.pass_mark
    decision = [] if passing.decision is None else [f"The lesson's own decision: {passing.decision.about}"]
    return [*decision, *(mark_words(mark, lesson.works) for mark in passing.marks), passing.why]


def lesson_text(lesson: Lesson) -> Group:
    """A lesson before it is begun: what is learnt, the situation, the task, the pass mark, the cautions."""
    file = lesson.file
    parts: list[str] = [_block("You will learn", file.learn), _block("Situation", [file.situation])]
    parts.append(_block("Task", [file.task]))
    parts.append(_block("Pass mark", pass_words(lesson)))
    if file.ways:
        ways = [f"as planned: {lesson.works.about}"] if lesson.works.about else ["as planned"]
        parts.append(
            _block("Ways to set the line up", [*ways, *(f"{name}: {way.about}" for name, way in file.ways.items())])
        )
    parts.append(_block("Cautions", lesson_cautions(file.cautions)))
    return Group(Text(plain(lesson.name), style="bold"), *(Padding(Text(part), (1, 0, 0, 0)) for part in parts))


def _block(head: str, texts: Iterable[str]) -> str:
    """A heading and what stands under it; several texts as a list."""
    listed = list(texts)
    if len(listed) == 1:
        return f"{head}\n{wrapped(listed[0], '  ')}"
    return "\n".join([head, *(wrapped(text, "    ", "  - ") for text in listed)])


# --- what is seen ----------------------------------------------------------------------------------------------------


def view_text(view: Plain) -> str:
    """What the trainee sees at this moment."""
    counts = view["counts"]
    head = (
        f"Minute {view['minute']:.0f}, {view['minutes_left']:.0f} to go: {counts['shipped']} shipped, "
        f"{counts['scrapped']} scrapped, {counts['in the line']} in the line."
    )
    lines = ["", head]
    for machine in view["machines"]:
        lines += _machine_lines(machine)
    lines += [_crib_line(view), *_ledger_line(view["ledger"])]
    if view["question"] is not None:
        where = f"{view['question']['machine']}: " if view["question"]["kind"] != "setter" else ""
        lines += [wrapped(f"{where}{words}", "   ", ">> ") for words in view["question"]["words"]]
    return "\n".join(line for line in lines if line is not None)


def _row(head: str, text: str) -> str:
    return wrapped(text, " " * 20, f"  {plain(head)[:17]:17s} ")


def _machine_lines(machine: Plain) -> list[str]:
    about = f" ({machine['about']})" if machine["about"] else ""
    since = f" for {machine['since_min']:.1f} min" if machine["since_min"] >= 0.05 else ""
    lines = [
        wrapped(f"{machine['machine']}{about}: {machine['state']}{since}, {machine['parts']} parts done.", "  ", "")
    ]
    lines += [_row(cutter["set"], _cutter_words(cutter)) for cutter in machine["cutters"]]
    lines += [
        _row(f"load {stroke['stroke']}", f"{stroke['load_percent']} % of fresh edges; sound {stroke['sound']}")
        for stroke in machine["strokes"]
    ]
    for finish in machine["finishes"]:
        clean = "" if finish["is_clean"] else "; not cleaned up all over"
        lines.append(_row("finish", f"{finish['feature']}: like the plate Ra {finish['plate_um']:g}{clean}"))
    lines += [_row(gauge["gauge"], _gauge_words(gauge)) for gauge in machine["gauges"]]
    moved = [entry for entry in machine["offsets"] if entry["deeper_um"]]
    if moved:
        sentence = ", ".join(f"{entry['cut']} {_signed(entry['deeper_um'])} µm deeper" for entry in moved)
        lines.append(_row("offset", sentence))
    if machine["chips_cleaned"] is not None:
        sentence = "brushed clean before each part" if machine["chips_cleaned"] else "not cleaned"
        lines.append(_row("locating faces", sentence))
    if machine["booked"]:
        lines.append(_row("ordered", ", ".join(order["do"] for order in machine["booked"]) + " before the next part"))
    return lines


def _cutter_words(cutter: Plain) -> str:
    sentence = f"{cutter['parts']} parts, {cutter['cut_min']:.0f} min of cutting"
    if cutter["look_mm"] is not None:
        sentence += f"; last look {cutter['look_mm']:.2f} mm, {cutter['look_parts_ago']} parts ago"
    sentence += f" (dull at {cutter['dull_at_mm']:.2f} mm, {cutter['way']})"
    if cutter["is_left_in"]:
        sentence += "; left in"
    return sentence if cutter["is_by_plan"] else f"{sentence}; by your rule"


def _gauge_words(gauge: Plain) -> str:
    """The last readings of a gauge, and how its dial is read."""
    if not gauge["readings"]:
        return f"one part in {gauge['every']}; nothing read yet"
    last = [_reading_words(reading) for reading in gauge["readings"][-5:]]
    sentence = f"one in {gauge['every']}; " + ", ".join(last)
    if gauge["dial_limits_um"] is not None:
        low, high = gauge["dial_limits_um"]
        sign = "−" if gauge["metal_left_um"] < 0 else "+"
        sentence += f" (limits {_signed(low)} to {_signed(high)} µm from the aim, metal left on reads {sign})"
    return sentence


def _reading_words(reading: Plain) -> str:
    parts = [f"part {reading['part']}:"]
    if reading["dial_um"] is not None:
        parts.append(f"{_signed(reading['dial_um'])} µm")
    if reading["ra_um"] is not None:
        parts.append(f"Ra {reading['ra_um']:.1f}")
    if reading["verdict"] != "passes":
        parts.append(f"({reading['verdict']})")
    return " ".join(parts)


def _signed(value: float) -> str:
    """A figure with its sign, none for nothing.

    >>> _signed(-3.2), _signed(4.0), _signed(-0.2)
    ('−3', '+4', '0')
    """
    rounded = round(value)
    return f"{'−' if rounded < 0 else '+' if rounded > 0 else ''}{abs(rounded)}"


def _crib_line(view: Plain) -> str:
    shelves = [f"{shelf['set']} {shelf['sharp']}" + (" (wanted!)" if shelf["wanted"] else "") for shelf in view["crib"]]
    setters = [f"{pool['people']} {pool['free']} of {pool['count']}" for pool in view["setters"]]
    return wrapped(
        f"Sharp in the crib: {', '.join(shelves) or 'nothing of yours'}. Free: {', '.join(setters) or 'nobody'}."
    )


def _ledger_line(ledger: Plain) -> list[str]:
    if not ledger["items"]:
        return ["The office has no ledger of this shift yet."]
    spent = [(item, money) for item, money in ledger["items"].items() if abs(money) >= 0.5]
    sentence = ", ".join(f"{item} {money:.0f}" for item, money in spent)
    upto = f"Ledger up to minute {ledger['upto_min']:.0f}, {ledger['currency']}"
    return [wrapped(f"{upto}: {sentence}. Quality loss is known at the end.", "  ", "")]


def choices_text(choices: Sequence[Plain]) -> str:
    """What can be decided, numbered from 1."""
    return "\n".join(wrapped(choice["words"], "      ", f"{number:4d}  ") for number, choice in enumerate(choices, 1))
