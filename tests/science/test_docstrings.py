"""Every public function of the science says what goes in and out, in which shape and unit, what it refuses and
where it comes from. Style of this project after numpydoc."""

from __future__ import annotations

import ast
import inspect
import re
from functools import cached_property
from importlib import import_module
from pathlib import Path
from types import FunctionType

import pytest

import staveward.science
from staveward.science import errors

FOLDER = Path(staveward.science.__file__).parent
MODULES = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem != "__init__")
# Under the floor boards: steps of rooms with doors, which check and document for them.
INNER = {
    "barrel_curve",
    "barrel_readings",
    "courses",
    "density_formula",
    "mass_balance",
    "node_courses",
    "peak_mixture",
    "season_model",
}
SECTIONS = ("Parameters", "Returns", "Raises", "Notes", "Source", "Examples")
REFUSALS = {"OutOfRange", "Inconsistent", "Underdetermined", "NoSolution", "ValueError"}


def public_functions() -> list[tuple[str, FunctionType]]:
    """Functions and methods that a room defines itself and does not hide."""
    found = []
    for name in MODULES:
        if name in INNER:
            continue
        module = import_module(f"staveward.science.{name}")
        for member, value in vars(module).items():
            value = inspect.unwrap(value) if callable(value) else value
            if member.startswith("_") or getattr(value, "__module__", "") != module.__name__:
                continue
            if inspect.isfunction(value):
                found.append((f"{name}.{member}", value))
            elif inspect.isclass(value):
                found += [
                    (f"{name}.{member}.{method}", function)
                    for method, function in vars(value).items()
                    if not method.startswith("_")
                    for function in [function.__func__ if isinstance(function, classmethod) else function]
                    if inspect.isfunction(function) and "\n" in (function.__doc__ or "")
                ]
    return found


FUNCTIONS = public_functions()


def sections_of(function: FunctionType) -> tuple[str, dict[str, str]]:
    """Splits a docstring into its first paragraph and its sections by name."""
    text = inspect.getdoc(function) or ""
    pieces = re.split(rf"^({'|'.join(SECTIONS)})\n-+\n", text, flags=re.M)
    return pieces[0].strip(), dict(zip(pieces[1::2], pieces[2::2], strict=True))


def entries_of(section: str) -> list[tuple[str, str]]:
    """Splits a section into entries: what stands at the margin and what is told below it."""
    entries: list[tuple[str, str]] = []
    for line in section.rstrip().splitlines():
        if line and not line.startswith(" "):
            entries.append((line, ""))
        elif entries:
            head, told = entries[-1]
            entries[-1] = (head, f"{told} {line.strip()}".strip())
    return entries


def test_it_found_the_functions():
    """The walk reaches every room; a count that falls means a room went missing."""
    assert len(FUNCTIONS) >= 90
    assert {name.split(".")[0] for name, _ in FUNCTIONS} >= {
        "ageing",
        "alcoholometry",
        "blending",
        "bottles",
        "calibration",
        "carry_over",
        "curing",
        "evaporation",
        "gauging",
        "geometry",
        "guards",
        "holding",
        "oak",
        "sharing",
        "soaking",
        "wood",
    }


@pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_it_begins_with_one_line_that_says_what_it_does(name: str, function: FunctionType):
    """A verb in the third person and a full stop or a formula's end."""
    first = sections_of(function)[0].splitlines()[0]

    assert re.match(r"[A-Z][a-z]+s\b", first), first
    assert first.endswith("."), first


@pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_it_tells_each_argument_with_shape_and_unit(name: str, function: FunctionType):
    """Names are those of the signature, none left out; every entry has a shape and a unit in brackets."""
    entries = entries_of(sections_of(function)[1].get("Parameters", ""))
    told = [part.strip().lstrip("*") for head, _ in entries for part in head.split(" : ")[0].split(",")]
    taken = [
        argument for argument in inspect.signature(function).parameters if argument not in {"self", "cls"}
    ]

    assert told == taken
    for head, text in entries:
        assert " : " in head, head
        kind = head.split(" : ", 1)[1]
        assert "scalar" in kind or "shape" in kind, head
        assert re.search(r"\[[^\]]+\]", text), head


@pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_it_tells_what_comes_back_with_shape_and_unit(name: str, function: FunctionType):
    """One entry or more under Returns, each with shape and unit."""
    entries = entries_of(sections_of(function)[1].get("Returns", ""))

    assert entries
    for head, text in entries:
        assert "scalar" in head or "shape" in head, head
        assert re.search(r"\[[^\]]+\]", text), head


@pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_it_names_only_refusals_that_exist(name: str, function: FunctionType):
    """Each error under Raises is one of ours, and what the function itself raises is told."""
    told = {head for head, _ in entries_of(sections_of(function)[1].get("Raises", ""))}
    tree = ast.parse(inspect.cleandoc("\n" + inspect.getsource(function)))
    raised = {
        node.exc.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Raise)
        and isinstance(node.exc, ast.Call)
        and isinstance(node.exc.func, ast.Name)
    }

    assert told <= REFUSALS
    assert raised <= told
    assert all(hasattr(errors, word) for word in told - {"ValueError"})


@pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_it_names_its_source_and_works_an_example(name: str, function: FunctionType):
    """A source, or the words that say there is none; the example is run as a doctest elsewhere."""
    sections = sections_of(function)[1]

    assert len(sections.get("Source", "").strip()) > 10
    assert ">>>" in sections.get("Examples", "")


@pytest.mark.parametrize("name", MODULES)
def test_every_room_and_every_class_says_what_it_is(name: str):
    """Modules, classes, properties and inner steps carry at least a sentence."""
    module = import_module(f"staveward.science.{name}")

    assert module.__doc__
    for member, value in vars(module).items():
        if member.startswith("_") or getattr(value, "__module__", "") != module.__name__:
            continue
        assert inspect.getdoc(value), f"{name}.{member}"
        if inspect.isclass(value):
            for attribute, inner in vars(value).items():
                if isinstance(inner, (property, cached_property)) and not attribute.startswith("_"):
                    assert inspect.getdoc(inner), f"{name}.{member}.{attribute}"


@pytest.mark.parametrize("name", MODULES)
def test_no_room_needs_scipy_to_be_entered(name: str):
    """scipy takes four tenths of a second to load, so it is loaded where it is used."""
    tree = ast.parse((FOLDER / f"{name}.py").read_text(encoding="utf-8"))
    at_top = [node for node in tree.body if isinstance(node, (ast.Import, ast.ImportFrom))]

    for node in at_top:
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else [node.module or ""]
        assert not any(one.split(".")[0] == "scipy" for one in names)


@pytest.mark.parametrize("name", MODULES)
def test_no_room_is_larger_than_one_reads(name: str):
    """At most 600 lines."""
    assert len((FOLDER / f"{name}.py").read_text(encoding="utf-8").splitlines()) <= 600
