"""Faultleaf: Markdown fault cards in, a static troubleshooting site out."""

__version__ = "0.1.0"
