"""The engine: a flat tape of primitives, a compiled kernel, a Rosenbrock method, and the hybrid loop."""
