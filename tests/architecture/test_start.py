"""What can stand in the way of ``make run`` is said in one plain sentence."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path

from tests.architecture.house import ROOT


def preflight(*arguments: str, **environment: str) -> tuple[int, str]:
    done = subprocess.run(
        [sys.executable, "backend/preflight.py", *arguments],
        cwd=ROOT,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stderr


def test_a_free_port_and_a_writable_folder_pass(tmp_path: Path):
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]

    assert preflight("start", PORT=str(port), DATA_DIR=str(tmp_path / "data")) == (0, "")


def test_a_taken_port_is_one_sentence(tmp_path: Path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]

        code, said = preflight("start", PORT=str(port), DATA_DIR=str(tmp_path))

    assert code == 1
    assert (
        said
        == f"Port {port} is taken by another program: stop it, or choose another: make run PORT={port + 1}.\n"
    )


def test_a_port_that_is_no_number_is_one_sentence(tmp_path: Path):
    assert preflight("start", PORT="eight", DATA_DIR=str(tmp_path)) == (
        1,
        "PORT must be a number from 1 to 65535, not 'eight'.\n",
    )


def test_a_data_folder_that_cannot_be_is_one_sentence(tmp_path: Path):
    (tmp_path / "file").write_text("")

    code, said = preflight("start", PORT="58231", DATA_DIR=str(tmp_path / "file" / "data"))

    assert code == 1
    assert said.startswith("The data folder ")
    assert said.count("\n") == 1


def failing(words: str) -> tuple[str, ...]:
    return (
        "do",
        "Installing",
        "--",
        sys.executable,
        "-c",
        f"import sys; sys.stderr.write({words!r}); sys.exit(1)",
    )


def test_a_full_disk_is_one_sentence():
    code, said = preflight(*failing("OSError: [Errno 28] No space left on device"))

    assert code == 1
    assert said.splitlines()[-1] == "Installing failed. The disk is full: free some space and start again."


def test_a_missing_compiler_is_one_sentence():
    code, said = preflight(*failing("error: command 'gcc' failed: No such file or directory: 'gcc'"))

    assert code == 1
    assert "a C compiler is missing" in said.splitlines()[-1]


def test_an_unknown_failure_shows_everything():
    code, said = preflight(*failing("the moon was in the wrong quarter"))

    assert code == 1
    assert "the moon was in the wrong quarter" in said
    assert said.endswith("Installing failed; the lines above say why.\n")


def test_a_step_that_works_is_quiet():
    assert preflight("do", "Looking", "--", sys.executable, "-c", "print('noise')") == (0, "")
