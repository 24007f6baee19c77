"""The dossier as data and as PDF."""
