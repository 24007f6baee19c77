"""Tests of the gauge card: squares, sheet, zero check."""
