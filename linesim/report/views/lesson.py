"""A lesson on the desk: what it is about, what a person at the machine sees, and what there is to decide."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import pandas as pd

from linesim.report.terminal.lesson import pass_words
from linesim.report.theme.cautions import lesson_cautions, lesson_cautions_of
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Sheet
from linesim.report.theme.shown import System, converted, number, unit_shown, with_unit
from linesim.store.progress import OpenShift
from linesim.training.choices import filled
from linesim.training.lesson import Lesson
from linesim.training.telling import order_words

__all__ = [
    "ANSWERS", "RUNNING", "asked_at", "brief", "cautions", "cautions_of", "cutter_sheet", "decided_words",
    "field_shown", "grouped",
    "ledger_sheet", "left_words", "machine_words", "moment_words", "order_made", "others_sheet",
    "sense_sheet", "strip", "task",
]  # fmt: skip

Plain = dict[str, Any]

ANSWERS = "The question"
RUNNING = "Let the line run"
_SET_UP = "How the line is set up"
_PEOPLE = "Whom the setter serves"

_ANSWERING = ("verdict", "send")


def brief(lesson: Lesson) -> list[tuple[str, list[str]]]:
    """What stands before a lesson: heads, each with what stands under it; more than one entry is a list."""
    file = lesson.file
    sections = [
        ("You will learn", list(file.learn)),
        ("The situation", [file.situation]),
        ("Your task", [file.task]),
        ("What passes, and why", pass_words(lesson)),
    ]
    if file.ways:
        planned = f"as planned: {lesson.works.about}" if lesson.works.about else "as planned"
        sections.append(
            ("Ways to set the line up", [planned, *(f"{name}: {way.about}" for name, way in file.ways.items())])
        )
    return sections


def cautions(lesson: Lesson) -> list[str]:
    """What must be said wherever this lesson is played."""
    return lesson_cautions(lesson.file.cautions)


def task(lesson: Lesson) -> list[str]:
    """What is to be done, and what passes."""
    return [lesson.file.task, *pass_words(lesson)]


def cautions_of(lesson: Lesson, doing: str) -> list[str]:
    """Those of the lesson's cautions that bear on one kind of order, as `linesim.training.orders` names it.

    The rest stand with the lesson; none of them is left out of it.
    """
    return lesson_cautions_of(lesson.file.cautions, doing)


def left_words(shift: OpenShift, title: str) -> str:
    """A shift that was put down, as it stands in a list to choose from."""
    whose = f"{shift.nickname}: " if shift.nickname else ""
    steps = len(shift.kept.get("history", []))
    return f"Go on with {whose}{title}, shift {shift.kept.get('number')}, after {steps} steps ({shift.day})"


# --- what is seen ----------------------------------------------------------------------------------------------------


def moment_words(view: Plain) -> str:
    """What the line waits for at this moment, in a sentence."""
    minute = f"Minute {view['minute']:.0f}"
    question = view["question"]
    if question is None:
        state = "The shift has not begun" if view["minute"] == 0 else f"{minute}: nothing waits for your answer"
        return f"{state}. Order what you see fit, or let the line run."
    where = f"{question['machine']}: " if question["kind"] != "setter" else ""
    words = " ".join(text if text.endswith("?") else f"{text.rstrip('.')}." for text in question["words"])
    return f"{minute}. {where}{words} If you order nothing and let the line run, it goes by the plan."


def asked_at(view: Plain) -> str:
    """Machine at which something is to be decided now; empty if there is none."""
    return str(view["question"]["machine"]) if view["question"] is not None else ""


def strip(view: Plain) -> list[tuple[str, str, str]]:
    """Figures in a row: time, parts, people."""
    counts, upto = view["counts"], view["ledger"]["upto_min"]
    spent = sum(view["ledger"]["items"].values())
    money = number(spent, 0) if view["ledger"]["items"] else "–"
    return [
        ("minute", number(view["minute"], 0), f"{number(view['minutes_left'], 0)} to go"),
        ("shipped", str(counts["shipped"]), "parts"),
        ("scrapped", str(counts["scrapped"]), "parts"),
        ("in the line", str(counts["in the line"]), "parts"),
        ("spent", money, f"{view['ledger']['currency']}, up to minute {number(upto, 0)}"),
    ]


def machine_words(machine: Plain) -> str:
    """What a machine does, and how it is set up."""
    since = f" for {machine['since_min']:.1f} min" if machine["since_min"] >= 0.05 else ""
    words = f"{machine['state']}{since}, {machine['parts']} parts done."
    if machine["chips_cleaned"] is not None:
        cleaned = "brushed clean before each part" if machine["chips_cleaned"] else "not cleaned"
        words += f" Locating faces {cleaned}."
    if machine["booked"]:
        words += f" Before the next part: {', '.join(dict.fromkeys(order['do'] for order in machine['booked']))}."
    return words[0].upper() + words[1:]


def cutter_sheet(machine: Plain, system: System = "metric") -> Sheet:
    """The mounted sets as they are known at the machine; the life share is not."""
    unit = unit_shown("mm", system)
    rows: list[list[Cell]] = []
    for cutter in machine["cutters"]:
        looked = "not yet"
        if cutter["look_mm"] is not None:
            ago = cutter["look_parts_ago"]
            seen = number(converted(cutter["look_mm"], "mm", system), _places(system))
            looked = seen if ago == 0 else f"{seen} ({ago} ago)"
        limit = number(converted(cutter["dull_at_mm"], "mm", system), _places(system))
        ruled = "left in, as you said" if cutter["is_left_in"] else "the plan" if cutter["is_by_plan"] else "your rule"
        cells = numbers(str(cutter["parts"]), number(cutter["cut_min"], 0), looked, limit)
        rows.append([f"{cutter['set']}, {cutter['way']}", *cells, ruled])
    heads: list[Cell] = ["cutter set", *numbers("parts", "min cut", "looked at", "dull at"), "changed by"]
    columns = ["set", "parts", "cut_min", "look_mm", "look_parts_ago", "dull_at_mm", "way", "is_by_plan"]
    caption = f"{machine['machine']}: cutters; wear lands ({unit}), the last look with the parts since"
    return Sheet(caption, heads, rows, pd.DataFrame(machine["cutters"], columns=columns))


def sense_sheet(machine: Plain, system: System = "metric") -> Sheet:
    """What is heard, felt and read off at a machine: spindle load, sound, finish, offsets."""
    rows: list[list[Cell]] = []
    for stroke in machine["strokes"]:
        load = f"{stroke['load_percent']} % of fresh edges"
        rows.append([f"spindle load, {stroke['stroke']}", (load, "n"), f"sound {stroke['sound']}"])
    for finish in machine["finishes"]:
        plate = with_unit(finish["plate_um"], "µm", system, 1 if system == "metric" else 0)
        clean = "cleaned up" if finish["is_clean"] else "not cleaned up all over"
        rows.append([f"finish, {finish['feature']}", (f"like the plate Ra {plate}", "n"), clean])
    for entry in machine["offsets"]:
        if entry["deeper_um"]:
            deeper = with_unit(abs(entry["deeper_um"]), "µm", system, 0)
            way = "deeper" if entry["deeper_um"] > 0 else "less deep"
            rows.append([f"offset, {entry['cut']}", (deeper, "n"), f"{way}, per side"])
    frame = pd.DataFrame([[_text(cell) for cell in row] for row in rows], columns=["what", "figure", "words"])
    caption = f"{machine['machine']}: what you see and hear at the last part"
    return Sheet(caption, ["what", ("figure", "n"), "in words"], rows, frame)


def others_sheet(view: Plain) -> Sheet:
    """The crib's shelves and the people who are called on."""
    rows: list[list[Cell]] = []
    for shelf in view["crib"]:
        more = f"{shelf['wanted']} wanted" if shelf["wanted"] else f"{shelf['at_the_grinder']} at the grinder"
        rows.append([f"{shelf['set']}, sharp", (str(shelf["sharp"]), "n"), more])
    for pool in view["setters"]:
        more = f"of {pool['count']}; {pool['waiting']} waiting for them"
        rows.append([f"{pool['people']}, free", (str(pool["free"]), "n"), more])
    frame = pd.DataFrame([[_text(cell) for cell in row] for row in rows], columns=["what", "count", "words"])
    return Sheet("In the crib, and who is free", ["what", ("now", "n"), "and"], rows, frame)


