"""The one file that knows MkDocs: thin hooks over the plain modules beside it.

What flows: the runtime is packed first, so that pages can name its files; every page's Markdown is
scanned for broken fences before it is parsed; its HTML is counted against its fences afterwards;
the page of evidence is written into the guide; the packed files are laid into the site last.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any, ClassVar

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File

from calculators.catalogue import CATALOGUE
from dewglass.site import evidence, fence, forms, policy, runtime

PACKED = runtime.ROOT / ".cache" / "packed"
SEARCH_SHIM = runtime.ROOT / "node_modules" / "iframe-worker" / "shim" / "index.js"
EVIDENCE_PAGE = "how-checked.md"


class _Build:
    """What one build knows: the packed files, and the scripts taken out of its pages."""

    packed: runtime.Packed
    lifted: ClassVar[dict[str, str]] = {}


def on_pre_build(config: Any) -> None:
    """Pack the browser's Python; what has not changed is not packed again."""
    try:
        _Build.packed = runtime.pack(PACKED)
    except runtime.Unpackable as problem:
        raise PluginError(str(problem)) from None


def on_files(files: Any, config: Any) -> Any:
    """Add the page that shows every check."""
    page = evidence.evidence_page(evidence.for_build(runtime.ROOT, CATALOGUE))
    files.append(File.generated(config, EVIDENCE_PAGE, content=page))
    return files


def on_page_markdown(markdown: str, page: Any, config: Any, files: Any) -> str:
    """Stop the build at a broken fence, with file and line."""
    path = page.file.abs_src_path
    source = Path(path).read_text(encoding="utf-8-sig") if path else markdown
    skipped = source.count("\n") - markdown.count("\n") if source.endswith(markdown) else 0
    problems = fence.problems_in(markdown, page.file.src_uri, skipped)
    if problems:
        raise PluginError("\n".join(problems))
    return markdown


def on_page_content(html: str, page: Any, config: Any, files: Any) -> str:
    """Stop the build when a fence did not become a form with an answer."""
    wanted = sum(1 for _ in fence.fences_in(page.markdown))
    found, answered = forms.forms(html)
    if not wanted == found == answered:
        raise PluginError(
            f"{page.file.src_uri}: {wanted} calculator fences are written, but {answered} "
            "calculators stand in the page. Check that each fence is closed and not inside a list."
        )
    return html


def on_post_page(output: str, page: Any, config: Any) -> str:
    """Name the packed files in the page's head; downloads start early only where they serve."""
    base = "../" * page.url.count("/")
    tags = [runtime.style_links(_Build.packed, base), runtime.script_tags(_Build.packed, base)]
    if forms.forms(output)[0]:
        tags.append(runtime.preload_links(_Build.packed, base))
    if "data-chart=" in output:
        tags.append(runtime.chart_tag(_Build.packed, base))
    output = output.replace("</head>", "\n".join([*tags, "</head>"]), 1)
    output, files = policy.lift_scripts(output, f"{base}{runtime.FOLDER.as_posix()}/")
    _Build.lifted |= files
    return output


def on_post_build(config: Any) -> None:
    """Lay the packed files and the search's helper into the site."""
    target = Path(config.site_dir) / runtime.FOLDER
    shutil.copytree(PACKED / runtime.FOLDER, target, dirs_exist_ok=True)
    shutil.copyfile(SEARCH_SHIM, target / "iframe-worker.js")
    for name, script in _Build.lifted.items():
        (target / name).write_text(script, encoding="utf-8")
