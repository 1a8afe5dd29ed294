"""Where parts meet the engine: compile a circuit for a scenario, and run it."""

from pneusim.simulate.compiled import Compiled, compile_circuit
from pneusim.simulate.runner import run
from pneusim.simulate.stepper import Stepper


def warmup() -> None:
    """Compile the engine for this installation (some seconds, once)."""
    from pneusim.engine.kernel import load

    load()


def needs_warmup() -> bool:
    """Whether the engine must be compiled first."""
    from pneusim.engine.kernel import is_compiled

    return not is_compiled()


__all__ = ["Compiled", "Stepper", "compile_circuit", "needs_warmup", "run", "warmup"]
