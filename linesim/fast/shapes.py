"""How true the places of a part lie: position, tilt and form as cast, and in the trace."""

from __future__ import annotations

from linesim.chance.addresses import cast_shape_draw
from linesim.chance.numbers import block_of, four_of
from linesim.fast import codes
from linesim.fast.compiled import compiled
from linesim.fast.drawers import feature_at, line_at, part_at, shape_at, shape_of
from linesim.fast.state import World
from linesim.normal import two_normals


@compiled
def cast_shape(w: World, part: int, serial: int, feature: int) -> None:
    """Position, tilt and form of a feature that carries them, as the foundry delivers it."""
    row, cast = feature_at(w.features, feature), shape_of(w.shapes, feature)
    address = w.seed, w.replication, codes.PURPOSE_CASTING, feature, serial
    words = block_of(*address, cast_shape_draw(0) >> 1)
    for place in range(row.places):
        shape = shape_at(w.part_shapes, part * w.most_shapes + row.first_place + place)
        draw = cast_shape_draw(place)
        if place > 0 and draw & 1 == 0:
            words = block_of(*address, draw >> 1)
        first, second, _, _ = four_of(words, draw)
        position, tilt = two_normals(first, second)
        shape.position_um = cast.cast_position_um * position
        shape.tilt_um = cast.cast_tilt_um * tilt
        shape.form_um = cast.cast_form_um


@compiled
def note_shapes(w: World, part: int) -> None:
    """Write the shapes of a part down beside the event that is about to be told."""
    line = line_at(w.lines, part_at(w.parts, part).line)
    for feature in range(line.first_feature, line.end_feature):
        row = feature_at(w.features, feature)
        for place in range(row.first_place, row.first_place + row.places):
            copy = shape_at(w.trace_shapes, w.n_trace * w.most_shapes + place)
            true = shape_at(w.part_shapes, part * w.most_shapes + place)
            copy.position_um = true.position_um if row.carries else 0.0
            copy.tilt_um = true.tilt_um if row.carries else 0.0
            copy.form_um = true.form_um if row.carries else 0.0
