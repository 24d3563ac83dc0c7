"""axe-core, vendored for the tests alone: what it finds wrong with a page as it stands."""

from pathlib import Path

from selenium.webdriver import Chrome

AXE = Path(__file__).parent / "vendor/axe-core/axe.min.js"
RUN = """
const done = arguments[arguments.length - 1];
axe.run(document, {
  preload: false,  // it would fetch the style sheets, which the content policy forbids
  runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } },
}).then((found) => done(found.violations.map(
  (each) => `${each.id}: ${each.nodes.map((node) => `${node.target} ${node.failureSummary}`).join(" | ")}`)));
"""
STILL = """
const sheet = new CSSStyleSheet();
// A colour on its way from day to night is no colour. What lies under the bar at the foot can be scrolled from under
// it, which axe cannot know; that no focus is hidden there is tested by the tabulator key.
sheet.replaceSync("* { transition: none !important; } .fl-danger-bar { position: static !important; }");
document.adoptedStyleSheets = [sheet];
document.body.setAttribute("data-md-color-scheme", arguments[0]);
"""


def set_scheme(driver: Chrome, scheme: str) -> None:
    """Show the page by day or night, at once."""
    driver.execute_script(STILL, scheme)


def violations(driver: Chrome, *left_out: str) -> list[str]:
    """What axe-core finds wrong with the page as it stands (WCAG 2.2 AA, best practice, contrast of 7 to 1).

    `left_out`: rules that are not asked.
    """
    if not driver.execute_script("return typeof axe === 'object'"):
        driver.execute_script(AXE.read_text(encoding="utf-8"))
    found: list[str] = driver.execute_async_script(RUN)
    return [each for each in found if not each.startswith(left_out)]
