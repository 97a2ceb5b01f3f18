"""The command line: parse, call, print. Each command is a module, imported when it is called."""

from toebox.cli.group import main

__all__ = ["main"]
