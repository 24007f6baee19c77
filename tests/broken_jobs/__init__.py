"""Broken jobs: one base job and many ways in which tired people spoil it, each met through the command line."""