def ledger_sheet(view: Plain) -> Sheet:
    """The ledger as the office has it: an hour late, and without quality loss."""
    ledger = view["ledger"]
    spent = [(item, money) for item, money in ledger["items"].items() if abs(money) >= 0.005]
    rows: list[list[Cell]] = [[item, (number(money, 2), "n")] for item, money in spent]
    total: list[Cell] = ["all together", (number(sum(money for _, money in spent), 2), "n")]
    caption = (
        f"Ledger up to minute {number(ledger['upto_min'], 0)}, {ledger['currency']}; quality loss comes at the end"
    )
    frame = pd.DataFrame(spent, columns=["item", "money"])
    return Sheet(caption, ["item", (ledger["currency"], "n")], rows, frame, total if rows else ())


# --- what there is to decide -----------------------------------------------------------------------------------------


def grouped(choices: Sequence[Plain]) -> dict[str, dict[str, Plain]]:
    """Choices by where they belong, each under its words.

    Returns
    -------
    dict of str to dict of str to dict
        First the answers to a question if one is asked, then machines, people, and the ways to let the line run.
    """
    groups: dict[str, dict[str, Plain]] = {}
    for choice in choices:
        group, words = _place(choice)
        groups.setdefault(group, {})[words] = choice
    last = [name for name in (_PEOPLE, RUNNING) if name in groups]
    first = [name for name in (ANSWERS, _SET_UP) if name in groups]
    middle = [name for name in groups if name not in (*first, *last)]
    return {name: groups[name] for name in (*first, *middle, *last)}


