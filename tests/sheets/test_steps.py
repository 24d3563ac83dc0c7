"""sheets/steps.py: a card's numbered steps as plain lines."""

from faultleaf.cards import Body, Section, Test
from faultleaf.sheets.steps import steps_of


def card(text: str) -> Test:
    return Test(
        id="hold",
        body=Body((Section("Steps", text, 1),)),
        title="Hold",
        asks="Seen?",
        outcomes={"a": "A", "b": "B"},
        takes="5 min",
    )


def test_items_of_a_list_without_links_and_emphasis() -> None:
    text = "1. Shut the [stop](../components/stop.md) *fully*.\n2. Mark at 3 < 5 & `wait`.\n"
    assert steps_of(card(text), "Steps") == ("Shut the stop fully.", "Mark at 3 < 5 & wait.")


def test_items_that_run_over_lines_and_hold_paragraphs() -> None:
    assert steps_of(card("1. One\n   two.\n\n2. Three.\n"), "Steps") == ("One two.", "Three.")


def test_paragraphs_where_there_is_no_list_and_nothing_without_the_section() -> None:
    assert steps_of(card("Look at it.\n\nThen write.\n"), "Steps") == ("Look at it.", "Then write.")
    assert steps_of(card("x"), "Repair") == ()


def test_escapes_are_what_they_stand_for() -> None:
    assert steps_of(card(r"1. Turn \*left\* 2 \# of 3."), "Steps") == ("Turn *left* 2 # of 3.",)
