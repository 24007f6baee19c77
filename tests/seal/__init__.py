"""Tests of sealing and verifying."""
