"""Single failures of a circuit, run through a drive cycle and judged against the intact vehicle."""
