"""The command `faultleaf`: thin, and the only room beside the plugin that speaks to people."""

from faultleaf.cli.main import main

__all__ = ["main"]
