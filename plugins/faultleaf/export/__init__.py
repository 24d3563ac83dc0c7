"""What the library gives to others: the browser's search data and the editors' schemas."""

from faultleaf.export.schemas import card_schemas
from faultleaf.export.search import SearchEntry, search_entries, search_script

__all__ = ["SearchEntry", "card_schemas", "search_entries", "search_script"]
