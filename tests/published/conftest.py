"""Collects what the published checks find, and writes it down when asked: --evidence FILE."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from calculators.catalogue import CATALOGUE
from dewglass.site.checks import Check
from dewglass.site.evidence import describe

ROOT = Path(__file__).resolve().parents[2]
CHECKS = pytest.StashKey[list[Check]]()
COMPARISONS = pytest.StashKey[list[dict[str, Any]]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--evidence", type=Path, help="write what the checks found to this JSON file")


def pytest_configure(config: pytest.Config) -> None:
    config.stash[CHECKS] = []
    config.stash[COMPARISONS] = []


@pytest.fixture(scope="session")
def record_row(pytestconfig: pytest.Config) -> Callable[[Check], None]:
    """Keep a row of a published table for the evidence, and hold it to what is allowed."""

    def record(check: Check) -> None:
        pytestconfig.stash[CHECKS].append(check)
        assert check.ok, check.sentence()

    return record


@pytest.fixture(scope="session")
def record_check(pytestconfig: pytest.Config) -> Callable[..., None]:
    """Keep a comparison with a reference library for the evidence, and hold it to its limit.

    ``worst`` is the largest difference over ``points`` points, ``allowed`` the reference's own
    uncertainty, both in ``unit``. ``tolerance_why`` says why, where it is looser.
    """

    def record(
        title: str,
        source: str,
        calculators: Sequence[str],
        function: str,
        unit: str,
        worst: float,
        allowed: float,
        points: int,
        how_known: str = "computed with the library named",
        tolerance_why: str = "",
    ) -> None:
        assert not isinstance(calculators, str), "calculators is a list of names"
        ok = bool(worst <= allowed)
        pytestconfig.stash[COMPARISONS].append(
            {
                "title": title,
                "source": source,
                "how_known": how_known,
                "calculators": list(calculators),
                "function": function,
                "unit": unit,
                "tolerance_why": tolerance_why,
                "worst": float(worst),
                "allowed": float(allowed),
                "points": int(points),
                "ok": ok,
            }
        )
        assert ok, f"{title}: off by {worst:.4g} {unit} from {source}; allowed {allowed:.4g}"

    return record


@pytest.fixture(scope="session")
def record_grid(record_check: Callable[..., None]) -> Callable[..., None]:
    """Compare ``function`` with ``reference`` at every one of ``points``, and record the worst.

    A point is what both are called with. In the unit “relative” a difference is a share of the
    reference. The other words are ``record_check``'s.
    """

    def record(
        function: Callable[..., Any],
        reference: Callable[..., Any],
        points: Sequence[Any],
        unit: str,
        **words: Any,
    ) -> None:
        def off(point: Any) -> float:
            arguments = point if isinstance(point, tuple) else (point,)
            ours, theirs = function(*arguments), reference(*arguments)
            return float(abs(ours / theirs - 1.0 if unit == "relative" else ours - theirs))

        record_check(
            function=f"{function.__module__}:{function.__name__}",
            unit=unit,
            worst=np.max([off(point) for point in points]),  # of which a NaN is the largest
            points=len(points),
            **words,
        )

    return record


def pytest_sessionfinish(session: pytest.Session) -> None:
    target: Path | None = session.config.getoption("--evidence", default=None)
    if target is not None:
        stash = session.config.stash
        evidence = describe(ROOT, stash[CHECKS], stash[COMPARISONS], CATALOGUE)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(json.dumps(evidence, indent=1, ensure_ascii=False), encoding="utf-8")
