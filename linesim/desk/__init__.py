"""The desk: what can be said of a works before it runs: speeds, forces, lives, loads, the constraint."""

from linesim.desk.desk import TYPICAL, Desk, desk_figures

__all__ = ["TYPICAL", "Desk", "desk_figures"]
