"""Compatibility and safety advisor for lithium conversions of low-speed electric vehicles."""

__version__ = "0.1.0"
