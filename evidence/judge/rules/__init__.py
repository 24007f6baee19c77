"""One module per rule that finds two pieces of evidence which cannot both be right; a rule speaks only when certain."""
