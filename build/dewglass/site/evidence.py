"""The evidence: every check of a published number, and the page that shows them all.

In: evaluated rows of published tables, and the comparisons with reference libraries that the tests
in ``tests/published`` make. Out: one dictionary that JSON can hold, what is missing from it, and
the Markdown of the page "How these numbers are checked".
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from html import escape
from pathlib import Path
from typing import Any

from dewglass.site.checks import Check, Table, evaluate_all, read_tables

Evidence = dict[str, Any]


def describe(
    root: Path,
    checks: Sequence[Check],
    comparisons: Iterable[Mapping[str, Any]] | None,
    calculators: Iterable[Any],
) -> Evidence:
    """Return the evidence; ``comparisons`` is None where the reference libraries were not asked.

    ``calculators`` are the catalogue's entries.
    """
    tables: dict[str, list[Check]] = {}
    for check in checks:
        tables.setdefault(check.table.file, []).append(check)
    return {
        "made_from": fingerprint(root),
        "calculators": [
            {"name": each.name, "title": each.title, "practice_only": each.practice_only}
            for each in calculators
        ],
        "tables": [_table(rows[0].table, rows) for _, rows in sorted(tables.items())],
        "comparisons": None if comparisons is None else [dict(each) for each in comparisons],
    }


def _table(table: Table, checks: Sequence[Check]) -> dict[str, Any]:
    return {
        "file": table.file,
        "title": table.title,
        "source": table.source,
        "how_known": table.how_known,
        "calculators": list(table.calculators),
        "function": table.function,
        "unit": table.unit,
        "tolerance_why": table.tolerance_why,
        "rows": [
            {
                "arguments": {name: str(value) for name, value in check.row.arguments.items()},
                "expected": check.row.expected,
                "computed": None if check.error else check.computed,
                "deviation": None if check.error else check.deviation,
                "allowed": check.allowed,
                "ok": check.ok,
                "sentence": check.sentence(),
            }
            for check in checks
        ],
    }


def fingerprint(root: Path) -> str:
    """Return a digest of all that the evidence was made from."""
    digest = hashlib.sha256()
    for folder in ("calculators", "tests/tables", "tests/published"):
        for path in sorted((root / folder).rglob("*")):
            if path.suffix in (".py", ".toml", ".csv"):
                digest.update(path.relative_to(root).as_posix().encode() + path.read_bytes())
    return digest.hexdigest()


def for_build(root: Path, calculators: Iterable[Any]) -> Evidence:
    """Return the evidence to show: that of the last full run where it still holds.

    Otherwise the published rows, computed now; the page then says that the comparisons with
    reference libraries are missing.
    """
    kept = root / ".cache" / "evidence.json"
    if kept.exists():
        evidence: Evidence = json.loads(kept.read_text(encoding="utf-8"))
        if evidence["made_from"] == fingerprint(root):
            return evidence
    checks = evaluate_all(read_tables(root / "tests" / "tables"))
    return describe(root, checks, None, calculators)


def shortcomings(evidence: Evidence) -> list[str]:
    """Return a sentence for each reason not to publish on this evidence."""
    comparisons = evidence["comparisons"] or []
    found = [row["sentence"] for table in evidence["tables"] for row in table["rows"]
             if not row["ok"]]  # fmt: skip
    found += [
        f"{each['title']}: {each['function']} is off by up to {each['worst']:.3g} {each['unit']} "
        f"from {each['source']}; allowed {each['allowed']:.3g}"
        for each in comparisons
        if not each["ok"]
    ]
    known = {each["name"] for each in evidence["calculators"]}
    checked: dict[str, str] = {}
    for each in (*evidence["tables"], *comparisons):
        checked |= dict.fromkeys(each["calculators"], each["title"])
    found += [
        f"{title}: “{name}” is not a calculator of the catalogue"
        for name, title in sorted(checked.items())
        if name not in known
    ]
    found += [
        f"{each['name']}: no published check names this calculator, and it does not say why "
        "there is none (practice_only)"
        for each in evidence["calculators"]
        if each["name"] not in checked and not each["practice_only"]
    ]
    if not known:
        found.append("The catalogue holds no calculator")
    return found


# --- The page ----------------------------------------------------------------------------------


def evidence_page(evidence: Evidence) -> str:
    """Return the Markdown of the page "How these numbers are checked"."""
    comparisons = evidence["comparisons"]
    parts = ["# How these numbers are checked", "", *_opening(evidence)]
    shown: dict[str, str] = {}  # title of a check -> anchor of the place where it stands
    for calculator in evidence["calculators"]:
        parts += ["", f"## {calculator['title']}", ""]
        if calculator["practice_only"]:
            parts += [f"<p>{escape(calculator['practice_only'])}</p>", ""]
        again = []
        for check in (*evidence["tables"], *(comparisons or [])):
            if calculator["name"] not in check["calculators"]:
                continue
            if check["title"] in shown:
                again.append(f'<a href="#{shown[check["title"]]}">{escape(check["title"])}</a>')
                continue
            anchor = "check-" + re.sub(r"[^a-z0-9]+", "-", check["title"].lower()).strip("-")
            shown[check["title"]] = anchor
            parts += [f"### {_plain(check['title'])} {{ #{anchor} }}", "", *_check(check), ""]
        if again:
            parts += [f"<p>It also rests on: {'; '.join(again)}.</p>", ""]
    return "\n".join(parts) + "\n"


def _plain(text: str) -> str:
    """Return ``text`` for a Markdown heading: no mark in it means anything."""
    return re.sub(r"([\\`*_{}\[\]<>#|])", r"\\\1", text)


def _opening(evidence: Evidence) -> list[str]:
    rows = [row for table in evidence["tables"] for row in table["rows"]]
    passed = sum(row["ok"] for row in rows)
    lines = [
        "Every calculator here is held against numbers that other people published. This page is "
        "written each time the guide is built, from the checks themselves. A guide in which one of "
        "them fails cannot be published.",
        "",
        f"**{passed} of {len(rows)}** printed values from **{len(evidence['tables'])}** published "
        "tables are met.",
    ]
    comparisons = evidence["comparisons"]
    if comparisons is None:
        lines.append(
            "The comparisons with reference libraries were not run for this preview; publishing "
            "runs them."
        )
    elif comparisons:
        points = sum(each["points"] for each in comparisons)
        good = sum(each["ok"] for each in comparisons)
        lines.append(
            f"**{good} of {len(comparisons)}** comparisons with reference libraries hold, over "
            f"{points:,} points."
        )
    lines += [
        "",
        "Unless a check says otherwise, ours may differ from the printed value by half of its last "
        "printed digit, no more. Inputs stand in the units the calculators use inside: °C, Pa, kg, "
        "m, s, W, and shares from 0 to 1.",
        "",
        "Some of what the guide advises is common practice with no published number behind it. "
        "There it says so.",
    ]
    return lines


def _check(check: Mapping[str, Any]) -> list[str]:
    lines = [
        f"<p>{escape(check['source'])} <em>({escape(check['how_known'])})</em>, held against "
        f"<code>{escape(check['function'])}</code></p>"
    ]
    if check.get("tolerance_why"):
        lines.append(f"<p>Why this much may differ: {escape(check['tolerance_why'])}</p>")
    if "rows" not in check:
        unit = escape(check["unit"])
        return [
            *lines,
            f"<p>Largest difference over {check['points']:,} points: {short(check['worst'])} "
            f"{unit}, {_verdict(check)} {unit}</p>",
        ]
    rows = check["rows"]
    good = sum(row["ok"] for row in rows)
    unit = f", {escape(check['unit'])}" if check["unit"] else ""
    return [
        *lines,
        "<details>" if good == len(rows) else "<details open>",
        f"<summary>{good} of {len(rows)} printed values met</summary>",
        '<table class="dg-columns">',
        f"<thead><tr><th>For</th><th>Printed{unit}<br>Ours</th><th>Result</th></tr></thead>",
        "<tbody>",
        *map(_row, rows),
        "</tbody>",
        "</table>",
        "</details>",
    ]


def _row(row: Mapping[str, Any]) -> str:
    given = "<br>".join(
        f"{escape(name.replace('_', ' '))} {escape(value)}"
        for name, value in row["arguments"].items()
    )
    ours = "no answer" if row["computed"] is None else figures(row["expected"], row["computed"])
    return (
        f"<tr><td>{given}</td><td>{_powers(row['expected'])}<br>{_powers(ours)}</td>"
        f"<td>{_verdict(row)}</td></tr>"
    )


def _verdict(check: Mapping[str, Any]) -> str:
    words = "within" if check["ok"] else "<strong>NOT within</strong>"
    return f"{words} ± {short(check['allowed'])}"


def short(value: float) -> str:
    """Return ``value`` with two figures, for a page."""
    return _powers(f"{value:.2g}")


def _powers(text: str) -> str:
    """Return ``4.6e-07`` as a reader knows it, with a raised power of ten."""
    if match := re.fullmatch(r"(-?[\d.]+)[eE]([-+]?\d+)", text):
        return f"{match[1]} × 10<sup>{int(match[2])}</sup>"
    return escape(text)


def figures(expected: str, value: float) -> str:
    """Return ``value`` written like ``expected``, with one digit more than was printed.

    ``figures("3169.7", 3169.7468)`` is ``"3169.75"``, ``figures("2441.68e3", 2441683.0)`` is
    ``"2441.683e3"``.
    """
    mantissa, _, power = expected.lower().partition("e")
    exponent = Decimal(mantissa).as_tuple().exponent
    assert isinstance(exponent, int)  # a table's reader lets no infinity or NaN through
    scaled = Decimal(value).scaleb(-int(power or 0))
    return f"{scaled:.{max(0, 1 - exponent)}f}" + (f"e{power}" if power else "")
