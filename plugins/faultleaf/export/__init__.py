"""What the library gives to others: the browser's search data, its engine's data, and the editors' schemas."""

from faultleaf.export.engine import ENGINE_FILES, engine_scripts
from faultleaf.export.schemas import card_schemas
from faultleaf.export.search import SearchEntry, search_entries, search_script

__all__ = ["ENGINE_FILES", "SearchEntry", "card_schemas", "engine_scripts", "search_entries", "search_script"]
