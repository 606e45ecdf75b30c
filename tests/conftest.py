"""What holds for every test: none is skipped, and what was loaded before the first is not looked through again."""

from __future__ import annotations

import gc

import pytest

_not_run: list[str] = []
# What is made between two rounds of the collector. At its usual few hundred it takes a fifth of a test's time.
OBJECTS_BETWEEN_ROUNDS = 50_000


def pytest_collection_finish() -> None:
    """Spares the collector the code and the tests, which stay to the end; a server does the same at its start."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(OBJECTS_BETWEEN_ROUNDS, *gc.get_threshold()[1:])


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    if report.skipped:
        _not_run.append(report.nodeid)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    if report.skipped:
        _not_run.append(report.nodeid)


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """A test that did not run is a failure: what it needs must be installed, or it must go."""
    if _not_run and not hasattr(session.config, "workerinput"):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if _not_run:
        terminalreporter.section("tests that did not run, which counts as failed")
        for name in _not_run:
            terminalreporter.line(name)
