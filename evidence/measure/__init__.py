"""Measurements from photos and channels, bytes in and values out: one module per measurement."""
