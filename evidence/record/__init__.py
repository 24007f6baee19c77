"""YAML text to job record, people, profile and pack, each with the place of every value."""
