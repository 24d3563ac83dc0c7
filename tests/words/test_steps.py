"""words/steps.py: ranks, capitals, signal words, titles of steps."""

from faultleaf.cards.vocabulary import RANKS, SIGNAL_WORDS
from faultleaf.diagnosis import HAND_ON as ENGINES_HAND_ON
from faultleaf.words import HAND_ON, capital, effort_of, graveness, gravest, rank_text, step_words

from tests.export.sample_cards import library, make


def test_handing_on_is_what_the_engine_calls_it() -> None:
    assert HAND_ON == ENGINES_HAND_ON


def test_steps_are_called_by_their_cards() -> None:
    cards = library(make("fault", "valve"), make("test", "hold", "Hold with the feed off"))
    assert step_words(cards, "hold") == "Hold with the feed off"
    assert step_words(cards, "valve") == "Replace the seat"
    assert step_words(cards, HAND_ON) == f"hand on to {cards.site.call}"
    assert step_words(cards, "of-a-problem-file") == "of-a-problem-file"


def test_effort_names_minutes_wait_and_rank() -> None:
    (card,) = library(make("test", "hold", takes="90 min", wait="4 h", who="owner")).tests.values()
    assert effort_of(card) == "1 h 30 min, then wait 4 h · Owner: look only"


def test_the_gravest_signal_word_stands() -> None:
    cards = library(*(make("caution", word, signal=word) for word in SIGNAL_WORDS if word != "notice"))
    assert gravest(cards, ["caution", "danger", "warning"]) == "DANGER"
    assert gravest(cards, ["caution"]) == "CAUTION"
    assert gravest(cards, []) == ""
    assert [one.id for one in sorted(cards.cautions.values(), key=graveness)] == ["danger", "warning", "caution"]


def test_every_rank_has_words_of_its_own() -> None:
    words = [rank_text(rank) for rank in RANKS]
    assert len(set(words)) == len(RANKS) == 4
    assert words[0] == "Owner: look only"


def test_capital_changes_the_first_letter_alone() -> None:
    assert [capital(text) for text in ("fed by hand", "pH of it", "", "éa")] == ["Fed by hand", "PH of it", "", "Éa"]
