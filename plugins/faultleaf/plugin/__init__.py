"""The MkDocs plugin: the only room that knows MkDocs."""

from faultleaf.plugin.plugin import FaultleafPlugin

__all__ = ["FaultleafPlugin"]
