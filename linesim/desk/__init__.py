"""The desk: what can be said of a works before anything runs: speeds, times, forces, lives, loads and the constraint."""

from linesim.desk.desk import Desk, desk_figures

__all__ = ["Desk", "desk_figures"]
