"""sheets/steps.py: a card's numbered steps as runs of letters."""

from faultleaf.cards import Body, Section, Test
from faultleaf.sheets.steps import steps_of

from tests.texts import text_of


def card(text: str) -> Test:
    return Test(
        id="hold",
        body=Body((Section("Steps", text_of(text), 1),)),
        title="Hold",
        asks="Seen?",
        outcomes={"a": "A", "b": "B"},
        takes="5 min",
    )


def lines(text: str, section: str = "Steps") -> list[str]:
    """The steps without their styles."""
    return ["".join(letters for _, letters in step) for step in steps_of(card(text), section)]


def test_items_of_a_list_without_links_and_with_their_emphasis() -> None:
    text = "1. Shut the [stop](../components/stop.md) *fully*.\n2. Mark at 3 < 5 & `wait`.\n"
    assert lines(text) == ["Shut the stop fully.", "Mark at 3 < 5 & wait."]
    assert steps_of(card(text), "Steps")[0] == [["", "Shut the stop"], ["strong", " fully"], ["", "."]]


def test_letters_below_and_above_the_line_and_blanks_between_runs() -> None:
    text = "1. **Let  H<sub>2</sub>O**  go\n   on<br>and <kbd>Set</kbd> it.\n"
    assert steps_of(card(text), "Steps") == [
        [["strong", "Let H"], ["sub", "2"], ["strong", "O"], ["", " go on and Set it."]],
    ]


def test_items_that_run_over_lines_and_hold_paragraphs() -> None:
    assert lines("1. One\n   two.\n\n2. Three.\n") == ["One two.", "Three."]


def test_a_list_within_a_step_is_part_of_the_step() -> None:
    assert lines("1. Shut:\n   - the upper cock\n   - the lower cock\n2. Wait.\n") == [
        "Shut: the upper cock the lower cock", "Wait.",
    ]  # fmt: skip


def test_paragraphs_where_there_is_no_list_and_nothing_without_the_section() -> None:
    assert lines("Look at it.\n\nThen write.\n") == ["Look at it.", "Then write."]
    assert lines("x", "Repair") == []


def test_escapes_are_what_they_stand_for() -> None:
    assert lines(r"1. Turn \*left\* 2 \# of 3.") == ["Turn *left* 2 # of 3."]
