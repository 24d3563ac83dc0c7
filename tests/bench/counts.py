"""The command's answers beside pyAgrum's, over many random calls."""

import io
import json
from contextlib import redirect_stdout
from unittest.mock import patch

from faultleaf.cli import main, rank

from tests.cli.calls import Call, differences, random_calls, shipped_library


def differing_calls(count: int, seed: int) -> list[tuple[Call, list[str]]]:
    """The calls, of `count` random ones, on which the command and pyAgrum differ, with what differs."""
    library = shipped_library()
    wrong = []
    with patch.object(rank, "read_library", lambda _: library):
        for call in random_calls(library, count, seed):
            said = io.StringIO()
            with redirect_stdout(said):
                main([*call.arguments(), "--json"])
            if found := differences(library, call, json.loads(said.getvalue())):
                wrong.append((call, found))
    return wrong
