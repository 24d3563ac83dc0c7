"""sheets/words.py: what the foot of a sheet says of the calls that follow it."""

from dataclasses import asdict
from pathlib import Path

import pytest
from faultleaf.diagnosis.worth.endings import endings
from faultleaf.diagnosis.worth.shake import Stability
from faultleaf.sheets import drawn
from faultleaf.sheets.words import firmness, front_words
from faultleaf.words import ends_text

from tests.sheets.small import small_job, small_library


@pytest.mark.parametrize("boxes", [3, 6])
def test_the_foot_says_how_calls_end_and_no_sum(boxes: int, tmp_path: Path) -> None:
    job = small_job(small_library(tmp_path))
    one = drawn(job, boxes)
    told = front_words(one, back=True)["numbers"][0]
    assert told.startswith(ends_text(**asdict(endings(job.problem, one.plan))))
    assert "to a proved repair" not in told
    assert "Handed on: call somebody licensed." in told


def test_how_firm_the_first_step_is() -> None:
    assert firmness(Stability("test", "hold", (), 8, 6, 7, 8)).startswith("With all numbers made wrong by up to twice")
    assert "stays in 6 of 8 tries" in firmness(Stability("test", "hold", (), 8, 6, 7, 8))
    assert firmness(Stability("", "", (), 0, 0, 0, 0)) == ""
