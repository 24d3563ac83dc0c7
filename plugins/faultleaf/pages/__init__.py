"""Views and templates → the text of every page."""

from faultleaf.pages.page import Heading, SitePage
from faultleaf.pages.site import make_pages
from faultleaf.pages.worked import Asked, WorkedSymptom, WorkedVariant

__all__ = ["Asked", "Heading", "SitePage", "WorkedSymptom", "WorkedVariant", "make_pages"]
