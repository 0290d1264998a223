"""The claim on chips: cleaning off the locating faces pays wherever tilt is limited."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.plan.times import mean_minutes
from linesim.study.practice.alter import with_operation
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw
from linesim.study.practice.here import held_up, one_after_another
from linesim.words import keep
from linesim.works import Works
from linesim.works.operations import Chips
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["CHIPS"]


def _tilting(works: Works) -> list[tuple[OperationPlace, Chips]]:
    """Operations where a chip can lie and be cleaned off, and that cut a feature whose tilt is limited."""
    answer = []
    for at in operations_of(works):
        chips = at.operation.chips
        if chips is not None and chips.chance > chips.chance_when_cleaned and _tilted(at):
            answer.append((at, chips))
    return answer


def _tilted(at: OperationPlace) -> set[str]:
    """Features that an operation cuts and whose tilt is limited."""
    cuts = (cut for stroke in at.operation.strokes.values() for cut in stroke.cuts.values())
    return {cut.feature for cut in cuts if at.line.features[cut.feature].tilt is not None}


def cleaned(works: Works, line: str, name: str, is_cleaned: bool) -> Works:
    """The works in which the locating faces of an operation are cleaned off, or are not."""
    chips = works.lines[line].operations[name].chips
    assert chips is not None
    return with_operation(works, line, name, chips=chips.model_copy(update={"clean": is_cleaned}))


def _chips(draw: Draw) -> Iterator[Pair]:
    for at, chips in _tilting(draw.works):
        line, name = at.line_name, at.name
        other = draw.seen(
            f"{line} / {name} cleaned: {not chips.clean}",
            lambda works, line=line, name=name, clean=not chips.clean: cleaned(works, line, name, clean),  # type: ignore[misc]
        )
        left, clean = (other, draw.as_it_stands) if chips.clean else (draw.as_it_stands, other)
        money = left.contribution, clean.contribution
        yield Pair(f"{line} / {name}", keep("practice.what_chips"), draw.money, *money)


def _made_good(at: OperationPlace) -> str:
    """Which later operation cuts the tilted features of this one again, before anything is located on them."""
    names = list(at.line.operations)
    for name in names[names.index(at.name) + 1 :]:
        operation = at.line.operations[name]
        again = {cut.feature for stroke in operation.strokes.values() for cut in stroke.cuts.values()} & _tilted(at)
        if operation.locating is not None and operation.locating.on in _tilted(at):
            return ""
        if again:
            return keep("practice.made_good", operation=name, feature=min(again))
    return ""


def _chips_here(works: Works, of: str, earned: float) -> str:
    """Minutes of cleaning, how many parts it spares a chip, and whether a later cut makes a tilt good."""
    at, chips = next((at, chips) for at, chips in _tilting(works) if f"{at.line_name} / {at.name}" == of)
    spared = 100.0 * (chips.chance - chips.chance_when_cleaned)
    words = held_up(
        works, keep("practice.cleaning"), (at.line_name, at.name), mean_minutes(chips.clean_minutes), earned
    )
    return one_after_another(words, _made_good(at), keep("practice.spares", spared=spared))


def _no_chips(works: Works) -> str:
    return "" if _tilting(works) else keep("practice.no_chips")


CHIPS = Claim(
    "c",
    _no_chips,
    _chips,
    _chips_here,
)
