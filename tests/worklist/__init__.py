"""Lists over many jobs."""
