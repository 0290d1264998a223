"""Justify a routing: variants side by side, the history of an error, stock, speed and feed, the engine."""

from linesim.routing.answer import RoutingAnswer
from linesim.routing.effects import EngineEffects, engine_effects, engine_steps
from linesim.routing.history import History, history, history_steps
from linesim.routing.sentences import sentences_of
from linesim.routing.speed import SpeedAnswer, cut_named, speed_of_cut_steps, speed_on_paper, speed_steps
from linesim.routing.stock import StockPlan, check_stock_plan, stock_plan
from linesim.routing.study import routing, routing_from_text_steps, routing_steps
from linesim.routing.variants import Variant, Variants, load_variants, variants_from_text

__all__ = [
    "EngineEffects",
    "History",
    "RoutingAnswer",
    "SpeedAnswer",
    "StockPlan",
    "Variant",
    "Variants",
    "check_stock_plan",
    "cut_named",
    "engine_effects",
    "engine_steps",
    "history",
    "history_steps",
    "load_variants",
    "routing",
    "routing_from_text_steps",
    "routing_steps",
    "sentences_of",
    "speed_of_cut_steps",
    "speed_on_paper",
    "speed_steps",
    "stock_plan",
    "variants_from_text",
]
