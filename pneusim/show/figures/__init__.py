"""Figures of runs, parts, procedures and studies."""
