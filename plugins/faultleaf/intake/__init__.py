"""Text → cards and mistakes with lines. The only room that reads authors' files."""

from faultleaf.intake.folder import Intake, Layer, fingerprint, read_library, read_picture

__all__ = ["Intake", "Layer", "fingerprint", "read_library", "read_picture"]
