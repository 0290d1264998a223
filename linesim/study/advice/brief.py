"""The brief for whoever decides: what to change, what it brings and costs, what would make it wrong, the first week."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pandas as pd

from linesim.desk import Desk, desk_figures
from linesim.study.advice.advice import Advice
from linesim.study.advice.figures import Proposal
from linesim.study.advice.move import on_trial
from linesim.study.advice.paired import MONEY, WORTH
from linesim.study.advice.remarks import said_of
from linesim.study.advice.words import amount_words, change_count_words, rounded, sure_words
from linesim.study.answer import Answer
from linesim.study.comparing.words import first_of
from linesim.words import ENGLISH, begun, keep
from linesim.works import Works
from linesim.works.doing import called_at
from linesim.works.types_of import has_worth

__all__ = ["POLICY", "Brief"]

POLICY = "as advised"
"""Name of the policy that does what is proposed."""

_MOST_DEARER = 3
_BROAD = 1.0


@dataclass(frozen=True, eq=False, repr=False)
class Brief(Answer):
    """What a manager decides on.

    Attributes
    ----------
    advice : Advice
        On which it rests, to its last word.
    """

    advice: Advice

    @property
    def chosen(self) -> Proposal | None:
        """What is proposed as a whole: all actions together, else the one; None if nothing is worth changing."""
        return self.advice.together or next(iter(self.advice.actions), None)

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to get the same figures again."""
        return self.advice.provenance

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The actions, before and after, and the sentences by what they are about."""
        texts = {"costs": self.costs, "doubts": self.doubts, "steps": self.steps}
        rows = [(about, text) for about, own in texts.items() for text in own]
        chosen = self.chosen
        figures = pd.DataFrame({"name": []}) if chosen is None else chosen.figures
        return {
            "actions": self.advice.tables["actions"],
            "figures": figures,
            "texts": pd.DataFrame(rows, columns=["about", "text"]),
        }

    @property
    def further(self) -> dict[str, Any]:
        """Currency, what must be said first, and the gain of all together."""
        return self.advice.further

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What must be said first, then the answer."""
        return (*self.first, self.headline)

    @property
    def first(self) -> tuple[str, ...]:
        """What must be read before anything else."""
        chosen = self.chosen
        return (*self.advice.first, *(said_of(text, "proposed") for text in (() if chosen is None else chosen.first)))

    @property
    def headline(self) -> str:
        """The proposal in one sentence."""
        chosen = self.chosen
        if chosen is None:
            return keep("brief.none", count=self.advice.tried, policy=self.advice.policy)
        return keep("brief.headline", count=len(chosen.moves), amount=amount_words(chosen), sure=sure_words(chosen))

    @property
    def trial(self) -> tuple[Works, str]:
        """The works with the proposal beside today's practice, and the name of its policy."""
        chosen = self.chosen
        if chosen is None:
            return self.advice.works, self.advice.policy
        return on_trial(self.advice.works, chosen.moves, POLICY)

    @cached_property
    def costs(self) -> tuple[str, ...]:
        """What it costs."""
        chosen = self.chosen
        if chosen is None:
            return ()
        rows = chosen.items.to_dict(orient="records")
        dearer = [row for row in rows if row["is_apart"] and row["change"] > 0.0 and row["item"] != WORTH]
        named = [
            keep("brief.dearer", item=item_said(str(row["item"])), amount=rounded(row["change"], row["half_width"]),
                 currency=chosen.currency)
            for row in dearer[:_MOST_DEARER]
        ]  # fmt: skip
        beside = change_count_words(chosen)
        texts = [keep("brief.nothing_bought")]
        texts += [keep("brief.in_the_gain", items=named)] if named else []
        texts += [keep("brief.sentence", text=begun(beside))] if beside else []
        return (*texts, keep("brief.not_counted"))

    @cached_property
    def doubts(self) -> tuple[str, ...]:
        """What would make it wrong."""
        return tuple(_doubts(self.advice, self.chosen, desk_figures(self.advice.works)))

    @cached_property
    def steps(self) -> tuple[str, ...]:
        """What is done in the first week."""
        return tuple(_steps(self.chosen, bool(self.advice.first)))


def item_said(item: str) -> str:
    """An item of the ledger, which a sheet says in its reader's language."""
    key = f"items.{item}"
    return keep(key) if key in ENGLISH.entries else item


def _doubts(advice: Advice, chosen: Proposal | None, desk: Desk) -> Iterator[str]:
    works = advice.works
    yield keep("brief.luck")
    cutters = _cutters(chosen)
    if len(desk.typical):
        yield keep("brief.typical", count=len(desk.typical))
    broad = [name for name, cutter in works.cutters.items() if cutter.known_within > _BROAD and name in cutters]
    if broad:
        yield keep("brief.broad", sets=first_of(broad))
    if cutters:
        yield keep("brief.edges", sets=first_of(cutters))
    places = zip(desk.constraints["line"], desk.constraints["operation"], strict=True)
    holding = [called_at(works, str(line), str(name)) for line, name in places]
    yield keep("brief.constraint", operations=first_of(holding))
    if any(has_worth(line) for line in works.lines.values()):
        more = 0.0 if chosen is None else _change(chosen, "output")
        if more > 0.0:
            yield keep("brief.nobody_takes", parts=more)


def _steps(chosen: Proposal | None, is_amiss: bool) -> Iterator[str]:
    """Day by day; what is not known of a shop is left to it."""
    if chosen is None:
        if is_amiss:
            yield keep("brief.step_routing")
        yield keep("brief.step_drivers")
        yield keep("brief.step_count")
        return
    is_everywhere = any(move.entry in ("policy", "group_past", "changes") for move in chosen.moves)
    places = list(dict.fromkeys(move.key.partition(" / ")[0] for move in chosen.moves))
    yield keep("brief.step_read")
    yield keep("brief.step_cards") if is_everywhere else keep("brief.step_cards_of", operations=first_of(places))
    yield keep("brief.step_sets")
    yield keep("brief.step_written")
    yield keep("brief.step_each_day")
    planned = _change(chosen, "planned")
    if round(abs(planned)):
        yield keep("brief.step_end_more" if planned > 0.0 else "brief.step_end_fewer", count=round(abs(planned)))
    else:
        yield keep("brief.step_end")


def _change(chosen: Proposal, name: str) -> float:
    """Change of one figure, where it is beyond doubt."""
    rows = [row for row in chosen.figures.to_dict(orient="records") if row["name"] == name and row["is_apart"]]
    return float(rows[0]["change"]) if rows and name != MONEY else 0.0


def _cutters(chosen: Proposal | None) -> list[str]:
    """Cutter sets whose change is moved."""
    moves = () if chosen is None else chosen.moves
    named = [move.key.partition(" / ")[2] for move in moves if move.entry in ("exceptions", "aims")]
    return list(dict.fromkeys(name for name in named if name))
