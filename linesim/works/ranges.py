"""Between which bounds a shop may set the handbook's figures: outside them the laws of the cut have no meaning."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.errors import quoted

__all__ = ["RANGES", "Range"]


@dataclass(frozen=True)
class Range:
    """The figures that a coefficient may take.

    Parameters
    ----------
    low, high : float or None
        Bounds, in the coefficient's unit; None for none.
    low_open, high_open : bool
        Whether the bound itself is left out.
    unit : str
        Unit of the figures; empty for none.

    >>> Range(0, 1, True, True).in_words
    'above 0 and below 1'
    """

    low: float | None
    high: float | None = None
    low_open: bool = False
    high_open: bool = False
    unit: str = ""

    def holds(self, figure: float) -> bool:
        """Whether a figure lies within."""
        over = self.low is None or figure > self.low or (figure == self.low and not self.low_open)
        under = self.high is None or figure < self.high or (figure == self.high and not self.high_open)
        return over and under

    @property
    def in_words(self) -> str:
        """The bounds, as an error says them."""
        unit = f" {self.unit}" if self.unit else ""
        parts = []
        if self.low is not None:
            parts.append(f"{'above' if self.low_open else 'at least'} {quoted(self.low)}{unit}")
        if self.high is not None:
            parts.append(f"{'below' if self.high_open else 'at most'} {quoted(self.high)}{unit}")
        return " and ".join(parts)


_INSIDE_ONE = Range(0, 1, low_open=True, high_open=True)
_SHARE = Range(0)
_SPREAD = Range(0, 3)
_FACTOR = Range(0, low_open=True)
_SURFACE_UM = Range(0, unit="µm")

RANGES: dict[str, Range] = {
    "kc11_n_mm2": Range(0, low_open=True, unit="N/mm²"),
    "mc": _INSIDE_ONE,
    "hardness_hb": Range(0, low_open=True, unit="HB"),
    "roughness_ratio": _FACTOR,
    "stress_um_mm": Range(0, unit="µm/mm"),
    "skin_roughness_um": _SURFACE_UM,
    "torn_milled_um": _SURFACE_UM,
    "torn_bored_um": _SURFACE_UM,
    "ref_life_min": Range(0, low_open=True, unit="min"),
    "ref_speed_m_min": Range(0, low_open=True, unit="m/min"),
    "ref_feed_mm": Range(0, low_open=True, unit="mm"),
    "ref_depth_mm": Range(0, low_open=True, unit="mm"),
    "n": _INSIDE_ONE,
    "p": Range(0, 10),
    "q": Range(0, 10),
    "skin_factor": Range(0, 1, low_open=True),
    "wear_limit_mm": Range(0, low_open=True, unit="mm"),
    "wear_b": Range(0, 1),
    "wear_tau": _FACTOR,
    "wear_gamma": _FACTOR,
    "force_growth": _SHARE,
    "thrust_ratio": _FACTOR,
    "wear_pressure_n_mm2": Range(0, unit="N/mm²"),
    "wear_drag_n_mm2": Range(0, unit="N/mm²"),
    "edge_radius_um": Range(0, 500, unit="µm"),
    "roughness_growth": _SHARE,
    "roughness_power": _FACTOR,
    "roughness_past": _SHARE,
    "roughness_cv": _SPREAD,
    "roughness_floor_um": _SURFACE_UM,
    "life_cv": _SPREAD,
    "break_shape": Range(0, 50, low_open=True),
    "break_scale": Range(0, 1000, low_open=True),
    "break_load": Range(0, 10),
    "radial_ratio": _FACTOR,
    "clearance_deg": Range(0, 45, low_open=True, high_open=True, unit="degrees"),
    "removal_um_min": Range(0, low_open=True, unit="µm/min"),
    "spark_out_min": Range(0, 60, unit="min"),
    "copying_factor": Range(0, 1, high_open=True),
    "roughness_sharp_um": Range(0, low_open=True, unit="µm"),
    "life_min": Range(0, low_open=True, unit="min"),
}
"""By the name of the figure. Exponents and shares by their meaning in the laws that use them; the upper bounds of p, q,
break_shape, break_scale and spark_out_min only catch slips of the pen."""
