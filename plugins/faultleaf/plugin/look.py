"""What the theme is set to where mkdocs.yml says nothing: our two colour schemes, the mark, the navigation's ways."""

from typing import Any, Final

from mkdocs.theme import Theme

SCHEMES: Final[list[dict[str, Any]]] = [
    {
        "media": f"(prefers-color-scheme: {name})", "scheme": f"fl-{name}", "primary": "custom", "accent": "custom",
        "toggle": {"icon": icon, "name": leads_to},
    }
    for name, icon, leads_to in (
        ("light", "material/weather-night", "Dark, for the cellar"),
        ("dark", "material/weather-sunny", "Light, for the sun"),
    )
]  # fmt: skip
FEATURES: Final = ["navigation.prune", "navigation.indexes", "navigation.top", "toc.follow"]
"""Pruning keeps the whole navigation from standing on every page."""
THEMES_OWN_FAVICON: Final = "assets/images/favicon.png"


def set_look(theme: Theme, favicon: str) -> None:
    """Fill in what the site left open."""
    if not theme.get("palette"):
        theme["palette"] = SCHEMES
    if not theme.get("features"):
        theme["features"] = FEATURES
    if theme.get("favicon", THEMES_OWN_FAVICON) == THEMES_OWN_FAVICON:
        theme["favicon"] = favicon
