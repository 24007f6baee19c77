"""Tests of reading job records, profiles and packs."""
