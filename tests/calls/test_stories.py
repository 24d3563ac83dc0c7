"""Every told call goes as a master of the trade would accept: the judgement is the story's own, not the cards'."""

from functools import cache
from pathlib import Path

import pytest
from faultleaf.cards import Library
from faultleaf.diagnosis import Problem, compile_problem

from tests.calls.judging import broken
from tests.calls.stories import Story, play_story, read_stories
from tests.cli.calls import shipped_library

STORIES = list(read_stories(Path(__file__).parent.parent / "cases" / "stories"))


@cache
def shipped() -> Library:
    return shipped_library()


def problem_of(story: Story) -> Problem:
    return compile_problem(shipped(), story.symptoms, equipment=story.equipment, who=story.who)


@pytest.mark.parametrize("story", STORIES, ids=[story.id for story in STORIES])
def test_call_goes_as_a_master_would_accept(story: Story) -> None:
    path = play_story(shipped(), problem_of(story), story)
    steps = "\n".join(f"{step.number:2d}. {step.kind} {step.id}: {step.outcome} {step.causes}" for step in path)
    assert broken(shipped(), story, path) == [], f"{story.truth.words}\n{steps}\n{path[-1].minutes:.0f} min"


def test_stories_have_names_of_their_own() -> None:
    assert len({story.id for story in STORIES}) == len(STORIES) > 0


def test_what_is_told_otherwise_is_found_wrong() -> None:
    """A story turned around: its first step forbidden, a step and an end wanted that it does not come to."""
    told = next(story for story in STORIES if story.id == "dry-03-iron-cracked")
    path = play_story(shipped(), problem_of(told), told)
    turned = {
        "never": [{"step": path[0].id}, {"step": "nothing-such"}],
        "by_step": [{"step": "leak-walk", "by": 1}],
        "end": [{"repair": "coil-pinhole"}],
        "within": path[-1].minutes - 1,
    }
    story = Story.model_validate({**told.model_dump(exclude=set(turned)), **turned})
    begun = [line.partition(" ")[0] for line in broken(shipped(), story, path)]
    assert begun == ["no", "step", "leak-walk", "step", "45"]
