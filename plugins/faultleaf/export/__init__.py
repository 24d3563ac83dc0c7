"""What the library gives to others: the browser's search data, its engine's data, the words and charts of a call,
and the schemas of cards and records."""

from faultleaf.export.call_words import CALL_VIEW_FILES, call_word_scripts
from faultleaf.export.charts import PrintedChart, chart_scripts
from faultleaf.export.engine import CALL_FILES, ENGINE_FILES, engine_scripts
from faultleaf.export.hearing import SEARCH_FILES
from faultleaf.export.job_schema import job_schema
from faultleaf.export.schemas import card_schemas
from faultleaf.export.search import SearchEntry, search_entries, search_script
from faultleaf.export.worksheets import (
    PHYSICS_FILES,
    SUM_VIEW_FILES,
    WORK_SCRIPTS,
    WORKSHEET_DATA,
    WORKSHEET_FILES,
    WORKSHEET_VIEW_FILES,
    worksheet_script,
)

__all__ = [
    "CALL_FILES",
    "CALL_VIEW_FILES",
    "ENGINE_FILES",
    "PHYSICS_FILES",
    "SEARCH_FILES",
    "SUM_VIEW_FILES",
    "WORKSHEET_DATA",
    "WORKSHEET_FILES",
    "WORKSHEET_VIEW_FILES",
    "WORK_SCRIPTS",
    "PrintedChart",
    "SearchEntry",
    "call_word_scripts",
    "card_schemas",
    "chart_scripts",
    "engine_scripts",
    "job_schema",
    "search_entries",
    "search_script",
    "worksheet_script",
]  # fmt: skip
