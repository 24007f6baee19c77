"""Packs, confirmations, editions: what is asked of a vehicle, and which edition was in force on a day."""
