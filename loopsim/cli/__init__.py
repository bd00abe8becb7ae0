"""The command line: the same answers as in the window, on a machine with no display."""

from loopsim.cli.commands import main

__all__ = ["main"]