def _place(choice: Plain) -> tuple[str, str]:
    """Where a choice belongs, and its words there."""
    order, words = choice["order"], choice["words"]
    if order["do"] in _ANSWERING:
        return ANSWERS, words
    if order["do"] == "run":
        return RUNNING, words
    if order["do"] == "set up":
        return _SET_UP, words
    if order["do"] == "first":
        return _PEOPLE, words
    machine, colon, rest = words.partition(": ")
    return (machine, rest[0].upper() + rest[1:]) if colon else (words, words)


def field_shown(field: Plain, system: System = "metric") -> Plain:
    """A field of a choice with its figures in the chosen system: label, low, high, usual, is_whole."""
    unit = field["unit"].split(" ")[0]
    rest = field["unit"].removeprefix(unit)
    shown = unit_shown(unit, system) + rest
    is_whole = field["name"] == "parts"
    figures = {name: converted(float(field[name]), unit, system) for name in ("low", "high", "usual")}
    if is_whole:
        figures = {name: int(value) for name, value in figures.items()}
    label = f"{field['words']}, {shown}" if shown else field["words"]
    return {"label": label[0].upper() + label[1:], "is_whole": is_whole, **figures}


def order_made(choice: Plain, shown: Mapping[str, float], system: System = "metric") -> Plain:
    """The order that a choice makes with its fields filled in as they were shown.

    Parameters
    ----------
    choice : dict
        One of `linesim.training.Shift.choices`.
    shown : mapping of str to float
        Fields by name, in the units in which they were shown.
    system : {"metric", "inch"}
        Those units.
    """
    values = {}
    for field in choice["fields"]:
        factor = converted(1.0, field["unit"].split(" ")[0], system)
        value = float(shown[field["name"]])
        values[field["name"]] = value if factor == 1.0 else round(value / factor, 6)
    return filled(choice, values)


def decided_words(history: Iterable[Mapping[str, Any]]) -> list[str]:
    """What was decided, the last first; the running of the line left out."""
    decisions = []
    for entry in history:
        if entry["do"] == "set up":
            decisions.append(f'set the line up "{entry["way"]}"')
        elif entry["do"] != "run":
            decisions.append(order_words(entry))
    return decisions[::-1]


def _places(system: System) -> int:
    return 2 if system == "metric" else 4


def _text(cell: Cell) -> str:
    return cell if isinstance(cell, str) else cell[0]
