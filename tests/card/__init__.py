"""The work card and the tickets: laid out, said, printed, read again."""
