"""Commands, run in process as their users would."""
