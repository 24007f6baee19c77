"""Attacks on sealed bundles."""
