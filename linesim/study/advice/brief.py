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
from linesim.study.advice.words import amount_words, change_count_words, rounded, sure_words
from linesim.study.answer import Answer
from linesim.study.comparing.words import first_of
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
        return (*self.advice.first, *(() if chosen is None else map(_proposed_words, chosen.first)))

    @property
    def headline(self) -> str:
        """The proposal in one sentence."""
        chosen = self.chosen
        if chosen is None:
            return (
                f"None of {self.advice.tried} changes that were tried brings significantly more than today's practice "
                f'"{self.advice.policy}".'
            )
        count = len(chosen.moves)
        what = "One change" if count == 1 else f"{count} changes together"
        brings = "bring" if count > 1 else "brings"
        return f"{what} {brings} {amount_words(chosen)} a month against today, {sure_words(chosen)}."

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
            f"{row['item']} {rounded(row['change'], row['half_width'])} {chosen.currency} a month more"
            for row in dearer[:_MOST_DEARER]
        ]
        beside = change_count_words(chosen)
        texts = ["Nothing has to be bought: it is run with the machines, people and cutter sets that are there."]
        texts += [f"In the gain already: {', '.join(named)}."] if named else []
        texts += [f"{beside[:1].upper()}{beside[1:]}."] if beside else []
        return (*texts, "The time to instruct the setters and to put new cards at the machines is not counted.")

    @cached_property
    def doubts(self) -> tuple[str, ...]:
        """What would make it wrong."""
        return tuple(_doubts(self.advice, self.chosen, desk_figures(self.advice.works)))

    @cached_property
    def steps(self) -> tuple[str, ...]:
        """What is done in the first week."""
        return tuple(_steps(self.chosen, bool(self.advice.first)))


def _proposed_words(text: str) -> str:
    """A remark on what is proposed, so that nobody takes it for one on today's practice.

    >>> _proposed_words("Still does not hold the drawing.")
    'With what is proposed the line still does not hold the drawing.'
    """
    is_of_line = text.startswith(("Still", "Does", "Goes", "Holds"))
    return f"With what is proposed the line {text[:1].lower()}{text[1:]}" if is_of_line else text


def _doubts(advice: Advice, chosen: Proposal | None, desk: Desk) -> Iterator[str]:
    works = advice.works
    yield (
        "The interval holds the luck of castings, edges and breakdowns; it does not hold what is not known of the "
        "line's own figures."
    )
    cutters = _cutters(chosen)
    assumed = [str(name) for name in desk.typical]
    if assumed:
        yield f"{len(assumed)} figures are typical ones and not the works' own; linesim check lists them."
    broad = [name for name, cutter in works.cutters.items() if cutter.known_within > _BROAD and name in cutters]
    if broad:
        yield f"The lives of {first_of(broad)} are known within a factor only."
    if cutters:
        named = first_of(cutters)
        yield f"Edges that last shorter or longer than in the scenario: {named}. Count parts at each change."
    places = zip(desk.constraints["line"], desk.constraints["operation"], strict=True)
    holding = [called_at(works, str(line), str(name)) for line, name in places]
    yield f"Another constraint than {first_of(holding)}, which holds the line on paper: look where parts queue."
    if any(has_worth(line) for line in works.lines.values()):
        more = 0.0 if chosen is None else _change(chosen, "output")
        if more > 0.0:
            yield f"Parts that nobody takes: the gain counts {more:.2g} more good parts an hour at their worth."


def _steps(chosen: Proposal | None, is_amiss: bool) -> Iterator[str]:
    """Day by day; what is not known of a shop is left to it."""
    if chosen is None:
        if is_amiss:
            yield "When cutters are changed does not mend what stands above: look at how it is cut (linesim routing)."
        yield "linesim drivers says which figure to measure first; until then cutters are changed as today."
        yield "Count parts and read the wear land at every change for a week, and hold them against the scenario."
        return
    is_everywhere = any(move.entry in ("policy", "group_past", "changes") for move in chosen.moves)
    places = list(dict.fromkeys(move.key.partition(" / ")[0] for move in chosen.moves))
    where = "" if is_everywhere else f" of {first_of(places)}"
    yield "Day 1: setters, quality and whoever answers for safety read this page; both names stand below."
    yield f"Day 1: new cards{where} at the machines, the old ones taken down (linesim cards)."
    yield "Day 2: sharp sets for a shift at hand; the first change of each set is made with the setter and checked."
    yield "Days 2 to 5: parts since the change and the wear land are written down at every change, scrap as always."
    yield (
        "Each day: an edge past its wear limit, a characteristic that drifts to its limit, or scrap above today's: "
        "back to the old card, and say so."
    )
    planned = _change(chosen, "planned")
    expected = f" Expected: {abs(planned):.0f} planned changes a week {'more' if planned > 0.0 else 'fewer'}."
    yield f"End of the week: counts held against this page.{expected if round(abs(planned)) else ''}"


def _change(chosen: Proposal, name: str) -> float:
    """Change of one figure, where it is beyond doubt."""
    rows = [row for row in chosen.figures.to_dict(orient="records") if row["name"] == name and row["is_apart"]]
    return float(rows[0]["change"]) if rows and name != MONEY else 0.0


def _cutters(chosen: Proposal | None) -> list[str]:
    """Cutter sets whose change is moved."""
    moves = () if chosen is None else chosen.moves
    named = [move.key.partition(" / ")[2] for move in moves if move.entry in ("exceptions", "aims")]
    return list(dict.fromkeys(name for name in named if name))
