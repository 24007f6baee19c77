"""Tests of the readers of evidence files."""
