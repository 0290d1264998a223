"""The command line: one module per command; each reads, calls one function of the library, and prints."""

from linesim.cli.main import app, main

__all__ = ["app", "main"]
