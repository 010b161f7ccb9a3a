"""Writes an excerpt as a music block."""
