"""One way from content folders to everything that is built; shared by the command and the plugin."""

from faultleaf.pipeline.check import Checked, check_content

__all__ = ["Checked", "check_content"]
