"""Senders: one contract, several kinds, foreign errors translated here."""
