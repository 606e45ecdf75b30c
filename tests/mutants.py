"""`make mutants`: small faults put into the science one by one; whatever no test notices has survived.

    python -m tests.mutants            the seeded sample, within its time
    python -m tests.mutants holding    the sample's mutants of some rooms only

Cosmic Ray's operators make the faults. Each is tried in a copy of the tree against its own room's tests: the room's
doctests, then every test file that imports it. What changes nothing that runs (an annotation) is not counted.
"""

from __future__ import annotations

import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import Queue
from typing import NamedTuple

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

ROOT = Path(__file__).resolve().parents[1]
SCIENCE = Path("backend/staveward/science")
SEED = 20310503
SAMPLE = int(os.environ.get("MUTANTS", "160"))
TIME_LIMIT_S = 60.0 * float(os.environ.get("MUTANTS_MINUTES", "19"))
ONE_LIMIT_S = 120.0
COPIED = ("backend", "docs", "fixtures", "tests", "pyproject.toml")
# Long simulations hold the whole, not one line of it.
QUICK = ("-m", "not slow")
# What the web app keeps of the science is no part of the copy.
PHONE_LEFT_OUT = "--ignore=tests/science/test_phone.py"
# Bits and shifts do not occur in the science but for unions of flags and of types, and identity only against None;
# variables and decorators are replaced by names that are not there, which any import notices.
LEFT_OUT = re.compile(r"Shift|Bit|_Is(Not)?$|Is(Not)?_|Variable|RemoveDecorator|ExceptionReplacer")
# Words and their tables are held by whole-file sums and by the types.
ROOMS_LEFT_OUT = {"__init__", "vocabulary"}
# Steps under the floor boards, and rooms behind a door, are tested through the room that shows them.
TESTED_THROUGH = {
    "density_formula": "alcoholometry",
    "known_course": "ageing",
    "sulphite": "holding",
    "vapour": "evaporation",
    "barrel_curve": "geometry",
    "barrel_measures": "geometry",
    "mass_balance": "ageing",
    "courses": "ageing",
    "calibration": "ageing",
    "barrel_readings": "ageing",
    "node_courses": "ageing",
    "guards": "blending",
    "carry_over": "wood",
    "oak": "wood",
    "soaking": "wood",
    "peak_mixture": "liking",
    "season_model": "season",
}


class Mutant(NamedTuple):
    """One fault: the room, the operator, which of its places, the line, and the whole text with the fault in it."""

    room: str
    operator: str
    occurrence: int
    line: int
    text: str


def bare(code: str) -> str:
    """Gives what runs of a module: its tree without annotations and docstrings; nothing where it cannot run at all."""
    try:
        tree = ast.parse(code)
    except SyntaxError:
        return ""
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            node.returns = None
        if isinstance(node, ast.arg):
            node.annotation = None
        if isinstance(node, ast.AnnAssign):
            node.annotation = ast.Constant(None)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            node.value = ast.Constant(None)
    return ast.dump(tree)


def sites() -> list[tuple[str, str, int]]:
    """Gives every place where an operator applies: room, operator, occurrence."""
    operators = [name for name in sorted(operator_names()) if not LEFT_OUT.search(name)]
    found = []
    for path in sorted((ROOT / SCIENCE).glob("*.py")):
        if path.stem in ROOMS_LEFT_OUT:
            continue
        nodes = list(ast_nodes(get_ast(path.read_text(encoding="utf-8"))))
        for name in operators:
            operator = get_operator(name)()
            count = sum(len(list(operator.mutation_positions(node))) for node in nodes)
            found += [(path.stem, name, occurrence) for occurrence in range(count)]
    return found


def sample() -> Iterator[Mutant]:
    """Gives the mutants of the sample, each of which changes something that runs."""
    places = sites()
    random.Random(SEED).shuffle(places)
    print(f"{len(places):,} places; {SAMPLE} of them, seed {SEED}", flush=True)
    given = 0
    for room, name, occurrence in places:
        original = (ROOT / SCIENCE / f"{room}.py").read_text(encoding="utf-8")
        text = mutate_code(original, get_operator(name)(), occurrence)
        if text is None or bare(text) in ("", bare(original)):
            continue
        pairs = zip(original.splitlines(), text.splitlines(), strict=False)
        line = next((number for number, (old, new) in enumerate(pairs, 1) if old != new), 0)
        yield Mutant(room, name.removeprefix("core/"), occurrence, line, text)
        given += 1
        if given == SAMPLE:
            return


