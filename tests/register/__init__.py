"""Tests of packs, confirmations and editions."""
