"""Browsers for every test here."""

from tests.browser.engines import (  # noqa: F401
    chromium_browser,
    chromium_page,
    display,
    engine,
    firefox,
    webkit_driver,
)
