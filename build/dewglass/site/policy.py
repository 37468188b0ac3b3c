"""Scripts out of the page and into files, so that a host may send a strict policy.

In: a page's HTML. Out: the same page without inline scripts, and the files they became. With them
``script-src 'self' 'wasm-unsafe-eval'`` is all that the guide needs.
"""

from __future__ import annotations

import hashlib
import re

INLINE = re.compile(r"<script>(.*?)</script>", re.DOTALL)


def lift_scripts(html: str, folder: str) -> tuple[str, dict[str, str]]:
    """Return ``html`` with each inline script loaded from ``folder``, and the files by name.

    Scripts with a type of their own (data, not code) stay where they are.
    """
    files: dict[str, str] = {}

    def lifted(match: re.Match[str]) -> str:
        digest = hashlib.sha256(match[1].encode()).hexdigest()[:12]
        name = f"inline.{digest}.js"
        files[name] = match[1]
        return f'<script src="{folder}{name}"></script>'

    return INLINE.sub(lifted, html), files
