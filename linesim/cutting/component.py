"""The components of a place: what a drawing may limit and a gauge may read of it, in one order for everything."""

from __future__ import annotations

from enum import IntEnum

__all__ = ["SHAPE", "Component"]


class Component(IntEnum):
    """What is judged on every place of a feature.

    Size, roughness and scratch are carried by every place; position, tilt and form only where the line carries them,
    see `linesim.works.carried`.
    """

    SIZE = 0
    """Metal left on, µm per side, signed."""
    ROUGHNESS = 1
    """Ra, µm."""
    SCRATCH = 2
    """Depth of the deepest scratch, µm."""
    POSITION = 3
    """Distance of a bore's axis from where it should be, in one direction, µm, signed."""
    TILT = 4
    """Squareness or parallelism over the feature's length, µm, signed."""
    FORM = 5
    """Roundness and taper, or flatness, µm, 0 or more."""

    @property
    def words(self) -> str:
        """The component as the tables name it."""
        return self.name.lower()

    @property
    def column(self) -> str:
        """End of the name of the column that holds its true values in the table of parts."""
        return _COLUMNS[self]

    @property
    def is_signed(self) -> bool:
        """Whether it lies to either side of its aim."""
        return self in (Component.SIZE, Component.POSITION, Component.TILT)


_COLUMNS = {
    Component.SIZE: "error_um",
    Component.ROUGHNESS: "ra_um",
    Component.SCRATCH: "scratch_um",
    Component.POSITION: "position_um",
    Component.TILT: "tilt_um",
    Component.FORM: "form_um",
}

SHAPE = (Component.POSITION, Component.TILT, Component.FORM)
"""The components that are carried only where something asks for them."""
