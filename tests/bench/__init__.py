"""Benchmarks as ratios within one run: ``python -m tests.bench``. They print; they are no tests and fail nothing."""
