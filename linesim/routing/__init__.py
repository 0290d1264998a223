"""Justify a routing: variants side by side, the history of an error, stock, speed and feed, the engine."""

from linesim.routing.answer import RoutingAnswer
from linesim.routing.effects import EngineEffects, EngineStudy
from linesim.routing.history import History, HistoryStudy
from linesim.routing.sentences import sentences_of
from linesim.routing.speed import CutSpeedStudy, SpeedAnswer, SpeedStudy
from linesim.routing.speed_paper import cut_named, speed_on_paper
from linesim.routing.stock import StockPlan, check_stock_plan, stock_plan
from linesim.routing.study import RoutingStudy
from linesim.routing.variants import Variant, Variants, load_variants, variants_from_text

__all__ = [
    "CutSpeedStudy",
    "EngineEffects",
    "EngineStudy",
    "History",
    "HistoryStudy",
    "RoutingAnswer",
    "RoutingStudy",
    "SpeedAnswer",
    "SpeedStudy",
    "StockPlan",
    "Variant",
    "Variants",
    "check_stock_plan",
    "cut_named",
    "load_variants",
    "sentences_of",
    "speed_on_paper",
    "stock_plan",
    "variants_from_text",
]
