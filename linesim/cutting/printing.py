"""Form that a leading blade and a worn wheel print into what is cut."""

from __future__ import annotations

import math

from linesim.cutting.locating import Placing
from linesim.law import law


@law
def printed_form_um(cut: Placing, is_led: bool, ground_min: float) -> float:
    """Form that a leading blade's unsteady force and a worn wheel print, root of squares, µm.

    Parameters
    ----------
    cut : Placing
    is_led : bool
        Whether a blade that leads has cut this place in the same stroke.
    ground_min : float, min
        For which the wheel has ground since it was dressed.

    See `linesim.cutting.bar.unsteady_um`, `linesim.cutting.wheel.FORM_SHARE`.
    """
    led_um, wheel_um = cut.led_form_um if is_led else 0.0, cut.wheel_form_um_min * ground_min
    return math.sqrt(led_um * led_um + wheel_um * wheel_um)
