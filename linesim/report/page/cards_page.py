"""Tool-change cards as one HTML page, a sheet of paper for each operation."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from linesim.cards import CardSet, CardsOf, CounterStop, ToolCard
from linesim.report.page.card_size import Text, lettering_pt, runs_on
from linesim.report.page.card_words import (
    aim_words,
    change_words,
    first_part_words,
    gauge_words,
    hand_words,
    look_words,
    renewal_words,
    stroke_words,
    together_words,
)
from linesim.report.page.made import day_words, made_words
from linesim.report.theme.cautions import caution_words
from linesim.report.theme.paper import room_mm
from linesim.report.theme.render import render_sheets
from linesim.report.theme.shown import System, number, with_unit
from linesim.store.card_state import CardState
from linesim.words import listed_words, retell, say

__all__ = ["Printed", "Signatures", "cards_page"]

_SCALE = 20.0
"""The wear land is drawn so many times as large as it is."""
_MOST_LAND_MM = 2.5
_MOST_NAMED = 4


@dataclass(frozen=True)
class Signatures:
    """Who stands for a card, and how long; what is empty leaves a line to be written on.

    Attributes
    ----------
    revision : str
        Of the cards, as the works counts them.
    proposed_by, approved_by : str
        Names.
    valid_from, review : datetime.date or None
        From when it holds, and when it is looked at again.
    """

    revision: str = ""
    proposed_by: str = ""
    approved_by: str = ""
    valid_from: date | None = None
    review: date | None = None

    @property
    def entries(self) -> list[tuple[str, str]]:
        """For the foot of a card."""
        texts = [("revision", self.revision), ("proposed_by", self.proposed_by), ("approved_by", self.approved_by)]
        texts += [(key, day_words(day) if day else "") for key, day in
                  (("valid_from", self.valid_from), ("review", self.review))]  # fmt: skip
        return [(say(f"cards.{key}"), text) for key, text in texts]


class _Row(NamedTuple):
    """One set as the template writes it."""

    name: str
    cuts: str
    change: str
    rule: str
    before: str
    look: str
    steps: list[str]
    sets: str
    hand: str


class _Land(NamedTuple):
    """The drawing of one wear land, in mm of paper."""

    name: str
    height: float
    limit: str


class _Stands(NamedTuple):
    """What a card says of its approval: in a frame, if it may not hang at the machine; and the names at its foot."""

    words: str
    is_void: bool
    entries: list[tuple[str, str]]


class _Sheet(NamedTuple):
    """One card as the template writes it."""

    card: ToolCard
    whose: str
    rows: list[_Row]
    stops: list[str]
    per_shift: str
    together: str
    gauges: list[tuple[str, str]]
    first: str
    lands: list[_Land]
    cautions: list[str]
    size: str
    stands: _Stands
    runs_on: bool


class _Texts(NamedTuple):
    """All texts of a card, by which its lettering is chosen."""

    card: ToolCard
    rows: list[_Row]
    stops: list[str]
    together: str
    gauges: list[tuple[str, str]]
    first: str
    cautions: list[str]

    def blocks(self) -> list[list[list[Text]]]:
        """From top to bottom, as the template and its style sheet lay them out."""
        card = self.card
        head = [Text(card.operation, 0.55, 2.4), Text(retell(card.about), 0.55)]
        number_of = say("cards.card", number=card.number)
        whose = [Text(number_of, 0.45, 1.05), Text(", ".join(card.machines), 0.45, 1.05)]
        blocks = [[head, whose], [[Text(_whose(card))]], [[Text("Heads", 1.0, 0.9)]]]
        blocks += [self._row(row) for row in self.rows]
        stops = [Text(stop, 0.48, 1.05) for stop in self.stops]
        blocks += [[[Text(self.together, 1.0, 1.05)]], [stops[::2]], [[Text(say("cards.broken"), 1.0, 1.05)]]]
        gauging = [Text(f"{name}: {text}", 0.72) for name, text in self.gauges] + [Text(self.first, 0.72)]
        headings = [Text("Heading") for _ in range(3)]
        blocks += [[headings + gauging + [Text(text, 0.72, 0.74) for text in self.cautions]]]
        return blocks

    @staticmethod
    def _row(row: _Row) -> list[list[Text]]:
        """The cells of one set."""
        when = [Text(row.change, 0.23, 1.4), Text(row.rule, 0.23, 0.84), Text(row.before, 0.22, 0.84)]
        steps = [Text(". ".join(row.steps), 0.38), Text(row.look, 0.38, 0.84)]
        name = [Text(row.name, 0.2, 1.15), Text(row.cuts, 0.2, 0.84)]
        return [name, when, steps, [Text(row.sets, 0.17, 1.4), Text(row.hand, 0.17, 0.84)]]


def _between_mm(rows: list[_Row], lands: list[_Land]) -> float:
    """Room that no lettering takes: rules, margins, and what the drawings may be higher than the cautions."""
    return 18.0 + 3.4 * len(rows) + max(0.0, sum(land.height + 24.0 for land in lands) - 70.0)


class Printed(NamedTuple):
    """How cards are printed.

    Attributes
    ----------
    digest : str
        Of the scenario that they were made from.
    today : datetime.date
        When they are made.
    paper : {"A4", "Letter"}
        On which they are printed, a sheet each.
    system : {"metric", "inch"}
        Units.
    """

    digest: str
    today: date
    paper: str = "A4"
    system: System = "metric"


def cards_page(
    cards: CardsOf, signatures: Signatures, printing: Printed, states: Mapping[str, CardState] | None = None
) -> str:
    """The cards as one self-contained HTML page.

    Parameters
    ----------
    cards : CardsOf
        What stands on them.
    signatures : Signatures
        Who stands for them.
    printing : Printed
        How they are printed.
    states : mapping of str to CardState, optional
        How each stands to what has been approved, by "line / operation"; such a card carries its approval's names.

    Returns
    -------
    str
        HTML without scripts; every name of the scenario is escaped. Black on white: no colour says anything.
    """
    inner = room_mm(printing.paper)
    known = states or {}
    return render_sheets(
        "cards.html",
        printing.paper,
        inner,
        "cards.css",
        title=say("cards.title", works=cards.works),
        sheets=[
            _sheet(card, printing.system, inner, _stands(known.get(card.hangs_at), signatures)) for card in cards.cards
        ],
        made=made_words(printing.digest, printing.today),
        scale=f"{_SCALE:.0f}",
    )


def _whose(card: ToolCard) -> str:
    """For which line, under which policy, and in place of which."""
    key = "cards.whose_before" if card.previous else "cards.whose"
    return say(key, works=card.works, line=card.line, policy=card.policy, previous=card.previous)


def _stands(state: CardState | None, signatures: Signatures) -> _Stands:
    if state is None:
        return _Stands("", False, signatures.entries)
    approval = state.approval
    if approval is None:
        return _Stands(retell(state.words), True, signatures.entries)
    revision = f"{approval.revision}"
    if approval.replaces is not None:
        revision = say("cards.replaces", revision=revision, replaced=approval.replaces)
    own = Signatures(revision, approval.proposed_by, approval.approved_by, approval.valid_from, approval.review)
    return _Stands(retell(state.words), not state.is_in_force, own.entries)


def _sheet(card: ToolCard, system: System, paper_mm: tuple[float, float], stands: _Stands) -> _Sheet:
    rows = [_row(card, each, system) for each in card.sets]
    gauges = [(gauge.name, gauge_words(gauge, system)) for gauge in card.gauges]
    cautions = [caution_words(key) for key in (*card.cautions, "first_of_all")]
    stops = [_stop(stop) for stop in card.stops]
    first, together = first_part_words(card.first_part, system), together_words(card)
    lands = _lands(card, system)
    texts = _Texts(card, rows, stops, together, gauges, first, cautions)
    blocks = [
        *texts.blocks(),
        [[Text(stands.words, 0.9)]],
        [[Text(max((text for _, text in stands.entries), key=len), 0.19)]],
    ]
    between_mm = _between_mm(rows, lands)
    return _Sheet(
        card,
        _whose(card),
        rows,
        stops,
        number(card.parts_per_shift, 0),
        together,
        gauges,
        first,
        lands,
        cautions,
        f"{lettering_pt(blocks, between_mm, paper_mm):.2f}",
        stands,
        runs_on(blocks, between_mm, paper_mm),
    )


def _row(card: ToolCard, each: CardSet, system: System) -> _Row:
    texts = (renewal_words(each, system), stroke_words(each, system), aim_words(each, system))
    steps = [text for text in texts if text]
    before = say("cards.before", when=each.before) if each.before else ""
    rule = "" if each.count is None or each.when == f"after {each.count} parts" else retell(each.when)
    look, (sets, hand) = look_words(each, system), hand_words(card, each)
    return _Row(each.cutter, ", ".join(each.cuts), change_words(each), rule, before, look, steps, sets, hand)


def _stop(stop: CounterStop) -> str:
    """What is done at one reading of the counter."""
    looks = [name for name in stop.look if name not in stop.change]
    key = "cards.stop_both" if stop.change and looks else "cards.stop_change" if stop.change else "cards.stop_look"
    return say(key, reading=stop.reading, sets=stop.change, looks=looks)


def _lands(card: ToolCard, system: System) -> list[_Land]:
    """The wear lands at which the sets go, each drawn once."""
    lands: dict[str, tuple[float, list[str]]] = {}
    for each in card.sets:
        limit_mm = each.wear_limit_mm if each.look_every is None else each.look_past_mm
        if 0.0 < limit_mm <= _MOST_LAND_MM and math.isnan(each.dressing_um):
            shown = with_unit(limit_mm, "mm", system, 4 if system == "inch" else 2)
            lands.setdefault(shown, (limit_mm, []))[1].append(each.cutter)
    return [_Land(_named(names), _SCALE * limit_mm, shown) for shown, (limit_mm, names) in lands.items()]


def _named(names: list[str]) -> str:
    """Sets by name, or how many, where there are too many to name."""
    return listed_words(names) if len(names) <= _MOST_NAMED else say("cards.several_sets", count=len(names))
