"""Bench and phone pages over the actions."""
