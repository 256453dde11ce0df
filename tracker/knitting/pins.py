"""The pin that marks how far she is."""

PIN_EVERY = 10
"""Rounds after which the pin that marks the start is moved up."""
