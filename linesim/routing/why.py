"""Why variants differ: the account of the error of one feature, and the least stock, variant by variant."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.desk.process_remarks import on_blades
from linesim.plan.figures import CutKey, cut_figures
from linesim.routing.answer import RoutingAnswer
from linesim.routing.history import History, HistoryStudy
from linesim.routing.stock import stock_warnings
from linesim.study import StudyOptions
from linesim.works import Works

__all__ = ["accounts_in_turn", "accounts_of", "warnings_of"]


def accounts_of(answer: RoutingAnswer, feature: str | None = None, replications: int = 1) -> dict[str, History]:
    """The life history of a feature under every variant, each with its own change intervals.

    Parameters
    ----------
    answer : RoutingAnswer
        What the study found.
    feature : str, optional
        Whose history; the first of the study with a size unless given.
    replications : int
        Runs in which every part is followed; the same castings under every variant.

    Returns
    -------
    dict of str to History
        By variant that ships anything; empty if no feature of the study has a size.
    """
    return dict(accounts_in_turn(answer, feature, replications))


def accounts_in_turn(
    answer: RoutingAnswer, feature: str | None = None, replications: int = 1
) -> Iterator[tuple[str, History]]:
    """`accounts_of`, one variant after another.

    Parameters
    ----------
    answer, feature, replications
        As for `accounts_of`.

    Yields
    ------
    (str, History)
        Variant and account.
    """
    line = answer.variants.line
    features = answer.variants.base.lines[line].features
    sized = [name for name in answer.variants.features if features[name].size is not None]
    chosen = feature or next(iter(sized), None)
    for built in answer.tried if chosen is not None else ():
        # A variant that ships nothing has no history, and the sheet says elsewhere that it ships nothing.
        if float(built.sample.values("shipped", line)[:replications].min()) > 0.0:
            at = built.intervals.candidate
            options = StudyOptions(replications=replications, seed=answer.seed, confidence=answer.confidence)
            account = HistoryStudy(at.works, str(chosen), line, at.policy, options).run()
            yield built.variant.name, account


def warnings_of(answer: RoutingAnswer) -> dict[str, tuple[str, ...]]:
    """Where each variant leaves less stock for a cut than the rule asks for, and which of its blades are one cut."""
    result = {}
    for built in answer.tried:
        at = built.intervals.candidate
        sentence = [
            text
            for feature in answer.variants.features
            for text in stock_warnings(at.works, answer.variants.line, feature, at.policy)
        ]
        asked = {(answer.variants.line, feature) for feature in answer.variants.features}
        figures = {
            key: of for key, of in cut_figures(at.works).items() if (key[0], _feature_of(at.works, key)) in asked
        }
        result[built.variant.name] = (*sentence, *on_blades(figures))
    return result


def _feature_of(works: Works, key: CutKey) -> str:
    """The feature that a cut makes."""
    line, operation, stroke, cut = key
    return works.lines[line].operations[operation].strokes[stroke].cuts[cut].feature
