"""plugin/policy.py: the hashes are those that a browser computes, of exactly the scripts that run."""

import base64
import hashlib
from pathlib import Path

import material
import pytest
from faultleaf.plugin.policy import Policy, _filled, _inline_scripts
from selenium.webdriver.common.by import By

from tests.browser.chromium import console_errors, open_chromium

REST = "style-src 'self'; font-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'"


def hash_of(script: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def policy(folder: Path, template: str, page: str, base_url: str = ".") -> str:
    """The policy of the page in a site whose theme has this one template."""
    (folder / "partials").mkdir(exist_ok=True)
    (folder / "partials/one.html").write_text(template, encoding="utf-8")
    return Policy([str(folder)]).of(page, base_url)


def scripts_in(rules: str) -> list[str]:
    """The hashes that a policy lists."""
    (rule,) = [part for part in rules.split("; ") if part.startswith("script-src ")]
    assert rule.split()[1] == "'self'"
    return rule.split()[2:]


def test_published_example(tmp_path: Path) -> None:
    # CSP Level 2 (W3C), section "script-src hash usage", from memory: the hash of alert('Hello, world.');
    published = "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='"
    script = "<script>alert('Hello, world.');</script>"
    assert scripts_in(policy(tmp_path, script, script)) == [published]
    assert hash_of("alert('Hello, world.');") == published


def test_whole_policy(tmp_path: Path) -> None:
    script = "<script>a</script>"
    assert policy(tmp_path, script, script) == f"default-src 'none'; script-src 'self' {hash_of('a')}; {REST}"


CASES = {
    "none": ("<p>words</p>", []),
    "the theme's": ("<p>{% if x %}<script>known()</script>{% endif %}", ["known()"]),
    "two": ("<script>known()</script><script>\n other \n</script>", ["known()", "\n other \n"]),
    "beyond ASCII": ("<script>'×½' &amp;</script>", ["'×½' &amp;"]),
    "with the way to the root": ('<script>at("{{ config.extra.scope | d(base_url) }}/x")</script>', ['at("../x")']),
    "asking for something else": ("<script>at('{{ config.site_name }}')</script>", []),
    "with a condition": ("<script>a{% if x %}b{% endif %}</script>", []),
    "with attributes": ("<script id=x>a</script><script src=b></script>", []),
    "never closed": ("<script>a", []),
}


@pytest.mark.parametrize(("template", "scripts"), CASES.values(), ids=CASES)
def test_only_whole_scripts_of_the_theme_are_listed(template: str, scripts: list[str], tmp_path: Path) -> None:
    page = "".join(f"<script>{script}</script>" for script in scripts) + "<script>stranger()</script><p>a</p>"
    assert scripts_in(policy(tmp_path, template, page, "..")) == sorted(hash_of(script) for script in scripts)
    assert scripts_in(policy(tmp_path, template, "<script>stranger()</script>", "..")) == []


def test_while_the_site_is_served_it_may_ask_for_news(tmp_path: Path) -> None:
    rules = Policy([str(tmp_path)], live_reload=True).of("<script>a</script>", ".")
    assert rules == f"default-src 'none'; script-src 'self' 'unsafe-inline'; connect-src 'self'; {REST}"


def test_every_inline_script_of_the_real_theme_is_known() -> None:
    """As its templates stand today: the frame's own scripts can all be written down beforehand."""
    folder = Path(material.__file__).parent / "templates"
    frame = [folder / "base.html", *sorted((folder / "partials/javascripts").glob("*.html"))]
    found = [script for path in frame for script in _inline_scripts(path.read_text(encoding="utf-8"))]
    assert len(found) > 4
    assert [script for script in found if _filled(script, ".") is None] == []


def test_chromium_runs_what_is_listed_and_nothing_else(tmp_path: Path) -> None:
    allowed = "document.title = 'ran × ½ &amp; <b>';\n"
    script = f"<script>{allowed}</script>"
    page = f"""<!doctype html><html><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy(tmp_path, script, script)}"><title>before</title>
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
    stranger = hash_of("document.title += ' and the stranger';")
    assert any(stranger in line for line in refused)
