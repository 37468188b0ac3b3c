"""The one file that knows MkDocs: thin hooks over the plain modules beside it.

What flows: the runtime is packed into the site first, so that pages can name its files; the page
of evidence is written into the guide; every page's Markdown is scanned for broken fences before it
is parsed; its HTML is counted against its fences afterwards; a page's own scripts become files.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any, ClassVar

from mkdocs.exceptions import PluginError
from mkdocs.structure.files import File

from calculators.catalogue import CATALOGUE
from dewglass.site import evidence, fence, forms, pictures, policy, runtime, theme

SEARCH_SHIM = runtime.ROOT / "node_modules" / "iframe-worker" / "shim" / "index.js"
EVIDENCE_PAGE = "how-checked.md"
CHART = "pictures/humidity-chart.svg"


class _Build:
    """What one build knows: the packed files, and the scripts taken out of its pages."""

    packed: runtime.Packed
    lifted: ClassVar[dict[str, str]] = {}


def on_files(files: Any, config: Any) -> Any:
    """Pack the browser's Python into the empty site; add every check's page and our pictures."""
    try:
        _Build.packed = runtime.pack(Path(config.site_dir))
    except runtime.Unpackable as problem:
        raise PluginError(str(problem)) from None
    page = evidence.evidence_page(evidence.for_build(runtime.ROOT, CATALOGUE))
    files.append(File.generated(config, EVIDENCE_PAGE, content=page))
    files.append(File.generated(config, CHART, content=pictures.humidity_chart()))
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
    return _finished(output, "../" * page.url.count("/"))


def on_post_template(output: str, template_name: str, config: Any) -> str:
    """Finish the page for a wrong address, which MkDocs makes from a template of its own."""
    return _finished(output, "/") if template_name == "404.html" else output


def _finished(output: str, base: str) -> str:
    tags = [runtime.style_links(_Build.packed, base), runtime.script_tags(_Build.packed, base)]
    if forms.forms(output)[0]:
        tags.append(runtime.preload_links(_Build.packed, base))
    if "data-chart=" in output:
        tags.append(runtime.chart_tag(_Build.packed, base))
    output = output.replace("</head>", "\n".join([*tags, "</head>"]), 1)
    output = theme.named_search(output)
    output, files = policy.lift_scripts(output, f"{base}{runtime.FOLDER.as_posix()}/")
    _Build.lifted |= files
    return output


def on_post_build(config: Any) -> None:
    """Lay the search's helper and the lifted scripts beside the packed files."""
    target = Path(config.site_dir) / runtime.FOLDER
    shutil.copyfile(SEARCH_SHIM, target / "iframe-worker.js")
    for name, script in _Build.lifted.items():
        (target / name).write_text(script, encoding="utf-8")
