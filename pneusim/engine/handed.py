"""Compiled functions as arguments of compiled functions, at little cost.

numba looks a function's compilation up anew at every call that hands it over, which takes longer than many an advance.
A stand-in knows its type and address.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from numba import types as numba_types

types: Any = numba_types


class Handed(types.WrapperAddressProtocol):  # type: ignore[misc]
    """A compiled function of one signature, ready to be handed to another.

    Parameters
    ----------
    function : dispatcher
        Compiled for one signature; it must outlive the stand-in, which keeps it.
    """

    def __init__(self, function: Any) -> None:
        (self._signature,) = function.nopython_signatures
        compiled = function.get_compile_result(self._signature)
        self._function = function
        self._address = compiled.library.get_pointer_to_function(compiled.fndesc.llvm_cfunc_wrapper_name)
        self._numba_type_ = types.FunctionType(self._signature)

    def __wrapper_address__(self) -> int:
        """Address that numba calls."""
        return int(self._address)

    def signature(self) -> Any:
        """Signature of the function."""
        return self._signature


@cache
def handed(function: Any) -> Any:
    """The stand-in of a compiled function."""
    return Handed(function)
