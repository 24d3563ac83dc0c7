"""What the library gives to others: the browser's search data, its engine's data, and the editors' schemas."""

from faultleaf.export.charts import PrintedChart, chart_scripts
from faultleaf.export.engine import CALL_FILES, ENGINE_FILES, engine_scripts
from faultleaf.export.job_schema import job_schema
from faultleaf.export.schemas import card_schemas
from faultleaf.export.search import SearchEntry, search_entries, search_script

__all__ = [
    "CALL_FILES", "ENGINE_FILES", "PrintedChart", "SearchEntry", "card_schemas", "chart_scripts", "engine_scripts",
    "job_schema", "search_entries", "search_script",
]  # fmt: skip
