"""How the diamond of a wheel is fed: on the card at the machine, in a remark where it is not as usual, in no run.

By hand: a tip of 0.5 mm that takes 0.1 mm cuts 2 sqrt(0.1 - 0.01) = 0.6 mm wide, at an overlap of 3 with 0.2 mm for
each turn; a wheel of 100 mm at 100 pi m/min makes 1000 turns, so 200 mm a minute.
"""

from __future__ import annotations

import html
import math
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from linesim.cards import CardsOf, tool_cards
from linesim.desk import desk_figures
from linesim.desk.dressing import dressing_stroke, on_dressing
from linesim.errors import ScenarioError
from linesim.report.page.cards_page import Printed, Signatures, cards_page
from linesim.study import run
from linesim.works import Works, changed, load_works
from tests.floors import a_cut, a_shop

BY_HAND = {"radius": 0.5, "depth": 100, "overlap": 3, "speed": 100.0 * math.pi}
USUAL = {"radius": "0.4 mm", "depth": "20 um", "overlap": 4, "speed": "30 m/s"}


def shop(diamond: dict[str, Any] | None = None, **cutter: Any) -> Works:
    """A wheel that grinds a face."""
    dressed = {"stock": 5} | ({} if diamond is None else {"diamond": diamond})
    wheel = {
        "grade": "vitrified wheel 60",
        "sets": 2,
        "renewal": {"dressed": dressed},
        "diameter": 100,
        "life": 30,
        **cutter,
    }
    grinding = a_cut("wheel", process="grinding", depth=0.05)
    del grinding["stiffness"]
    operations = {"Op 10": {"strokes": {"stroke": {"cuts": {"cut": grinding}}}}}
    line = {"features": {"face": {"size": {"limits": [-0.03, 0.03]}, "as_cast": {"stock": 0.05}}}}
    return a_shop(operations, length=300.0, line=line, cutters={"wheel": wheel}, rule={"parts": 20})


def page_of(cards: CardsOf, system: Any = "metric") -> str:
    page = cards_page(cards, Signatures(), Printed("0123456789abcdef", date(2031, 4, 1), "A4", system))
    return html.unescape(page).replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")


def test_the_card_tells_stroke_lead_and_traverse_at_the_wheels_speed() -> None:
    cards = tool_cards(shop(BY_HAND))
    said = "Diamond: 100 µm a stroke, 0.200 mm for each turn of the wheel, so 200 mm/min at 1 000 turns a minute."
    assert said in page_of(cards)
    in_inches = "Diamond: 3 937 µin a stroke, 0.0079 in for each turn of the wheel, so 7.9 in/min at 1 000 turns"
    assert in_inches in page_of(cards, "inch")
    (row,) = cards.tables["sets"].to_dict(orient="records")
    columns = [row[name] for name in row if name.startswith("dressing_") and name != "dressing_um"]
    assert columns == pytest.approx([100.0, 0.2, 200.0, 1000.0])
    assert "stroke" not in row


def test_units_are_read_as_written() -> None:
    """1800 m/min over pi 100 mm: 5729.6 turns; 2 sqrt(0.016 - 0.0004) = 0.2498 mm over 4: 357.8 mm a minute."""
    stroke = dressing_stroke(shop(USUAL).cutters["wheel"])
    assert stroke is not None
    assert tuple(stroke) == pytest.approx((20.0, 0.062450, 357.81, 5729.58), rel=1e-5)


def test_without_a_diamond_the_card_says_nothing_of_it_and_each_way_has_a_number_of_its_own() -> None:
    cards = tool_cards(shop())
    assert "Diamond" not in page_of(cards)
    numbers = {tool_cards(shop(diamond)).cards[0].number for diamond in (USUAL, USUAL | {"overlap": 5})}
    assert len({cards.cards[0].number, *numbers}) == 3
    assert math.isnan(cards.tables["sets"]["dressing_mm_min"][0])


def test_a_wheel_that_is_dressed_has_its_caution_on_the_card() -> None:
    caution = "eyes and lungs protected from grit and dust"
    assert caution in page_of(tool_cards(shop(USUAL)))
    assert caution in page_of(tool_cards(shop(wheel={"track": 10})))
    assert caution not in page_of(tool_cards(shop()))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        # Half the lead again: sqrt(1.5 / 2).
        ({"overlap": 1.5}, ("overlaps 1.5 times", "2 times and 20 µm, would leave about 0.87 times the Ra")),
        ({"overlap": 12}, ("overlaps 12 times", "8 times and 20 µm, would leave about 1.22 times the Ra")),
        # Width and lead go with sqrt(2 r a - a²): 2.5 µm 0.04465 a side, 5 µm 0.06305, so sqrt(1.4120) 2^(1/4).
        ({"depth": 2.5}, ("takes 2.5 µm", "4 times and 5 µm, would leave about 1.41 times the Ra")),
        # 60 µm 0.21071 a side, 30 µm 0.15199: sqrt(0.7213) 2^(-1/4).
        ({"depth": 60}, ("takes 60 µm", "4 times and 30 µm, would leave about 0.71 times the Ra")),
    ],
)
def test_a_way_of_dressing_that_is_not_usual_is_remarked_on(changes: dict[str, Any], said: tuple[str, str]) -> None:
    works = shop(USUAL | changes)
    (remark,) = on_dressing(works)
    assert all(each in remark for each in said)
    assert remark in desk_figures(works).remarks


@pytest.mark.parametrize(
    "diamond", [None, USUAL, USUAL | {"overlap": 2, "depth": 5}, USUAL | {"overlap": 8, "depth": 30}]
)
def test_a_usual_way_is_not_remarked_on(diamond: dict[str, Any] | None) -> None:
    assert list(on_dressing(shop(diamond))) == []


def test_no_run_reads_how_the_diamond_is_fed() -> None:
    plain, fed = run(shop()), run(shop(USUAL))
    assert plain.ledger.equals(fed.ledger)
    assert plain.changes.equals(fed.changes)
    assert not plain.changes.empty


def test_what_does_not_go_together_is_said() -> None:
    with pytest.raises(ScenarioError, match="not below the radius of the tip"):
        shop(USUAL | {"depth": 400})
    block = load_works(Path(__file__).resolve().parents[2] / "scenarios" / "block-line.yaml")
    stones = {"cutters": {"block stones": {"renewal": {"dressed": {"diamond": USUAL}}}}}
    with pytest.raises(ScenarioError, match=r"block stones\]\.diameter: missing; .* turns of the wheel"):
        changed(block, stones)
