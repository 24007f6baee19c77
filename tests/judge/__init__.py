"""Tests of judging."""
