"""From a works to the tables on how true a part lies: what features carry, what cuts do, how operations hold it."""

from __future__ import annotations

from linesim.cutting.component import Component
from linesim.quality.limits import cap_um2, limits_um
from linesim.works.features import Feature

__all__ = ["shape_of"]


def shape_of(feature: Feature) -> dict[str, float]:
    """Columns of `linesim.plan.place_tables.Shapes` for one feature."""
    cast = feature.as_cast
    return {
        "cast_position_um": cast.position,
        "cast_tilt_um": cast.tilt,
        "cast_form_um": cast.form,
        "position_limit_um": limits_um(feature, Component.POSITION)[1],
        "tilt_limit_um": limits_um(feature, Component.TILT)[1],
        "form_limit_um": limits_um(feature, Component.FORM)[1],
        "position_cap_um2": cap_um2(feature, Component.POSITION),
        "tilt_cap_um2": cap_um2(feature, Component.TILT),
        "form_cap_um2": cap_um2(feature, Component.FORM),
    }
