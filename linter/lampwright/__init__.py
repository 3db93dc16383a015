"""Lampwright checks lighting plans of model locomotives."""

__version__ = "0.1.0"
