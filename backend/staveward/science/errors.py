"""Errors of the science floor, and the checks that raise them.

Each error refines a built-in one and carries ``argument`` (the name of what was wrong), ``value`` (what
was given) and ``bound`` (what is allowed, in words), so that the edge can say all three to a person.
Nothing is ever clipped into range.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

# No figure of a cellar comes near this; beyond it products of figures would overflow.
LARGEST_NUMBER = 1e12


class ScienceError(Exception):
    """Is the parent of every refusal of the science floor.

    Source: common practice, no source.
    """

    def __init__(self, argument: str, value: Any, bound: str, message: str = "") -> None:
        self.argument = argument
        self.value = value
        self.bound = bound
        super().__init__(message or f"{argument} is {_shown(value)}; allowed: {bound}")


class OutOfRange(ScienceError, ValueError):
    """Occurs when a number is not finite, is not a number, or lies outside what the formula is valid for.

    Source: common practice, no source.
    """


class Inconsistent(ScienceError, ValueError):
    """Occurs when values that are each possible contradict one another, such as arrays of different length.

    Source: common practice, no source.
    """


class Underdetermined(ScienceError, ValueError):
    """Occurs when there is too little data to answer at all, such as an empty list of parts.

    Source: common practice, no source.
    """


class NoSolution(ScienceError, ArithmeticError):
    """Occurs when an equation has no root in the allowed range, such as a strength that water cannot reach.

    Source: common practice, no source.
    """


def _shown(value: Any) -> str:
    """Writes a value short enough for a sentence."""
    if isinstance(value, np.generic):
        value = value.item()
    text = f"{value:.6g}" if isinstance(value, float) else repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def in_words(low: float | None, high: float | None, unit: str, *, above_low: bool = False) -> str:
    """Writes a bound in words, such as ``0 to 100 % vol``.

    Parameters
    ----------
    low, high : float or None, scalar
        Lower and upper bound; None where there is none [same unit as the value].
    unit : str, scalar
        The unit to print; "" for a plain number [text].
    above_low : bool, scalar
        True when the lower bound itself is not allowed [1].

    Returns
    -------
    str, scalar
        The sentence part [text].

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> in_words(0, 100, "% vol")
    '0 to 100 % vol'
    >>> in_words(0, None, "L", above_low=True)
    'more than 0 L'
    """
    tail = f" {unit}" if unit else ""
    if low is not None and high is not None:
        between = "more than {0:g}, up to {1:g}" if above_low else "{0:g} to {1:g}"
        return between.format(low, high) + tail
    if low is not None:
        return f"{'more than' if above_low else 'at least'} {low:g}{tail}"
    if high is not None:
        return f"at most {high:g}{tail}"
    return f"a finite number{tail and ' in' + tail}"


def unwrap(numbers: ArrayLike) -> Array:
    """Gives an array as it is, and a single value as a plain number that prints and serialises as one.

    Parameters
    ----------
    numbers : float or array_like, any shape
        The result of a computation [any unit].

    Returns
    -------
    ndarray, same shape as numbers
        The same; a ``numpy.float64`` where there is one value [same unit].

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> isinstance(unwrap(np.asarray(1.5)), float)
    True
    """
    single: Array = np.asarray(numbers, dtype=np.float64)[()]
    return single


def require_numbers(
    argument: str,
    value: ArrayLike,
    low: float | None = None,
    high: float | None = None,
    unit: str = "",
    *,
    above_low: bool = False,
) -> Array:
    """Turns input into an array of doubles, refusing whatever is not finite or lies out of range.

    Parameters
    ----------
    argument : str, scalar
        Name of the argument, for the message [text].
    value : float or array_like, any shape
        The numbers to check [unit].
    low, high : float or None, scalar
        Bounds, both allowed unless ``above_low`` [unit].
    unit : str, scalar
        Unit for the message [text].
    above_low : bool, scalar
        True when the lower bound itself is not allowed [1].

    Returns
    -------
    ndarray, same shape as value
        The numbers as doubles [unit].

    Raises
    ------
    OutOfRange
        If a value is missing, is not a number, is not finite or is outside the bounds.
    Underdetermined
        If there is no value at all.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> require_number("abv_pct", 40, 0, 100, "% vol")
    40.0
    """
    bound = in_words(low, high, unit, above_low=above_low)
    if value is None or isinstance(value, (str, bytes, bool)):
        raise OutOfRange(argument, value, bound)
    try:
        numbers = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError):
        raise OutOfRange(argument, value, bound) from None
    if numbers.dtype == object or numbers.size == 0:
        raise Underdetermined(argument, value, "at least one value, " + bound)
    wrong = ~np.isfinite(numbers)
    if low is not None:
        with np.errstate(invalid="ignore"):
            wrong |= (numbers <= low) if above_low else (numbers < low)
    if high is not None:
        with np.errstate(invalid="ignore"):
            wrong |= numbers > high
    if wrong.any():
        raise OutOfRange(argument, float(numbers[wrong].flat[0]), bound)
    absurd = np.abs(numbers) > LARGEST_NUMBER
    if absurd.any():
        raise OutOfRange(
            argument, float(numbers[absurd].flat[0]), f"{bound}, and no more than {LARGEST_NUMBER:g}"
        )
    return numbers


def require_number(
    argument: str,
    value: ArrayLike,
    low: float | None = None,
    high: float | None = None,
    unit: str = "",
    *,
    above_low: bool = False,
) -> float:
    """Turns input into one number, refusing what ``require_numbers`` refuses and more than one value.

    Parameters
    ----------
    argument : str, scalar
        Name of the argument, for the message [text].
    value : float, scalar
        The number to check [unit].
    low, high : float or None, scalar
        Bounds, both allowed unless ``above_low`` [unit].
    unit : str, scalar
        Unit for the message [text].
    above_low : bool, scalar
        True when the lower bound itself is not allowed [1].

    Returns
    -------
    float, scalar
        The number [unit].

    Raises
    ------
    OutOfRange
        If the value is missing, is not a number, is not finite or is outside the bounds.
    Underdetermined
        If there is no value at all.
    Inconsistent
        If there is more than one.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> require_number("capacity_l", 5, 0.5, 350, "L")
    5.0
    """
    numbers = require_numbers(argument, value, low, high, unit, above_low=above_low)
    if numbers.size != 1:
        raise Inconsistent(
            argument, numbers.shape, "one number, " + in_words(low, high, unit, above_low=above_low)
        )
    return float(numbers.reshape(-1)[0])


def require_same_shape(**arguments: Array) -> tuple[int, ...]:
    """Checks that arrays broadcast together and gives the common shape.

    Parameters
    ----------
    **arguments : ndarray, any shapes
        The arrays by argument name [any unit].

    Returns
    -------
    tuple of int, shape (n_dimensions,)
        The common shape [count].

    Raises
    ------
    Inconsistent
        If the shapes do not broadcast; names the first argument that does not fit.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> require_same_shape(volume_l=np.zeros(3), abv_pct=np.zeros(()))
    (3,)
    """
    shape: tuple[int, ...] = ()
    for name, numbers in arguments.items():
        try:
            shape = np.broadcast_shapes(shape, numbers.shape)
        except ValueError:
            raise Inconsistent(name, numbers.shape, f"a shape that fits {shape}") from None
    return shape


def require_choice(argument: str, value: Any, allowed: Sequence[str]) -> str:
    """Checks that a word is one of a list and gives it back as plain text.

    Parameters
    ----------
    argument : str, scalar
        Name of the argument, for the message [text].
    value : str, scalar
        The word given [text].
    allowed : sequence of str, shape (n,)
        The words allowed [text].

    Returns
    -------
    str, scalar
        The word [text].

    Raises
    ------
    OutOfRange
        If the word is not in the list.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> require_choice("profile", "cones", ["cones", "cylinder"])
    'cones'
    """
    if not isinstance(value, str) or value not in allowed:
        raise OutOfRange(argument, value, "one of " + ", ".join(str(word) for word in allowed))
    return str(value)
