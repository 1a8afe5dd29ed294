"""Many runs: single failures, sweeps; each case is computed once, kept in a store, and told as a row."""
