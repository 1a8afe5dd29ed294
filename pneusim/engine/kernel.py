"""Writes and loads the kernel: the compiled functions that evaluate any tape.

The source is assembled from the registered families, one loop per family that calls its law by name, and written
to the user's cache folder under the hash of every law it uses, of the template and of the versions.  numba's own
cache does not notice edits in callees; a changed law therefore makes a new module instead.
"""

from __future__ import annotations

import hashlib
import importlib.util
import inspect
import sys
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version
from pathlib import Path
from types import ModuleType
from typing import Any

from pneusim.cache import cache_folder, write_whole
from pneusim.engine.families import FAMILIES
from pneusim.engine.families.family import Family
from pneusim.engine.tape import HEADER, SLOT

TEMPLATE = '''"""Generated; do not edit."""
from numba import njit
from numpy import uint64 as at  # an unsigned index spares the test for counting from the end
from pneusim.engine.families import FAMILIES
from pneusim.engine.kernel import JAC_TYPE, OBS_TYPE, RHS_TYPE, law_of

{bindings}

OPTIONS = dict(error_model="numpy", nogil=True)

{differences}

@njit(**OPTIONS)
def evaluate(t, y, I, F, v):
    n = I[{states}]
    scale = I[{F_scale}]
    for i in range(n):
        v[i] = y[i] * F[scale + i]
    k = n
    f = I[{F_inputs}]
    for i in range(I[{inputs}]):
        v[k] = F[f] + F[f + 1] * (t - F[f + 2])
        k += 1
        f += 3
    f = I[{F_settings}]
    for i in range(I[{settings}]):
        v[k] = F[f + i]
        k += 1
    b = I[{I_batches}]
    for batch in range(I[{batches}]):
        family = I[b]
        count = I[b + 1]
        s = I[{I_sources}] + I[b + 2]
        f = I[{F_fields}] + I[b + 3]
        k = I[b + 4]
        b += 5
{evaluations}

@njit(OBS_TYPE, cache=True, **OPTIONS)
def observe(t, y, I, F, v):
    evaluate(t, y, I, F, v)


@njit(**OPTIONS)
def sum_rates(dy, I, F, v):
    for i in range(I[{states}]):
        dy[i] = 0.0
    a = I[{I_rates}]
    f = I[{F_rates}]
    for k in range(I[{rates}]):
        row = I[a]
        if row < 0:
            row = -1 - row
        dy[at(row)] += F[at(f + k)] * v[at(I[at(a + 1)])]
        a += 2


@njit(RHS_TYPE, cache=True, **OPTIONS)
def rates(t, y, dy, I, F, v):
    evaluate(t, y, I, F, v)
    sum_rates(dy, I, F, v)


@njit(JAC_TYPE, cache=True, **OPTIONS)
def jacobian(t, y, dy, jv, I, F, v, g):
    n = I[{states}]
    scale = I[{F_scale}]
    G = I[{I_gradient}]
    for i in range(I[{gradient_size}]):
        g[i] = 0.0
    for i in range(n):
        v[i] = y[i] * F[scale + i]
        g[I[G + i]] = F[scale + i]
    k = n
    f = I[{F_inputs}]
    for i in range(I[{inputs}]):
        v[k] = F[f] + F[f + 1] * (t - F[f + 2])
        g[I[G + k]] = F[f + 1]
        k += 1
        f += 3
    f = I[{F_settings}]
    for i in range(I[{settings}]):
        v[k] = F[f + i]
        k += 1
    m = I[{I_contract}]
    term = I[{I_terms}]
    partials = I[{gradient_size}]
    b = I[{I_batches}]
    for batch in range(I[{batches}]):
        family = I[b]
        count = I[b + 1]
        s = I[{I_sources}] + I[b + 2]
        f = I[{F_fields}] + I[b + 3]
        k = I[b + 4]
        b += 5
        for e in range(count):
{gradients}
            # Chain rule: the gradient of an output = sum of partial derivative x gradient of the input.
            partial = partials
            for o in range(outputs):
                first = I[at(G + k)]
                k += 1
                terms = I[at(term)]
                term += 1
                for i in range(terms):
                    source = I[at(term + i)]
                    low = I[at(G + source)]
                    high = I[at(G + source + 1)]
                    d = g[at(partial)]
                    partial += 1
                    if d != 0.0:
                        for j in range(low, high):
                            g[at(first + I[at(m)])] += d * g[at(j)]
                            m += 1
                    else:
                        m += high - low
                term += terms
    sum_rates(dy, I, F, v)
    for i in range(I[{lu_size}] + n):
        jv[i] = 0.0
    a = I[{I_rates}]
    f = I[{F_rates}]
    m = I[{I_scatter}]
    for r in range(I[{rates}]):
        if I[a] >= 0:
            first = I[G + I[a + 1]]
            last = I[G + I[a + 1] + 1]
            c = F[f + r]
            if c != 0.0:
                for j in range(first, last):
                    jv[at(I[at(m)])] -= c * g[at(j)]
                    m += 1
            else:
                m += last - first
        a += 2
    a = I[{I_closures}]
    f = I[{F_closures}]
    for r in range(I[{closures}]):
        jv[at(I[at(a)])] -= F[at(f + r)] * jv[at(I[at(a + 1)])]
        a += 2
'''


def _types() -> tuple[Any, Any, Any]:
    from pneusim.engine.rosenbrock import JAC_TYPE, OBS_TYPE, RHS_TYPE

    return RHS_TYPE, JAC_TYPE, OBS_TYPE


RHS_TYPE, JAC_TYPE, OBS_TYPE = _types()


@dataclass(frozen=True)
class Kernel:
    """The compiled functions: ``rates``, ``jacobian`` (with the rates), ``observe`` (fills the values)."""

    rates: Callable[..., None]
    jacobian: Callable[..., None]
    observe: Callable[..., None]


