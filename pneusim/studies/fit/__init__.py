"""Fits: measured traces against channels of runs, the parameters that follow them best, and how sure they are."""
