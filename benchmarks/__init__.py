"""Benchmarks: every figure as a ratio against a named floor in the same run."""