def own_tests(folder: Path, room: str) -> list[str]:
    """Gives the doctests, page and bounds of a room, and the test files that import it or its door."""
    rooms = {room, TESTED_THROUGH.get(room, room)}
    files = []
    for path in (folder / "tests" / "science").glob("test_*.py"):
        text = path.read_text(encoding="utf-8")
        heads = re.findall(r"from staveward\.science(?:\.(\w+))? import (\([^)]*\)|.*)", text)
        named = {module for module, _ in heads} | {
            word for _, names in heads for word in re.findall(r"\w+", names)
        }
        if rooms & named:
            files.append(path)
    # The short files first: most faults are noticed there.
    files.sort(key=lambda path: path.stat().st_size)
    page = "tests/science/test_pages.py::test_its_numbers_are_worked_out_again"
    pages = [
        f"{page}[{one}]" for one in sorted(rooms) if (folder / "docs" / "science" / f"{one}.md").exists()
    ]
    bounds = folder / "tests" / "science" / "test_all_refuse.py"
    if bounds not in files:
        files.append(bounds)
    doctests = [str(SCIENCE / f"{one}.py") for one in sorted(rooms)]
    return [*doctests, *pages, *(str(path.relative_to(folder)) for path in files)]


def is_noticed(folder: Path, tests: list[str], limit_s: float = ONE_LIMIT_S) -> bool:
    """Says whether tests fail in a folder; a fault that never ends is noticed too."""
    command = [sys.executable, "-m", "pytest", "-x", "-q", "--doctest-modules", "-p", "no:cacheprovider"]
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "OMP_NUM_THREADS": "1"}
    try:
        done = subprocess.run(
            [*command, "--hypothesis-seed=0", *QUICK, *tests],
            cwd=folder,
            env=environment,
            capture_output=True,
            timeout=limit_s,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return True
    # 1: a test failed; 2: the room could not even be imported. Anything else is no answer about the fault.
    if done.returncode not in (0, 1, 2):
        raise RuntimeError(done.stdout.decode()[-2000:] + done.stderr.decode()[-2000:])
    return done.returncode != 0


def main(rooms: set[str]) -> int:
    """Tries the sample and prints what survived."""
    began = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="staveward-mutants-") as top:
        workers = min(os.cpu_count() or 1, 4)
        free: Queue[Path] = Queue()
        for number in range(workers):
            folder = Path(top) / str(number)
            folder.mkdir()
            for name in COPIED:
                source = ROOT / name
                if source.is_dir():
                    shutil.copytree(
                        source, folder / name, ignore=shutil.ignore_patterns("node_modules", "__pycache__")
                    )
                else:
                    shutil.copy2(source, folder / name)
            free.put(folder)

        def tried(mutant: Mutant) -> tuple[Mutant, bool | None]:
            if time.monotonic() - began > TIME_LIMIT_S:
                return mutant, None
            folder = free.get()
            target = folder / SCIENCE / f"{mutant.room}.py"
            original = target.read_text(encoding="utf-8")
            target.write_text(mutant.text, encoding="utf-8")
            try:
                return mutant, is_noticed(folder, own_tests(folder, mutant.room), patience_s)
            finally:
                target.write_text(original, encoding="utf-8")
                free.put(folder)

        # A busy machine must not pass for a fault that never ends: no mutant is given less than all tests took.
        patience_s = ONE_LIMIT_S
        mutants = [mutant for mutant in sample() if not rooms or mutant.room in rooms]
        tested = time.monotonic()
        if is_noticed(Path(top) / "0", [str(SCIENCE), "tests/science", PHONE_LEFT_OUT], limit_s=1200.0):
            print("The tests of the science fail without any fault; mend that first.")
            return 1
        patience_s = max(ONE_LIMIT_S, 1.5 * (time.monotonic() - tested))
        outcome: Counter[str] = Counter()
        with ThreadPoolExecutor(workers) as pool:
            for mutant, noticed in pool.map(tried, mutants):
                word = "not tried" if noticed is None else "noticed" if noticed else "survived"
                outcome[word] += 1
                if word == "survived":
                    print(f"survived: {mutant.room}.py:{mutant.line} {mutant.operator} {mutant.occurrence}")
                    print("    " + mutant.text.splitlines()[mutant.line - 1].strip(), flush=True)
    counted = outcome["noticed"] + outcome["survived"]
    share = 100.0 * outcome["survived"] / max(counted, 1)
    minutes = (time.monotonic() - began) / 60.0
    print(f"{outcome['survived']} of {counted} survived, {share:.1f} % (aim: under 10), in {minutes:.0f} min")
    print(dict(outcome))
    return 0


if __name__ == "__main__":
    sys.exit(main(set(sys.argv[1:])))
