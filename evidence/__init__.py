"""Sillmark: one sealed proof per vehicle that the stretcher retention system was fitted as demanded."""

__version__ = "0.1.0"