def law_of(name: str, derivative: bool = False) -> Callable[..., Any]:
    """The law (or analytic gradient) of a registered family."""
    family = next(family for family in FAMILIES if family.name == name)
    law = family.gradient if derivative else family.law
    assert law is not None
    return law


def _arguments(family: Family) -> list[str]:
    reads = [f"v[at(I[at(s + {k})])]" for k in range(len(family.inputs))]
    return reads + [f"F[at(f + {k})]" for k in range(len(family.fields))]


def _evaluation(rank: int, family: Family) -> list[str]:
    outs = [f"v[k + {k}]" for k in range(len(family.outputs))]
    return [
        f"{'if' if rank == 0 else 'elif'} family == {rank}:  # {family.name}",
        "    for e in range(count):",
        f"        {', '.join(outs)} = law_{family.name}({', '.join(_arguments(family))})",
        f"        s += {len(family.inputs)}; f += {len(family.fields)}; k += {len(family.outputs)}",
    ]


def _gradient(rank: int, family: Family) -> list[str]:
    """Evaluate an element and leave its partial derivatives, output by output, behind the gradients."""
    outs = [f"v[k + {k}]" for k in range(len(family.outputs))]
    count = sum(len(family.inputs_of(output)) for output in family.outputs)
    targets = outs + [f"g[partials + {k}]" for k in range(count)]
    return [
        f"{'if' if rank == 0 else 'elif'} family == {rank}:  # {family.name}",
        f"    {', '.join(targets)} = grad_{family.name}({', '.join(_arguments(family))})",
        f"    s += {len(family.inputs)}; f += {len(family.fields)}; outputs = {len(family.outputs)}",
    ]


def _difference(family: Family) -> str:
    """Gradient by differences inside the element, for a family without analytic derivatives."""
    reads = [f"x{k}" for k in range(len(family.inputs))]
    fields = [f"f{k}" for k in range(len(family.fields))]
    outputs = range(len(family.outputs))
    used = sorted({i for output in family.outputs for i in family.inputs_of(output)})
    names = [f"d{o}_{i}" for o, output in enumerate(family.outputs) for i in family.inputs_of(output)]
    lines = [
        "@njit(**OPTIONS)",
        f"def grad_{family.name}({', '.join(reads + fields)}):",
        f"    {' = '.join([f'y{o}' for o in outputs] + names)} = 0.0",
        # One call in a loop, not one per input: the compiler inlines the law at every call.
        f"    for move in range({len(used) + 1}):",
    ]
    for move, i in enumerate(used, start=1):
        step = 1e-8 * tuple(family.inputs.values())[i]
        lines.append(f"        h{i} = x{i} + {step!r} if move == {move} else x{i}")
    moved = [f"h{i}" if i in used else f"x{i}" for i in range(len(reads))]
    lines += [
        f"        {', '.join(f'm{o}' for o in outputs)} = law_{family.name}({', '.join(moved + fields)})",
        "        if move == 0:",
        *[f"            y{o} = m{o}" for o in outputs],
    ]
    for move, i in enumerate(used, start=1):
        lines.append(f"        elif move == {move}:")
        for o, output in enumerate(family.outputs):
            if i in family.inputs_of(output):
                lines.append(f"            d{o}_{i} = (m{o} - y{o}) / (h{i} - x{i})")
    results = [f"y{o}" for o in outputs] + names
    return "\n".join([*lines, f"    return {', '.join(results)}", ""])


def source() -> str:
    """Source text of the kernel for the registered families."""
    bindings = [f'law_{f.name} = law_of("{f.name}")' for f in FAMILIES]
    bindings += [f'grad_{f.name} = law_of("{f.name}", derivative=True)' for f in FAMILIES if f.gradient]
    differences = [_difference(family) for family in FAMILIES if family.gradient is None]
    evaluations = [line for rank, family in enumerate(FAMILIES) for line in _evaluation(rank, family)]
    # The chain rule that follows in the template advances k.
    gradients = [line for rank, family in enumerate(FAMILIES) for line in _gradient(rank, family)]
    return TEMPLATE.format(
        bindings="\n".join(bindings),
        differences="\n\n".join(differences),
        evaluations="\n".join(" " * 8 + line for line in evaluations),
        gradients="\n".join(" " * 12 + line for line in gradients),
        **{name: SLOT[name] for name in HEADER},
    )


def _fingerprint(text: str) -> str:
    """Hash of the kernel's source, of the modules that hold its laws, and of the versions."""
    digest = hashlib.sha256(text.encode())
    folder = Path(__file__).parent
    for path in sorted([*(folder / "families").glob("*.py"), *(folder.parent / "physics").glob("*.py")]):
        digest.update(path.read_bytes())
    for package in ("numba", "numpy"):
        digest.update(version(package).encode())
    digest.update(sys.version.encode())
    return digest.hexdigest()[:16]


def _import(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module
    spec.loader.exec_module(module)
    return module


def kernel_path() -> Path:
    """File of the kernel for today's laws; written if it is not there yet."""
    text = source()
    path = cache_folder() / f"kernel_{_fingerprint(text + inspect.getsource(sys.modules[__name__]))}.py"
    if not path.exists():
        write_whole(path, text.encode("utf-8"))
    return path


def is_compiled() -> bool:
    """Whether the kernel for today's laws has been compiled on this machine before."""
    path = kernel_path()
    return any((path.parent / "__pycache__").glob(f"{path.stem}.*.nbc"))


@cache
def load() -> Kernel:
    """Load the kernel, compiling it first if its laws have changed (some seconds, once)."""
    module = _import(kernel_path())
    return Kernel(module.rates, module.jacobian, module.observe)
