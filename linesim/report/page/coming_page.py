"""The coming shift as a sheet for the setter: when, which machine, which set, what to bring, what to check."""

from __future__ import annotations

from datetime import date

from linesim.report.page.card_size import Text, lettering_pt, runs_on
from linesim.report.page.coming_rows import Stop, at_hand, stops_of
from linesim.report.page.made import made_words
from linesim.report.theme.cautions import caution_words
from linesim.report.theme.paper import room_mm
from linesim.report.theme.render import render_sheets
from linesim.report.theme.shown import System
from linesim.study.coming.forecast import Forecast
from linesim.study.coming.words import sentences_of
from linesim.words import say
from linesim.works.staffing import DAYS

__all__ = ["coming_page"]

_MARGINS_MM = (20, 18)
_SMALLEST_PT = 7.5
"""A shift with more stops than one sheet holds at this goes on on a second one."""


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
    stops, hand, sentences = stops_of(forecast, system), [*at_hand(forecast)], [*sentences_of(forecast)]
    keys = [*dict.fromkeys(key for card in forecast.cards for key in card.cautions), "first_of_all"]
    cautions = [caution_words(key) for key in keys]
    room = room_mm(paper, _MARGINS_MM)
    blocks = _blocks(forecast.works.name, stops, hand, sentences, cautions)
    between_mm = 14.0 + 2.6 * len(stops)
    fitting_pt = lettering_pt(blocks, between_mm, room)
    end = forecast.of.clock.end_words(forecast.of.shifts)
    return render_sheets(
        "coming.html",
        paper,
        room,
        "cards.css coming.css",
        title=say("coming.title", works=forecast.works.name),
        size=f"{max(fitting_pt, _SMALLEST_PT):.2f}",
        may_run_on=fitting_pt <= _SMALLEST_PT or runs_on(blocks, between_mm, room),
        heading=say("coming.heading", begin=forecast.of.clock.words(0.0), end=end),
        end=end,
        when=_when(forecast),
        works=forecast.works.name,
        policy=forecast.policy,
        level=forecast.of.level,
        stops=stops,
        hand=hand,
        sentences=sentences,
        cautions=cautions,
        made=made_words(str(forecast.provenance["digest"]), today, forecast.n),
    )


def _when(forecast: Forecast) -> str:
    """Day and shift with which it begins."""
    clock, after = forecast.of.clock, forecast.of.shifts - 1
    key = "coming.shifts" if after else "coming.one_shift"
    return say(key, day=say(f"days.{DAYS[clock.day]}"), shift=clock.shift + 1, more=after)


def _blocks(
    name: str, stops: list[Stop], hand: list[tuple[str, str]], sentences: list[str], cautions: list[str]
) -> list[list[list[Text]]]:
    """All texts of the sheet from top to bottom, by which its lettering is chosen."""
    head = [Text("00:00 to 00:00", 0.55, 2.3), Text(name)]
    blocks = [[head], [[Text("Heads", 1.0, 0.9)]]]
    for stop in stops:
        when = [Text(stop.due, 0.14, 1.35), Text(stop.band, 0.14, 0.82), Text(stop.perhaps, 0.14, 0.82)]
        change = [text for each in stop.sets for text in (Text(each.cutter, 0.2, 1.1), Text(each.counter, 0.2, 0.82))]
        bring = [Text(each.bring, 0.22) for each in stop.sets]
        check = [Text(each.check, 0.18, 0.82) for each in stop.sets]
        blocks.append([when, [Text(stop.machine, 0.17, 1.1)], change, bring, check])
    left = [Text(f"{cutter}: {count}", 0.4) for cutter, count in hand]
    right = [Text(sentence, 0.56, 0.9) for sentence in sentences]
    blocks += [[[Text(say("coming.broken"))]], [[Text("Heading")]], [left, right], [[Text("Heading")]]]
    return [*blocks, [[Text(text, 1.0, 0.72) for text in cautions]]]
