"""What the library gives to others: the browser's search data, its engine's data, the words of a call,
and the editors' schemas."""

from faultleaf.export.call_words import CALL_FILES, CALL_VIEW_FILES, call_word_scripts
from faultleaf.export.engine import ENGINE_FILES, engine_scripts
from faultleaf.export.schemas import card_schemas
from faultleaf.export.search import SearchEntry, search_entries, search_script

__all__ = [
    "CALL_FILES", "CALL_VIEW_FILES", "ENGINE_FILES", "SearchEntry", "call_word_scripts", "card_schemas", "engine_scripts", "search_entries",
    "search_script",
]  # fmt: skip
