"""Codes become words."""
