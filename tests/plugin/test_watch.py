"""plugin/watch.py: a notice counts only where readers can read it whole."""

import pytest
from faultleaf.plugin.watch import notices_are_shown

NOTICE = "Code & makers prevail here."
SHOWN = {
    "plain": "<p data-faultleaf='notice'>Code &amp; makers prevail here.</p>",
    "escaped": "<p data-faultleaf='notice'>Code &#38; makers prevail here&#46;</p>",
    "split over tags": "<p data-faultleaf=notice>Co<b>de</b> &amp; <i>makers prevail</i> here.</p>",
    "over lines": "<p data-faultleaf=notice>Code &amp;\n  makers\tprevail\nhere.</p>",
    "with more around": "<p data-faultleaf=notice>First: Code &amp; makers prevail here. Yes.</p>",
    "nested alike": "<div data-faultleaf=notice><div>x</div><div>Code &amp; makers prevail here.</div></div>",
    "second notice": "<p data-faultleaf=notice>other</p><p data-faultleaf=notice>Code &amp; makers prevail here.</p>",
}
HIDDEN = {
    "missing": "<p>words</p>",
    "empty": "",
    "not marked as the notice": "<p>Code &amp; makers prevail here.</p>",
    "marked otherwise": "<p data-faultleaf='caution'>Code &amp; makers prevail here.</p>",
    "a word left out": "<p data-faultleaf=notice>Code &amp; makers here.</p>",
    "a word put in": "<p data-faultleaf=notice>Code &amp; makers never prevail here.</p>",
    "cut": "<p data-faultleaf=notice>Code &amp; makers prev</p>",
    "in a comment": "<!-- <p data-faultleaf=notice>Code &amp; makers prevail here.</p> -->",
    "comment inside": "<p data-faultleaf=notice><!-- Code &amp; makers prevail here. --></p>",
    "as an attribute": "<p data-faultleaf=notice title='Code &#38; makers prevail here&#46;'></p>",
    "over two notices": "<p data-faultleaf=notice>Code &amp; makers</p><p data-faultleaf=notice>prevail here.</p>",
    "after its end": "<p data-faultleaf=notice></p>Code &amp; makers prevail here.",
    "as shown code": "&lt;p data-faultleaf=notice&gt;Code &amp; makers prevail here.",
}


@pytest.mark.parametrize("html", SHOWN.values(), ids=SHOWN)
def test_notice_that_is_shown(html: str) -> None:
    assert notices_are_shown(f"<html><body>{html}<p>more</p></body></html>", [NOTICE])


@pytest.mark.parametrize("html", HIDDEN.values(), ids=HIDDEN)
def test_notice_that_is_not_shown(html: str) -> None:
    assert not notices_are_shown(f"<html><body>{html}<p>more</p></body></html>", [NOTICE])


def test_every_notice_must_be_shown() -> None:
    page = "<aside data-faultleaf=notice><p>One prevails.</p><p>Two prevails.</p></aside>"
    assert notices_are_shown(page, [])
    assert notices_are_shown(page, ["Two prevails.", "One prevails."])
    assert not notices_are_shown(page, ["One prevails.", "Three prevails."])
