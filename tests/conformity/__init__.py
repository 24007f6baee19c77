"""Dossiers against the archive and accessibility standards."""
