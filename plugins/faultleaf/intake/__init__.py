"""Text → cards and mistakes with lines. The only room that reads authors' files."""

from faultleaf.intake.disk import Layer
from faultleaf.intake.folder import Intake, fingerprint, read_library
from faultleaf.intake.pictures import read_picture

__all__ = ["Intake", "Layer", "fingerprint", "read_library", "read_picture"]
