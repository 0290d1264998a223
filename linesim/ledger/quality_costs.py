"""What a square of the deviation costs, by feature and characteristic."""

from __future__ import annotations

import numpy as np

from linesim.plan.tables import Floats
from linesim.quality.limits import loss_factor_roughness, loss_factor_scratch, loss_factor_size
from linesim.works.model import Works

__all__ = ["quality_factors"]


def quality_factors(works: Works) -> Floats:
    """Taguchi's factor of every feature, line after line.

    Returns
    -------
    array of float, (features, characteristics)
        Money per µm²; columns in the order of `linesim.plan.tally.Characteristic`.
    """
    features = [feature for line in works.lines.values() for feature in line.features.values()]
    factors = (loss_factor_size, loss_factor_roughness, loss_factor_scratch)
    rows = [[factor(feature) for factor in factors] for feature in features]
    return np.array(rows, dtype=np.float64).reshape(len(features), len(factors))
