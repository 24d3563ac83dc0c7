"""plugin/policy.py: the hashes are those that a browser computes, of exactly the scripts that run."""

import base64
import hashlib
from pathlib import Path

import pytest
from faultleaf.plugin.policy import policy_for
from selenium.webdriver.common.by import By

from tests.browser.chromium import console_errors, open_chromium
from tests.plugin.sites import CONFIG, build_site, make_site

REST = "style-src 'self'; font-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"


def hash_of(script: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def scripts_in(html: str) -> list[str]:
    """The hashes that the policy of this page lists."""
    (rule,) = [part for part in policy_for(html).split("; ") if part.startswith("script-src ")]
    assert rule.split()[1] == "'self'"
    return rule.split()[2:]


def test_published_example() -> None:
    # CSP Level 2 (W3C), section "script-src hash usage", from memory: the hash of alert('Hello, world.');
    published = "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
    assert scripts_in("<script>alert('Hello, world.');</script>") == [published]
    assert hash_of("alert('Hello, world.');") == published


def test_whole_policy() -> None:
    assert policy_for("<script>a</script>") == f"default-src 'none'; script-src 'self' {hash_of('a')}; {REST}"


CASES = {
    "none": ("<p>words</p>", []),
    "empty": ("<script></script>", [""]),
    "blanks count": ("<script>\n a \n</script>", ["\n a \n"]),
    "entities are not read": ("<script>a &amp;&amp; '&lt;'</script>", ["a &amp;&amp; '&lt;'"]),
    "from a file": ("<script src='a.js'></script>", []),
    "from a file with text": ("<script src=a.js>b</script>", []),
    "data": ("<script type='application/json'>{}</script><script type=text/template>x</script>", []),
    "typed": ("<script type='text/javascript'>a</script><script type=module>b</script>", ["a", "b"]),
    "typed with nothing": ("<script type=''>a</script>", ["a"]),
    "twice": ("<script>a</script><script>a</script>", ["a"]),
    "tags inside": ("<script>'<b></b><!-- x'</script>", ["'<b></b><!-- x'"]),
    "beyond ASCII": ("<script>'×½'</script>", ["'×½'"]),
    "capitals": ("<SCRIPT>a</SCRIPT >", ["a"]),
    "in a comment": ("<!-- <script>a</script> -->", []),
    "as text": ("<p>&lt;script&gt;a&lt;/script&gt;</p>", []),
}


@pytest.mark.parametrize(("html", "scripts"), CASES.values(), ids=CASES)
def test_exactly_the_inline_scripts_are_listed(html: str, scripts: list[str]) -> None:
    assert scripts_in(html) == sorted(hash_of(script) for script in scripts)


def test_order_of_scripts_does_not_matter() -> None:
    assert policy_for("<script>a</script><script>b</script>") == policy_for("<script>b</script><script>a</script>")


def test_while_the_site_is_served_it_may_ask_for_news() -> None:
    rules = policy_for("<script>a</script>", live_reload=True)
    assert rules == f"default-src 'none'; script-src 'self' 'unsafe-inline'; connect-src 'self'; {REST}"


def test_policy_fits_in_an_attribute() -> None:
    assert not set('"<>&') & set(policy_for("<script>a\"'<>&</script>"))


def test_only_the_themes_own_scripts_are_listed_whatever_a_site_brings_in(tmp_path: Path) -> None:
    strange = "alert('a stranger')"
    plain = build_site(make_site(_folder(tmp_path / "plain"), {"faults/valve": {}, "more/own.md": "# Own\n"}))
    words = f"---\ntitle: Own <script>{strange}</script>\n---\n# Own\n"
    config = CONFIG.replace("A tiny site", f'"A <script>{strange}</script>"')
    odd = build_site(make_site(_folder(tmp_path / "odd"), {"faults/valve": {}, "more/own.md": words}, config))
    assert plain.keys() == odd.keys()
    for path, page in odd.items():
        (policy,), (known,) = (each.select("meta[http-equiv=Content-Security-Policy]") for each in (page, plain[path]))
        assert policy["content"] == known["content"], path
        assert hash_of(strange) not in str(policy["content"])
    assert strange in str(odd["more/own.html"])  # it is in the page, and no browser runs it
    own = [script.get_text() for script in plain["more/own.html"].find_all("script") if not script.attrs]
    assert own
    assert all(hash_of(script) in str(plain["more/own.html"]) for script in own)


def _folder(path: Path) -> Path:
    path.mkdir()
    return path


def test_chromium_runs_what_is_listed_and_nothing_else(tmp_path: Path) -> None:
    allowed = "document.title = 'ran × ½ &amp; <b>';\n"
    page = f"""<!doctype html><html><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy_for(f"<script>{allowed}</script>")}"><title>before</title>
<script>{allowed}</script><script>document.title += ' and the stranger';</script>
<script src="own.js"></script><script src="data:text/javascript,document.title+='data'"></script>
<style>p {{ color: red }}</style></head><body onload="document.title += ' and the handler'"><p id="p">words</p>
<a id="a" href="javascript:void(document.title='link')">a</a></body></html>"""
    (tmp_path / "page.html").write_text(page, encoding="utf-8")
    (tmp_path / "own.js").write_text("document.title += ' and our file';", encoding="utf-8")
    with open_chromium(600, 400) as driver:
        driver.get((tmp_path / "page.html").as_uri())
        driver.find_element(By.ID, "a").click()
        assert driver.title == "ran × ½ &amp; <b> and our file"
        assert driver.find_element(By.ID, "p").value_of_css_property("color") == "rgba(0, 0, 0, 1)"
        refused = [line for line in console_errors(driver) if "Content Security Policy" in line]
    assert len(refused) >= 4  # the stranger, the data, the handler, the style; the link when it is clicked
    # Chromium names the hash that would have let the stranger in: it must be the one that we would list.
    (stranger,) = scripts_in("<script>document.title += ' and the stranger';</script>")
    assert any(stranger in line for line in refused)
