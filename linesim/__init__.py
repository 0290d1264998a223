"""linesim: what every tool-change policy and every routing costs an engine-component line."""

__version__ = "0.1.0"
