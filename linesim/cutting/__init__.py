"""What a cutter does to metal: numbers in, numbers out, one module per matter.

Units are those of the model everywhere: mm for geometry, µm for errors, roughness and scratches, minutes, m/min,
mm per revolution or per tooth, N, N/µm, kW, degrees. The lead angle is the angle between the cutting edge and the
direction of feed, so that 90 degrees is an edge square to the feed.

All functions but the age-replacement ones of `economics` are compiled laws (see `linesim.law`). Ranges are checked
once, where a scenario is read, and not here.
"""
