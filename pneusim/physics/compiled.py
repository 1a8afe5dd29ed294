"""The one decorator of all laws: compiled by numba, yet typed and documented as written."""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

Law = TypeVar("Law", bound=Callable[..., Any])


def law(function: Law) -> Law:
    """Compile a scalar law; division by zero gives inf or nan instead of raising (`error_model="numpy"`).

    numba's own cache is not used: it does not notice edits in the laws a law calls.
    """
    return cast(Law, njit(error_model="numpy")(function))
