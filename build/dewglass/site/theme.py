"""What the theme's HTML leaves out for people who do not see the page."""

from __future__ import annotations

SEARCH = 'data-md-component="search" role="dialog"'


def named_search(html: str) -> str:
    """Give the search's dialog the name that a screen reader says when it opens."""
    return html.replace(SEARCH, f'{SEARCH} aria-label="Search the guide"', 1)
