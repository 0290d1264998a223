"""The coming shift as a sheet for the setter: when, which machine, which set, what to bring, what to check."""

from __future__ import annotations

from datetime import date

from linesim import __version__
from linesim.report.page.card_size import Text, lettering_pt
from linesim.report.page.coming_rows import Stop, at_hand, stops_of
from linesim.report.theme.cautions import CAUTION_OF, FIRST_OF_ALL
from linesim.report.theme.paper import room_mm
from linesim.report.theme.render import render_sheets
from linesim.report.theme.shown import System
from linesim.study.coming.forecast import Forecast

__all__ = ["coming_page"]

_MARGINS_MM = (20, 18)
_SMALLEST_PT = 7.5
"""A shift with more stops than one sheet holds at this goes on on a second one."""
_BROKEN = (
    "Times are estimates: the counter and the edge decide. An edge that breaks, chips or spoils a part goes at once, "
    "whatever stands here; its count begins anew."
)


def coming_page(forecast: Forecast, today: date, paper: str = "A4", system: System = "metric") -> str:
    """The sheet as one self-contained HTML page.

    Parameters
    ----------
    forecast : Forecast
        What stands on it.
    today : datetime.date
        When it is made.
    paper : {"A4", "Letter"}
        On which it is printed.
    system : {"metric", "inch"}
        Units.

    Returns
    -------
    str
        HTML without scripts; every name of the scenario is escaped. Black on white: no colour says anything.
    """
    stops, hand = stops_of(forecast, system), [*at_hand(forecast)]
    keys = dict.fromkeys(key for card in forecast.cards for key in card.cautions)
    cautions = [*(CAUTION_OF[key] for key in keys), FIRST_OF_ALL]
    room = room_mm(paper, _MARGINS_MM)
    fitting_pt = lettering_pt(_blocks(forecast, stops, hand, cautions), 14.0 + 2.6 * len(stops), room)
    clock, shifts = forecast.of.clock, forecast.of.shifts
    return render_sheets(
        "coming.html",
        paper,
        room,
        "cards.css coming.css",
        title=f"the coming shift of {forecast.works.name}",
        size=f"{max(fitting_pt, _SMALLEST_PT):.2f}",
        may_run_on=fitting_pt <= _SMALLEST_PT,
        heading=f"{clock.words(0.0)} to {clock.end_words(shifts)}",
        when=f"{clock.beginning.split(',')[0]}, shift {clock.shift + 1}"
        + ("" if shifts == 1 else f" and {shifts - 1} after it"),
        works=forecast.works.name,
        policy=forecast.policy,
        level=f"{forecast.of.level:.0%}",
        stops=stops,
        hand=hand,
        sentences=forecast.sentences,
        broken=_BROKEN,
        cautions=cautions,
        printed=f"Made {today:%Y-%m-%d} by linesim {__version__} from {forecast.n} runs of scenario "
        f"{str(forecast.provenance['digest'])[:10]}",
    )


def _blocks(
    forecast: Forecast, stops: list[Stop], hand: list[tuple[str, str]], cautions: list[str]
) -> list[list[list[Text]]]:
    """All texts of the sheet from top to bottom, by which its lettering is chosen."""
    head = [Text("00:00 to 00:00", 0.55, 2.3), Text(forecast.works.name)]
    blocks = [[head], [[Text("Heads", 1.0, 0.9)]]]
    for stop in stops:
        when = [Text(stop.due, 0.14, 1.35), Text(stop.band, 0.14, 0.82), Text(stop.perhaps, 0.14, 0.82)]
        change = [text for each in stop.sets for text in (Text(each.cutter, 0.2, 1.1), Text(each.counter, 0.2, 0.82))]
        bring = [Text(each.bring, 0.22) for each in stop.sets]
        check = [Text(each.check, 0.18, 0.82) for each in stop.sets]
        blocks.append([when, [Text(stop.machine, 0.17, 1.1)], change, bring, check])
    left = [Text(f"{cutter}: {count}", 0.4) for cutter, count in hand]
    right = [Text(sentence, 0.56, 0.9) for sentence in forecast.sentences]
    blocks += [[[Text(_BROKEN)]], [[Text("Heading")]], [left, right], [[Text("Heading")]]]
    return [*blocks, [[Text(text, 1.0, 0.72) for text in cautions]]]
