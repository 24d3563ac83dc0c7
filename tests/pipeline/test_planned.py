"""The plans that lie beside the shipped cards hold for these cards and this engine: a clone starts from them."""

from pathlib import Path

import pytest
from faultleaf.diagnosis.worth.figured import USUAL
from faultleaf.intake import Layer
from faultleaf.pipeline import asked
from faultleaf.pipeline.check import check_content
from faultleaf.pipeline.figures import key_of
from faultleaf.pipeline.sheets import charted
from faultleaf.pipeline.shelf import PLANNED, SUFFIX, kept_of

REPOSITORY = Path(__file__).parents[2]
CONTENT, DEMO = REPOSITORY / "content", REPOSITORY / "site_demo/content"


@pytest.mark.parametrize("folders", [(CONTENT,), (CONTENT, DEMO)], ids=["library", "demonstration"])
def test_every_chart_is_planned_and_no_old_plan_is_left(
    folders: tuple[Path, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    layers = [Layer(folder, folder.name) for folder in folders]
    library = check_content(layers).library
    assert library is not None
    keys = {key_of(problem, USUAL): name for name, problem in charted(library).items()}
    missing = [name for key, name in keys.items() if kept_of(layers).take(key) is None]
    assert missing == [], "run `make charts`"
    monkeypatch.setattr(asked, "rank_steps", None)  # nothing may be left to be worked out
    assert asked.ask_all(charted(library), kept_of(layers)), "run `make charts`"
    own = {path.name.removesuffix(SUFFIX) for path in (folders[-1] / PLANNED).iterdir() if path.is_file()}
    assert own <= keys.keys(), "run `make charts`"
